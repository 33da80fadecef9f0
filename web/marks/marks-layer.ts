import { html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  addMark,
  MAX_POINTS,
  type Mark,
  type MarkKind,
  markMaps,
  type PictureView,
  readMarks,
  readPeople,
  readStamps,
  recordMap,
  removeMark,
  type Stroke,
} from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Shown } from '../bench/shown.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Session } from '../session/index.ts';
import { inkColour } from '../styles/inks.ts';
import { shared } from '../styles/shared.ts';
import {
  anglePath,
  arrowPath,
  type InkPoint,
  inkPath,
  lengthPath,
  linePath,
  nearness,
} from './drawing.ts';
import { marksLayerStyles } from './marks.styles.ts';
import { endPoints, measureText } from './measure.ts';
import {
  isSeen,
  type MarkSurface,
  projectorOf,
  referenceOf,
  type Spot,
  thinned,
} from './surface.ts';

/** What the hand does: draws a kind of mark, or rubs out its own. */
export type MarkTool = MarkKind | 'rub';

/** Past tense of drawing each kind, for undo. */
const DEEDS: Readonly<Record<MarkKind, string>> = {
  ink: 'drew a mark',
  line: 'drew a line',
  arrow: 'drew an arrow',
  length: 'measured a length',
  angle: 'measured an angle',
};

/** A point of ink this near to the last one is left out, pixels. */
const STEP = 2;
/** A hand that moved less between down and up has pressed, not pulled, pixels. */
const PRESS = 4;
/** How near the rubber must come to a mark, pixels. */
const RUB = 8;

/** A point as it is kept: metres to the millimetre, shares of a picture finer than its pixels. */
function rounded([x, y, z]: Vec3, reference: PictureView | null): Vec3 {
  const parts = reference === null ? 1000 : 100_000;
  const round = (value: number): number => Math.round(value * parts) / parts;
  return [round(x), round(y), round(z)];
}

/**
 * The marks over one drawing: those that are stored, those that others have under their hands, and the
 * pen of this person while a tool is chosen. Lies over its drawing and takes pointers only then.
 */
