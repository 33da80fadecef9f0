import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Pin } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import type { Pointed } from '../together/pings.ts';
import { FEW_PEOPLE } from './elevation-marks.ts';
import type { Looking } from './looking.ts';
import { referencePin, type SeenPicture } from './pictures/seen-picture.ts';
import { pointPin } from './selecting.ts';
import type { Point } from './sheet.ts';
import type { Shown } from './shown.ts';

/** Pixels that an arrow key moves the view. */
const GESTURE_STEP = 40;
/** Pixels within which a press counts as a press and not as a pull at the sheet. */
const SLOP = 4;
const ZOOM_PER_PIXEL = 0.0016;

interface GestureHost extends ReactiveControllerHost, HTMLElement {
  readonly session: Session;
  readonly shown: Shown;
  readonly looking: Looking;
  readonly selection: Pin | null;
  readonly picture: SeenPicture | null;
  place(event: { readonly clientX: number; readonly clientY: number }): Point;
  pointAt(point: Point): Pointed;
  readonly others: readonly unknown[];
  /** Nobody else sees where one points here. */
  readonly alone: boolean;
  select(pin: Pin | null): void;
  /** Takes hold of the part of a figure, or the load, at a place; false where nothing there can be moved. */
  takeAt(event: PointerEvent, point: Point): boolean;
  moveHeld(event: PointerEvent): void;
  /** Lets go; says whether it was moved. */
  letGo(event: PointerEvent): boolean;
  giveUp(): void;
}

/**
 * Pointers on the drawing. One finger (or the mouse) on a figure drags what lies there; on the bare
 * sheet, or with Shift, it moves the view (or turns the free camera). Two fingers zoom, and turn the
 * free camera or move the view; the wheel zooms, a press selects. Shows one's own pointer to the others.
 */
export class Gestures implements ReactiveController {
  readonly #host: GestureHost;
  readonly #pointers = new Map<number, Point>();
  #travel = 0;
  /** Where the pointer went since it was shown last. */
  #unseen: Point | null = null;
  /** Where my pointer is; null when it is elsewhere. */
  at: Point | null = null;
  /** The pointer that drags a part. */
  #holding: number | null = null;

  constructor(host: GestureHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    // Lit adds wheel listeners as passive ones, which may not keep the page from scrolling.
    this.#host.addEventListener('wheel', this.#wheel, { passive: false });
  }

  hostDisconnected(): void {
    this.#host.removeEventListener('wheel', this.#wheel);
    this.#pointers.clear();
  }

