import { html, nothing, type TemplateResult } from 'lit';
import type { Pin } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Other } from '../session/index.ts';
import { inkColour, inkOf } from '../styles/inks.ts';
import type { SeenPing } from '../together/pings.ts';
import type { Eye } from './camera.ts';
import type { SeenPicture } from './pictures/seen-picture.ts';
import { type PinnedNote, pinPoint } from './pins.ts';
import { selectionPin } from './selecting.ts';
import type { Point } from './sheet.ts';
import type { Shown } from './shown.ts';
import { pinLabel } from './words.ts';

/** What lies over the drawing: flags of notes, other people's pointers and selections. */

/** Two flags whose feet are nearer than this stand side by side, pixels. */
const CROWD = 12;
const FLAG_WIDTH = 27;
/** Up to so many people all have their names at their pointers; of more, those so near my own, pixels. */
export const FEW_PEOPLE = 6;
const NEAR_PIXELS = 110;
/** Room of a name, pixels. */
const NAME_WIDTH = 130;
const NAME_HEIGHT = 26;

/** Numbered flags of notes at the things that they point at; `choose` hears which one was pressed. */
export function noteFlags(
  { scene }: Shown,
  eye: Eye,
  {
    notes,
    note: open,
    picture,
  }: {
    readonly notes: readonly PinnedNote[];
    readonly note: string | null;
    readonly picture: SeenPicture | null;
  },
  choose: (note: string) => void,
): TemplateResult {
  const taken = new Map<string, number>();
  return html`<div class="pins">
    ${notes.map(({ note, number, at }) => {
      const place = placeOf(note.pin, at, eye, picture);
      if (place === null) return nothing;
      const { x, y } = place;
      const spot = `${Math.round(x / CROWD)},${Math.round(y / CROWD)}`;
      const row = taken.get(spot) ?? 0;
      taken.set(spot, row + 1);
      const chosen = note.id === open;
      return html`<button
        type="button"
        class="${note.state} ${chosen ? 'chosen' : ''}"
        style="left:${x + row * FLAG_WIDTH}px;top:${y}px"
        data-note=${note.id}
        aria-label="Note ${number}, ${note.state}, on ${pinLabel(scene, note.pin)}"
        aria-current=${chosen}
        @click=${() => choose(note.id)}
      >${number}</button>`;
    })}
  </div>`;
}

/** Where a pin is on the sheet: on the reference, or where its thing `at` is drawn; null where it is not seen. */
function placeOf(
  pin: Pin,
  at: Vec3 | null,
  eye: Eye,
  picture: SeenPicture | null,
): { readonly x: number; readonly y: number } | null {
  if (pin.kind === 'reference') return pin.view === picture?.view ? picture.toSheet(pin.at) : null;
  return at === null ? null : eye.project(at);
}

/** A cross where the selection is no part that is tinted: a point, an edge, a contact, a grip, a line. */
export function selectionCross(
  shown: Shown,
  eye: Eye,
  picture: SeenPicture | null,
  selection: Pin | null,
): TemplateResult | typeof nothing {
  const tinted = selection?.kind === 'joint' || selection?.kind === 'segment';
  if (selection === null || tinted) return nothing;
  const place = placeOf(selection, pinPoint(shown, selection), eye, picture);
  if (place === null) return nothing;
  const { x, y } = place;
  return html`<div class="cross" style="left:${x}px;top:${y}px" aria-hidden="true"></div>`;
}

/**
 * Other people's pointers with their names, and rings round what they selected, in their inks. Where
 * there are many, only those near my own pointer have their names.
 */
export function peopleMarks(
  shown: Shown,
  eye: Eye,
  others: readonly Other[],
  mine: Point | null,
): TemplateResult[] {
  const named: Point[] = [];
  const isNamed = (at: Point): boolean => {
    if (others.length <= FEW_PEOPLE) return true;
    if (mine === null || Math.hypot(at.x - mine.x, at.y - mine.y) >= NEAR_PIXELS) return false;
    // A name that would lie on another one is left out: neither could be read.
    const free = named.every(
      ({ x, y }) => Math.abs(x - at.x) > NAME_WIDTH || Math.abs(y - at.y) > NAME_HEIGHT,
    );
    if (free) named.push(at);
    return free;
  };
  return others.map(({ name, ink, cursor, selection }) => {
    const style = `--person:${inkColour(ink)};--pattern:${inkOf(ink).pattern}`;
    const at = cursor?.view === 'elevation' ? eye.project(cursor.point) : null;
    const pin = selectionPin(selection);
    const thing = pin === null ? null : pinPoint(shown, pin);
    const mark = thing === null ? null : eye.project(thing);
    return html`
      ${
        at === null
          ? nothing
          : html`<div class="person" style="${style};left:${at.x}px;top:${at.y}px">
              <svg viewBox="0 0 16 20" aria-hidden="true"><path d="M1 1v15l4-3.5 2.5 6 2.6-1.1-2.5-5.9H14z" /></svg>
              ${isNamed(at) ? html`<span>${name}</span>` : nothing}
            </div>`
      }
      ${
        mark === null
          ? nothing
          : html`<div class="person selects" style="${style};left:${mark.x}px;top:${mark.y}px">
              ${at === null && isNamed(mark) ? html`<span>${name}</span>` : nothing}
            </div>`
      }`;
  });
}

/** Rings that close in on what somebody points at, with their name. */
export const pingMarks = (eye: Eye, pings: readonly SeenPing[]): TemplateResult[] =>
  pings
    .filter(({ view }) => view === 'elevation')
    .map(({ point, name, ink }) => {
      const { x, y } = eye.project(point);
      const style = `--person:${inkColour(ink)};--pattern:${inkOf(ink).pattern}`;
      return html`<div class="person pings" style="${style};left:${x}px;top:${y}px">
        <span>${name}</span>
      </div>`;
    });