@customElement('cl-marks')
export class MarksLayer extends LitElement {
  static override styles = [shared, marksLayerStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) draft = '';
  /** Frame number shown, or null where the draft is one pose. */
  @property({ attribute: false }) frame: number | null = null;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) surface!: MarkSurface;
  @property({ attribute: false }) tool: MarkTool | null = null;

  /** Points of ink under the hand, as in `Stroke`. */
  private ink: number[] = [];
  /** Ends of a straight mark that are set. */
  private ends: Vec3[] = [];
  @state() private hand: Spot | null = null;
  /** The pointer that is down; `first`: it set the first end. */
  private down: { readonly id: number; readonly at: Spot; readonly first: boolean } | null = null;
  private pen = false;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const { notes, record } = this.session.documents;
      window.addEventListener('keydown', this.handleKey);
      return [
        observeMaps(markMaps(notes), update),
        observeMaps([recordMap(record, 'stamps'), recordMap(record, 'people')], update),
        this.session.on('presence', update),
        () => window.removeEventListener('keydown', this.handleKey),
        () => this.drop(),
      ];
    });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('tool') || changed.has('draft')) this.drop();
  }

  private readonly handleKey = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' && this.isBusy) this.drop();
  };

  private get isBusy(): boolean {
    return this.ink.length > 0 || this.ends.length > 0;
  }

  /** Gives up what is under the hand. */
  private drop(): void {
    if (this.isBusy) this.session.show({ mark: null });
    this.ink = [];
    this.ends = [];
    this.down = null;
    this.hand = null;
  }

  /** The reference that what is drawn now lies on. */
  private get reference(): PictureView | null {
    return referenceOf(this.tool ?? '', this.surface);
  }

  /** The point that a mark gets at a place of the page. */
  private pointAt(at: Spot): Vec3 {
    const { reference } = this;
    return rounded(projectorOf(this.surface, reference).unproject(at), reference);
  }

  private spot(event: { readonly clientX: number; readonly clientY: number }): Spot {
    const box = this.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  private onDown(event: PointerEvent): void {
    if (this.tool === null || event.button > 0 || this.down !== null) return;
    event.stopPropagation();
    event.preventDefault();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const at = this.spot(event);
    this.down = { id: event.pointerId, at, first: this.ends.length === 0 };
    this.hand = at;
    this.pen = event.pointerType === 'pen';
    if (this.tool === 'rub') this.rub(at);
    else if (this.tool === 'ink') this.addInk(event);
    else if (this.ends.length === 0) this.ends = [this.pointAt(at)];
    this.tell();
  }

  private onMove(event: PointerEvent): void {
    if (this.tool === null) return;
    event.stopPropagation();
    this.hand = this.spot(event);
    if (this.down?.id === event.pointerId) {
      if (this.tool === 'rub') this.rub(this.hand);
      else if (this.tool === 'ink') {
        const passed = event.getCoalescedEvents();
        for (const part of passed.length > 0 ? passed : [event]) this.addInk(part);
      }
    }
    this.tell();
  }

  private onUp(event: PointerEvent): void {
    const { down, tool } = this;
    if (tool === null || down?.id !== event.pointerId) return;
    event.stopPropagation();
    this.down = null;
    if (event.type === 'pointercancel') this.drop();
    else if (tool === 'ink') this.keep();
    else if (tool !== 'rub') this.setEnd(this.spot(event), down);
  }

  /** A pull sets both its ends; presses set one after another. */
  private setEnd(at: Spot, down: NonNullable<MarksLayer['down']>): void {
    const pulled = Math.hypot(at.x - down.at.x, at.y - down.at.y) >= PRESS;
    if (pulled || !down.first) this.ends = [...this.ends, this.pointAt(at)];
    if (this.ends.length === (this.tool === 'angle' ? 3 : 2)) this.keep();
    else this.tell();
  }

  private addInk(event: PointerEvent): void {
    const at = this.spot(event);
    const last =
      this.ink.length >= 4 ? (this.ink.slice(-4) as [number, number, number, number]) : null;
    if (last !== null) {
      const { project } = projectorOf(this.surface, this.reference);
      const { x, y } = project([last[0], last[1], last[2]]);
      if (Math.hypot(at.x - x, at.y - y) < STEP || this.ink.length >= 4 * MAX_POINTS) return;
    }
    const [x, y, z] = this.pointAt(at);
    this.ink.push(x, y, z, Math.round(event.pressure * 100) / 100);
  }

  /** The mark as it is so far; null where there is nothing to see yet. */
  private stroke(): Stroke | null {
    const { tool, surface } = this;
    if (tool === null || tool === 'rub') return null;
    const needed = tool === 'angle' ? 3 : 2;
    const ends = [...this.ends];
    if (tool !== 'ink' && ends.length < needed && this.hand !== null) {
      ends.push(this.pointAt(this.hand));
    }
    // An angle with one arm shows as that arm.
    const kind = tool === 'angle' && ends.length === 2 ? 'line' : tool;
    if (kind === 'ink' ? this.ink.length < 4 : ends.length < (kind === 'angle' ? 3 : 2))
      return null;
    return {
      draft: this.draft,
      frame: this.frame,
      view: surface.view,
      reference: this.reference,
      towards: surface.towards,
      kind,
      points: [...this.ink],
      ends: ends.map((point) => ({ point })),
      pen: this.pen,
    };
  }

  private tell(): void {
    const stroke = this.stroke();
    if (this.isBusy) this.session.show({ mark: stroke === null ? null : thinned(stroke) });
    this.requestUpdate();
  }

  private keep(): void {
    const stroke = this.stroke();
    const { tool } = this;
    if (stroke !== null && tool !== null && tool !== 'rub') {
      const mark: Mark = { id: crypto.randomUUID(), ...stroke, kind: tool };
      this.session.edit('notes', DEEDS[tool], (doc, origin) => addMark(doc, mark, origin));
    }
    this.drop();
  }

  private rub(at: Spot): void {
    const stamps = readStamps(this.session.documents.record);
    for (const mark of this.stored()) {
      if (nearness(at, this.places(mark)) > RUB) continue;
      const by = stamps.get(mark.id)?.by;
      if (by === this.session.me.id) {
        this.session.edit('notes', 'rubbed a mark out', (doc, origin) =>
          removeMark(doc, mark.id, origin),
        );
      } else if (by !== undefined) {
        const name = readPeople(this.session.documents.record).get(by)?.name ?? 'Somebody else';
        this.session.say(`${name} drew this mark and can rub it out.`);
      }
    }
  }

  private stored(): Mark[] {
    const marks = readMarks(this.session.documents.notes, this.draft);
    return marks.filter((mark) => isSeen(mark, this.surface, this));
  }

  /** The places of the page that a mark runs through. */
  private places(stroke: Stroke): Spot[] {
    if (stroke.kind === 'ink') return this.inkSpots(stroke);
    const { project } = projectorOf(this.surface, stroke.reference);
    return (endPoints(this.shown, stroke.ends) ?? []).map((point) => project(point));
  }

  private inkSpots({ points, reference }: Stroke): InkPoint[] {
    const { project } = projectorOf(this.surface, reference);
    const spots: InkPoint[] = [];
    for (let i = 0; i + 3 < points.length; i += 4) {
      const [x = 0, y = 0, z = 0, pressure = 0.5] = points.slice(i, i + 4);
      spots.push({ ...project([x, y, z]), pressure });
    }
    return spots;
  }

  private renderStroke(
    stroke: Stroke,
    colour: string,
    done = true,
  ): TemplateResult | typeof nothing {
    if (stroke.kind === 'ink') {
      const path = inkPath(this.inkSpots(stroke), { pen: stroke.pen, done });
      return svg`<path class="ink" fill=${colour} d=${path} />`;
    }
    const points = endPoints(this.shown, stroke.ends);
    if (points === null) return nothing;
    const { project } = projectorOf(this.surface, stroke.reference);
    const [a, b, c] = points.map((point) => project(point));
    if (a === undefined || b === undefined) return nothing;
    const text = measureText(stroke.kind, points);
    if (stroke.kind === 'angle') {
      if (c === undefined) return nothing;
      const { path, label } = anglePath(a, b, c);
      return svg`<path class="straight" stroke=${colour} d=${path} />${sayAt(text, label, colour)}`;
    }
    const draw = { line: linePath, arrow: arrowPath, length: lengthPath }[stroke.kind];
    const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 - 10 };
    return svg`<path class="straight" stroke=${colour} d=${draw(a, b)} />${text === '' ? nothing : sayAt(text, middle, colour)}`;
  }

  protected override render() {
    const { session, tool, surface } = this;
    const { record } = session.documents;
    const stamps = readStamps(record);
    const people = readPeople(record);
    const inkOf = (mark: Mark): string => {
      const by = stamps.get(mark.id)?.by ?? session.me.id;
      return inkColour(people.get(by)?.ink ?? session.me.ink);
    };
    const own = this.stroke();
    const under = session
      .others()
      .flatMap(({ mark, ink, name }) =>
        mark !== null && isSeen(mark, surface, this) ? [{ mark, ink, name }] : [],
      );
    return html`<svg
      class=${tool === null ? '' : tool === 'rub' ? 'takes rubs' : 'takes'}
      width="100%"
      height="100%"
      aria-hidden="true"
      data-marks=${this.stored().length}
      @pointerdown=${this.onDown}
      @pointermove=${this.onMove}
      @pointerup=${this.onUp}
      @pointercancel=${this.onUp}
    >
      ${this.stored().map((mark) => this.renderStroke(mark, inkOf(mark)))}
      ${under.map(({ mark, ink, name }) => svg`<g data-drawing=${name}>${this.renderStroke(mark, inkColour(ink), false)}</g>`)}
      ${own === null ? nothing : this.renderStroke(own, inkColour(session.me.ink), false)}
    </svg>`;
  }
}

const sayAt = (text: string, { x, y }: Spot, colour: string): TemplateResult =>
  svg`<text x=${x} y=${y} fill=${colour}>${text}</text>`;

declare global {
  interface HTMLElementTagNameMap {
    'cl-marks': MarksLayer;
  }
}