  readonly #wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const { x, y } = this.#host.place(event);
    this.#host.looking.zoomAt(Math.exp(-event.deltaY * ZOOM_PER_PIXEL), x, y);
  };

  readonly down = (event: PointerEvent): void => {
    if (event.target instanceof Element && event.target.closest('button')) return;
    this.#press(event, (point) => {
      return event.button === 0 && !event.shiftKey && this.#host.takeAt(event, point);
    });
  };

  /** A pointer on a handle or ring takes hold of it; false: it is a second finger and means the view. */
  take(event: PointerEvent): boolean {
    return this.#press(event, () => true);
  }

  /** @param takes whether a first finger takes hold of something at its place */
  #press(event: PointerEvent, takes: (point: Point) => boolean): boolean {
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const point = this.#host.place(event);
    if (this.#pointers.size === 0) {
      this.#travel = 0;
      this.#holding = takes(point) ? event.pointerId : null;
    } else if (this.#holding !== null) {
      // A second finger means the view: what the first one held goes back.
      this.#holding = null;
      this.#host.giveUp();
    }
    this.#pointers.set(event.pointerId, point);
    return this.#holding === event.pointerId;
  }

  readonly move = (event: PointerEvent): void => {
    const now = this.#host.place(event);
    this.at = now;
    this.#showCursor(now);
    const before = this.#pointers.get(event.pointerId);
    if (before === undefined) return;
    const [dx, dy] = [now.x - before.x, now.y - before.y];
    this.#travel += Math.hypot(dx, dy);
    const other = [...this.#pointers].find(([id]) => id !== event.pointerId)?.[1];
    this.#pointers.set(event.pointerId, now);
    if (this.#holding !== null) {
      this.#host.moveHeld(event);
      return;
    }
    if (this.#travel < SLOP) return;
    const { looking } = this.#host;
    if (other !== undefined) {
      const apart = Math.hypot(before.x - other.x, before.y - other.y);
      const factor = Math.hypot(now.x - other.x, now.y - other.y) / Math.max(apart, 1);
      looking.zoomAt(factor, (now.x + other.x) / 2, (now.y + other.y) / 2);
      if (looking.view === 'orbit') looking.turnBy(dx / 2, dy / 2);
      else looking.panBy(dx / 2, dy / 2);
    } else if (looking.view === 'orbit' && event.buttons !== 4 && !event.shiftKey) {
      looking.turnBy(dx, dy);
    } else looking.panBy(dx, dy);
  };

  readonly up = (event: PointerEvent): void => {
    const pressed = this.#pointers.delete(event.pointerId);
    if (this.#holding === event.pointerId) {
      this.#holding = null;
      if (event.type !== 'pointerup') this.#host.giveUp();
      else if (this.#host.letGo(event)) return;
    }
    // A press on a handle is the handle's own.
    if (event.target instanceof Element && event.target.closest('button')) return;
    if (!pressed || this.#travel >= SLOP || event.type !== 'pointerup') return;
    const at = this.#host.place(event);
    const { selection, looking, picture } = this.#host;
    // Whoever is placing a point means the place and not the thing there: its depth stays, or the picture.
    if (selection?.kind === 'point') {
      this.#host.select(pointPin(looking.eye.unproject(at.x, at.y, selection.point)));
      return;
    }
    const onPicture = picture === null ? null : referencePin(picture, at);
    const meant = selection?.kind === 'reference' && onPicture !== null;
    this.#host.select(meant ? onPicture : (this.#host.pointAt(at).pin ?? onPicture));
  };

  readonly leave = (): void => {
    this.at = null;
    this.#host.session.show({ cursor: null });
  };

  /**
   * On the thing that it is over, so that it lies on it in every window, from wherever that looks. Once
   * a frame, for finding what lies under it takes time.
   */
  #showCursor(at: Point): void {
    const first = this.#unseen === null;
    this.#unseen = at;
    if (!first || this.#host.alone) return;
    requestAnimationFrame(() => {
      const now = this.#unseen;
      this.#unseen = null;
      if (now === null || this.at === null || !this.#host.isConnected) return;
      const { point } = this.#host.pointAt(now);
      this.#host.session.show({ cursor: { view: 'elevation', point } });
      // Of many people only those near my own pointer are named.
      if (this.#host.others.length > FEW_PEOPLE) this.#host.requestUpdate();
    });
  }
}

/** Looks round by arrow keys (with Shift past a free camera's turning), + and -. False: not such a key. */
export function lookByKey(looking: Looking, event: KeyboardEvent): boolean {
  const ways: Readonly<Record<string, readonly [number, number]>> = {
    ArrowLeft: [GESTURE_STEP, 0],
    ArrowRight: [-GESTURE_STEP, 0],
    ArrowUp: [0, GESTURE_STEP],
    ArrowDown: [0, -GESTURE_STEP],
  };
  const way = ways[event.key];
  if (way !== undefined && looking.view === 'orbit' && !event.shiftKey)
    looking.turnBy(way[0], -way[1]);
  else if (way !== undefined) looking.panBy(way[0], way[1]);
  else if (event.key === '+') looking.zoomAt(1.2);
  else if (event.key === '-') looking.zoomAt(1 / 1.2);
  else return false;
  return true;
}
