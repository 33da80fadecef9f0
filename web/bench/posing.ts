import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { assess } from '../../core/balance/index.ts';
import { draftEntries, overlaid, readSceneEntries, setEntries } from '../../core/document/index.ts';
import { add, scale, subtract, type Vec3 } from '../../core/geometry/index.ts';
import type { LiveDraft } from '../session/index.ts';
import type { Eye } from './camera.ts';
import {
  type Movable,
  movableAt,
  movableId,
  movableLabel,
  move,
  type Patch,
  stayingFeet,
} from './movables.ts';
import { type Shown, show } from './shown.ts';
import { sayList } from './words.ts';

/** Step of an arrow key, metres; a tenth of it with Shift. */
const STEP = 0.01;
/** Pixels that a pointer moves before a press becomes a drag. */
const SLOP = 3;

/** What is being dragged, for the line under the elevation. */
export interface Held {
  readonly id: string;
  readonly sentence: string;
}

/** What a drag does: from a pointer's way on the page to entries of the draft. */
interface Grab {
  readonly id: string;
  readonly done: string;
  /** Sentence while it moves. */
  readonly says: (reached: boolean) => string;
  readonly patch: (x: number, y: number) => { readonly patch: Patch; readonly reached: boolean };
  readonly from: readonly [number, number];
  readonly pointer: number;
  moving: boolean;
}

interface PosingHost extends ReactiveControllerHost {
  readonly live: LiveDraft;
  readonly shown: Shown;
}

/**
 * Moves and turns things of the draft. A drag is shown to everyone while it lasts and becomes one
 * undo step at its end; a key press or a typed value is a step of its own.
 */
export class Posing implements ReactiveController {
  readonly #host: PosingHost;
  #grab: Grab | null = null;
  held: Held | null = null;

