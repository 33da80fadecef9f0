import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { assess } from '../../core/balance/index.ts';
import {
  castMap,
  draftEntries,
  movingDraft,
  overlaid,
  readSceneEntries,
  setEntries,
} from '../../core/document/index.ts';
import { add, distance, scale, subtract, type Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { keyedPatch } from '../motion/keying.ts';
import type { LiveDraft } from '../session/index.ts';
import { type Hand, holdEntries, targetName } from './grip-edit.ts';
import type { Offer } from './grip-offer.ts';
import {
  type HoldSettings,
  hold,
  type Movable,
  movableAt,
  movableId,
  movableLabel,
  type Patch,
} from './movables.ts';
import {
  type DragWay,
  markHintSeen,
  PLAIN,
  type PoseSettings,
  reachSettings,
  WAY_KEYS,
  WAY_WORDS,
} from './pose-settings.ts';
import { along, type Point, type Sheet } from './sheet.ts';
import { type Shown, show } from './shown.ts';
import { sayList, sayPlace } from './words.ts';

/** Step of an arrow key, metres; a tenth of it with Shift. */
const STEP = 0.01;
/** Pixels that a pointer moves before a press becomes a drag. */
const SLOP = 3;

/** A palm that stays this far from what it should hold does not hold it, metres. */
const SHORT = 0.1;

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
  /** Where the pointer was last, and the direction whose key is down. */
  #last: Point = { x: 0, y: 0 };
  #keyWay: DragWay | null = null;
  /** The scene when something was taken hold of. */
  #before: Scene | null = null;
  held: Held | null = null;
  /** What the dragged hand takes hold of when it is let go now. */
  offer: Offer | null = null;
  #hand: Hand | null = null;
  /** The surface whose sides can be moved. */
  sized: string | null = null;
  settings: PoseSettings = PLAIN;

  constructor(host: PosingHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('keydown', this.#onKey, true);
    window.addEventListener('keyup', this.#onKeyUp, true);
  }

  hostDisconnected(): void {
    window.removeEventListener('keydown', this.#onKey, true);
    window.removeEventListener('keyup', this.#onKeyUp, true);
    this.cancel();
  }

  /** Changes how this person poses. */
  use(settings: Partial<PoseSettings>): void {
    this.settings = { ...this.settings, ...settings };
    this.#host.requestUpdate();
  }

  /** True while a pointer holds something. */
  get busy(): boolean {
    return this.#grab !== null;
  }

  /**
   * The scene as it is at this moment. What is shown is up to a frame older: a second key press in
   * the same frame must build on the first.
   * @param mine entries of my own that are not stored yet
   */
  now(mine: Patch = {}): Shown {
    const { live, shown } = this.#host;
    if (live.clip.kind !== 'none') return shown;
    const { session, draft } = live;
    let entries: ReadonlyMap<string, unknown> = new Map(
      draftEntries(session.documents.scenes, draft).entries(),
    );
    for (const { drag } of session.others()) {
      if (drag?.draft === draft) entries = overlaid(entries, drag.entries);
    }
    const cast = castMap(session.documents.scenes);
    const all = overlaid(entries, mine);
    const moving = movingDraft(all, null, live.timing, cast);
    const scene = moving?.sceneAt(live.frame) ?? readSceneEntries(all, cast);
    return show(scene, assess(scene));
  }

  /**
   * Offers the hand that is dragged something to hold; null takes the offer back. Let go over it, the
   * palm goes there and the grip is part of the same undo step.
   */
  offerGrip(hand: Hand, offer: Offer | null): void {
    this.offer = offer;
    if (offer === null || this.held === null) return;
    const name = targetName(this.#host.shown.scene, offer.target);
    this.held = {
      ...this.held,
      sentence: `Let go to take hold of ${theWord(name)}. With Shift the hand only goes there.`,
    };
    this.#hand = hand;
  }

  /** The drag with the hand on what it takes hold of; null without an offer, or out of reach. */
  #taken(): Patch | null {
    const { offer } = this;
    const hand = this.#hand;
    if (offer === null || hand === null) return null;
    const dragged = this.#host.live.session.drag?.entries ?? {};
    const start = this.now(dragged);
    const part = { kind: 'part', figure: hand.figure, part: hand.segment } as const;
    const patch = hold(start, part, this.#reach)?.to(offer.at).patch ?? {};
    const reached = movableAt(this.now({ ...dragged, ...patch }), part);
    if (reached === null || distance(reached, offer.at) > SHORT) {
      const name = targetName(start.scene, offer.target);
      this.#host.live.session.say(`The hand does not reach ${theWord(name)}. Go nearer first.`);
      return null;
    }
    return { ...dragged, ...patch, ...holdEntries(hand, offer.target, start.scene) };
  }

  /** Shows the sides of a surface to be moved; null: of none. */
  size(surface: string | null): void {
    if (surface === this.sized) return;
    this.sized = surface;
    this.#host.requestUpdate();
  }

  #drop(): void {
    this.#grab = null;
    this.#keyWay = null;
    this.held = null;
    this.offer = null;
    this.#hand = null;
  }

  readonly #onKey = (event: KeyboardEvent): void => {
    if (this.#grab === null) return;
    const way = WAY_KEYS[event.key.toLowerCase()];
    if (event.key !== 'Escape' && way === undefined) return;
    event.stopPropagation();
    event.preventDefault();
    if (way === undefined) this.cancel();
    else if (!event.repeat) this.#hold(way);
  };

  readonly #onKeyUp = (event: KeyboardEvent): void => {
    if (this.#keyWay !== null && WAY_KEYS[event.key.toLowerCase()] === this.#keyWay)
      this.#hold(null);
  };

  #hold(way: DragWay | null): void {
    this.#keyWay = way;
    if (this.#grab?.moving) this.#drag(this.#grab, this.#last);
  }

  /** Takes hold of a movable thing at (x, y) CSS pixels of a drawing. */
  grabMovable(event: PointerEvent, movable: Movable, sheet: Sheet, at: Point): void {
    const start = this.now();
    const held = hold(start, movable, this.#reach);
    if (held === null) return;
    const label = movableLabel(start, movable);
    // What was pressed stays under the pointer: only the way from there counts.
    const pressed = sheet.unproject(at.x, at.y, held.at);
    this.#take(event, {
      id: movableId(movable),
      done: `moved ${theWord(label)}`,
      says: (reached) => this.#sentence(label, held.stays, reached),
      patch: (x, y) => {
        const way = subtract(sheet.unproject(x, y, held.at), pressed);
        return held.to(add(held.at, along(sheet, way, this.#way)));
      },
      at,
    });
  }

  /** How a tail is turned is no part of a key: in a shot of keys it would turn in every frame. */
  get #reach(): HoldSettings {
    return { ...reachSettings(this.settings), tails: this.#host.live.motion === null };
  }

  get #way(): DragWay {
    return this.#keyWay ?? this.settings.way;
  }

  #sentence(label: string, stays: readonly string[], reached: boolean): string {
    const words = [
      capital(label) + (reached ? '.' : ', as far as it reaches.'),
      stays.length === 0 ? 'Nothing is planted.' : `Planted: ${sayList(stays)}.`,
      ...(this.settings.keepPlumb ? ['The plumb line is kept.'] : []),
      ...(this.#way === 'page' ? [] : [`Only ${WAY_WORDS[this.#way]}.`]),
    ];
    return words.join(' ');
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
    this.#before = this.now().scene;
    this.#grab = { ...rest, from: [at.x, at.y], pointer: event.pointerId, moving: false };
  }

  /** The pointer that holds something moved to (x, y) CSS pixels of the elevation. */
  moveTo(event: PointerEvent, at: Point): void {
    const grab = this.#grab;
    if (grab === null || grab.pointer !== event.pointerId) return;
    if (!grab.moving && Math.hypot(at.x - grab.from[0], at.y - grab.from[1]) < SLOP) return;
    grab.moving = true;
    this.#drag(grab, at);
  }

  #drag(grab: Grab, at: Point): void {
    this.#last = at;
    const { live } = this.#host;
    const { patch, reached } = grab.patch(at.x, at.y);
    const entries = keyedPatch(live, patch, () => this.#before ?? live.scene);
    live.session.show({ drag: { draft: live.draft, entries } });
    this.held = { id: grab.id, sentence: grab.says(reached) };
    this.#host.requestUpdate();
  }

  /** The pointer let go: what moved is kept as one undo step. Gives whether anything moved. */
  release(event: PointerEvent): boolean {
    const grab = this.#grab;
    if (grab === null || grab.pointer !== event.pointerId) return false;
    const { session, draft } = this.#host.live;
    const taken = event.shiftKey ? null : this.#taken();
    const name = this.offer && targetName(this.#host.shown.scene, this.offer.target);
    this.#drop();
    if (grab.moving) markHintSeen();
    if (grab.moving && taken !== null) {
      const entries = keyedPatch(this.#host.live, taken, () => this.now().scene);
      session.show({ drag: { draft, entries } });
      session.commitDrag('made a grip');
      session.say(`It holds ${theWord(name ?? '')} now. Open the grip under Things.`);
    } else if (grab.moving) session.commitDrag(grab.done);
    this.#host.requestUpdate();
    return grab.moving;
  }

  /** Gives the drag up: everything goes back. */
  cancel(): void {
    const grab = this.#grab;
    if (grab === null) return;
    this.#drop();
    this.#host.live.session.cancelDrag();
    this.#host.live.session.say('Put back where it was.');
    this.#host.requestUpdate();
  }

  /** Moves a thing by arrow keys in the plane of a drawing, page keys along the view. False: not such a key. */
  step(event: KeyboardEvent, movable: Movable, sheet: Sheet): boolean {
    const ways: Readonly<Record<string, Vec3>> = {
      ArrowLeft: scale(sheet.right, -1),
      ArrowRight: sheet.right,
      ArrowUp: sheet.up,
      ArrowDown: scale(sheet.up, -1),
      PageUp: scale(sheet.towards, -1),
      PageDown: sheet.towards,
    };
    const way = ways[event.key];
    if (way === undefined) return false;
    const from = movableAt(this.now(), movable);
    if (from === null) return false;
    this.moveTyped(movable, add(from, scale(way, STEP * (event.shiftKey ? 0.1 : 1))));
    return true;
  }

  /** Moves a thing to where it was typed or stepped to, as one undo step, and says where it is. */
  moveTyped(movable: Movable, target: Vec3): void {
    const start = this.now();
    const held = hold(start, movable, this.#reach);
    if (held === null) return;
    const label = movableLabel(start, movable);
    const { patch, reached } = held.to(target);
    markHintSeen();
    this.set(patch, `moved ${theWord(label)}`);
    const at = movableAt(this.now(), movable) ?? target;
    const limit = reached ? '' : ', as far as it reaches';
    this.#host.live.session.say(`${capital(label)}: ${sayPlace(at)}${limit}.`);
  }

  /** Shows entries to everyone without storing them yet: `keep` stores them as one undo step. */
  preview(patch: Patch): void {
    const { live } = this.#host;
    const entries = keyedPatch(live, patch, () => this.now().scene);
    live.session.show({ drag: { draft: live.draft, entries } });
  }

  keep(done: string): void {
    this.#host.live.session.commitDrag(done);
  }

  say(sentence: string): void {
    this.#host.live.session.say(sentence);
  }

  /** Sets entries of the draft as one undo step. */
  set(patch: Patch, done: string): void {
    if (Object.keys(patch).length === 0) return;
    const { live } = this.#host;
    const { session, draft } = live;
    const entries = keyedPatch(live, patch, () => this.now().scene);
    session.edit('scenes', done, (doc, origin) => setEntries(doc, draft, entries, origin));
  }
}

/** "the left hand", but a name as it stands. */
const theWord = (label: string): string => (/^[a-z]/.test(label) ? `the ${label}` : label);

const capital = (label: string): string => label.charAt(0).toUpperCase() + label.slice(1);