  constructor(host: PosingHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('keydown', this.#onKey, true);
  }

  hostDisconnected(): void {
    window.removeEventListener('keydown', this.#onKey, true);
    this.cancel();
  }

  /** True while a pointer holds something. */
  get busy(): boolean {
    return this.#grab !== null;
  }

  /**
   * The scene as it is at this moment. What is shown is up to a frame older: a second key press in
   * the same frame must build on the first.
   */
  now(): Shown {
    const { live, shown } = this.#host;
    if (live.clip.kind !== 'none') return shown;
    const { session, draft } = live;
    let entries: ReadonlyMap<string, unknown> = new Map(
      draftEntries(session.documents.scenes, draft).entries(),
    );
    for (const { drag } of session.others()) {
      if (drag?.draft === draft) entries = overlaid(entries, drag.entries);
    }
    const scene = readSceneEntries(entries);
    return show(scene, assess(scene));
  }

  readonly #onKey = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || this.#grab === null) return;
    event.stopPropagation();
    event.preventDefault();
    this.cancel();
  };

  /** Takes hold of a movable thing at (x, y) CSS pixels of the elevation. */
  grabMovable(event: PointerEvent, movable: Movable, eye: Eye, at: Point): void {
    const start = this.now();
    const origin = movableAt(start, movable);
    if (origin === null) return;
    const feet = stayingFeet(start, movable);
    const label = movableLabel(start, movable);
    // What was pressed stays under the pointer: only the way from there counts.
    const pressed = eye.unproject(at.x, at.y, origin);
    this.#take(event, {
      id: movableId(movable),
      done: `moved ${theWord(label)}`,
      says: (reached) => dragSentence(label, feet, reached),
      patch: (x, y) => {
        const target = add(origin, subtract(eye.unproject(x, y, origin), pressed));
        return move(start, movable, target, feet);
      },
      at,
    });
  }

  /** Takes hold of something that turns: `patch` gives the entries for a pointer at (x, y). */
  grabTurn(
    event: PointerEvent,
    turn: { id: string; label: string; at: Point; patch: (x: number, y: number) => Patch },
  ): void {
    this.#take(event, {
      id: turn.id,
      done: `turned ${theWord(turn.label)}`,
      says: () => `Turning ${theWord(turn.label)}.`,
      patch: (x, y) => ({ patch: turn.patch(x, y), reached: true }),
      at: turn.at,
    });
  }

  #take(
    event: PointerEvent,
    grab: Pick<Grab, 'id' | 'done' | 'says' | 'patch'> & { readonly at: Point },
  ): void {
    if (this.#grab !== null) this.cancel();
    const { at, ...rest } = grab;
    this.#grab = { ...rest, from: [at.x, at.y], pointer: event.pointerId, moving: false };
  }

  /** The pointer that holds something moved to (x, y) CSS pixels of the elevation. */
  moveTo(event: PointerEvent, at: Point): void {
    const grab = this.#grab;
    if (grab === null || grab.pointer !== event.pointerId) return;
    if (!grab.moving && Math.hypot(at.x - grab.from[0], at.y - grab.from[1]) < SLOP) return;
    grab.moving = true;
    const { live } = this.#host;
    const { patch, reached } = grab.patch(at.x, at.y);
    live.session.show({ drag: { draft: live.draft, entries: patch } });
    this.held = { id: grab.id, sentence: grab.says(reached) };
    this.#host.requestUpdate();
  }

  /** The pointer let go: what moved is kept as one undo step. Gives whether anything moved. */
  release(event: PointerEvent): boolean {
    const grab = this.#grab;
    if (grab === null || grab.pointer !== event.pointerId) return false;
    this.#grab = null;
    this.held = null;
    if (grab.moving) this.#host.live.session.commitDrag(grab.done);
    this.#host.requestUpdate();
    return grab.moving;
  }

  /** Gives the drag up: everything goes back. */
  cancel(): void {
    const grab = this.#grab;
    if (grab === null) return;
    this.#grab = null;
    this.held = null;
    this.#host.live.session.cancelDrag();
    this.#host.live.session.say('Put back where it was.');
    this.#host.requestUpdate();
  }

  /** Moves a thing by arrow keys in the view plane, page keys along the view. False: not such a key. */
  step(event: KeyboardEvent, movable: Movable, eye: Eye): boolean {
    const ways: Readonly<Record<string, Vec3>> = {
      ArrowLeft: scale(eye.right, -1),
      ArrowRight: eye.right,
      ArrowUp: eye.up,
      ArrowDown: scale(eye.up, -1),
      PageUp: scale(eye.towards, -1),
      PageDown: eye.towards,
    };
    const way = ways[event.key];
    if (way === undefined) return false;
    const start = this.now();
    const from = movableAt(start, movable);
    if (from === null) return false;
    const target = add(from, scale(way, STEP * (event.shiftKey ? 0.1 : 1)));
    const feet = stayingFeet(start, movable);
    const { patch, reached } = move(start, movable, target, feet);
    const label = movableLabel(start, movable);
    this.set(patch, `moved ${theWord(label)}`);
    if (!reached) this.#host.live.session.say(dragSentence(label, feet, false));
    return true;
  }

  /** Sets entries of the draft as one undo step. */
  set(patch: Patch, done: string): void {
    if (Object.keys(patch).length === 0) return;
    const { session, draft } = this.#host.live;
    session.edit('scenes', done, (doc, origin) => setEntries(doc, draft, patch, origin));
  }
}

/** A place on the elevation, CSS pixels from its upper left corner. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** "the left hand", but a name as it stands. */
const theWord = (label: string): string => (/^[a-z]/.test(label) ? `the ${label}` : label);

function dragSentence(label: string, feet: readonly ('L' | 'R')[], reached: boolean): string {
  const words = feet.map((side) => (side === 'L' ? 'left foot' : 'right foot'));
  const stays = words.length === 0 ? 'No foot is planted.' : `Planted: ${sayList(words)}.`;
  const capital = label.charAt(0).toUpperCase() + label.slice(1);
  return reached ? `${capital}. ${stays}` : `${capital}, as far as it reaches. ${stays}`;
}
