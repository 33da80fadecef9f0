import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Cursor, Pin } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { selectionText } from '../bench/selecting.ts';
import type { Session } from '../session/index.ts';
import type { Pings, Pointed } from './pings.ts';

/** A place in one of the drawings, and what is there. */
export type PointedIn = Pointed & Pick<Cursor, 'view'>;

interface PointingHost extends ReactiveControllerHost, EventTarget {
  readonly session: Session;
  readonly pings: Pings;
  readonly selection: Pin | null;
  /** Which drawing an event is on, and what it finds there; null: on neither. */
  pointedAt(event: PointerEvent): PointedIn | null;
  /** What lies under the pointer in the elevation; null when it is elsewhere. */
  underPointer(): PointedIn | null;
  /** The selected thing as a ping carries it, and where it is; null without one. */
  selected(): { readonly thing: string; readonly point: Vec3 } | null;
}

/**
 * Pointing at something for everybody: hold P and press, or press "Point" and then the drawing. P alone
 * points at the pointer's place, or, away from the drawings, at what is selected.
 */
export class Pointing implements ReactiveController {
  readonly #host: PointingHost;
  /** "Point" was pressed. */
  armed = false;
  #held = false;
  #used = false;

  constructor(host: PointingHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('keyup', this.#keyUp);
    window.addEventListener('blur', this.#forget);
  }

  hostDisconnected(): void {
    window.removeEventListener('keyup', this.#keyUp);
    window.removeEventListener('blur', this.#forget);
    this.#forget();
    this.armed = false;
  }

  /** The next press in a drawing points. */
  get isReady(): boolean {
    return this.armed || this.#held;
  }

  toggle(): void {
    this.armed = !this.armed;
    this.#host.requestUpdate();
  }

  /** Listener in the capture phase, before anything takes hold of what is pressed. */
  readonly press = {
    capture: true,
    handleEvent: (event: PointerEvent): void => {
      if (!this.isReady || event.button !== 0) return;
      const at = this.#host.pointedAt(event);
      if (at === null) return;
      event.stopPropagation();
      event.preventDefault();
      this.#used = true;
      this.armed = false;
      this.#point(at);
    },
  };

  readonly keyDown = (event: KeyboardEvent): void => {
    if (isPointKey(event)) this.#held = true;
    if (event.key === 'Escape' && this.armed) this.toggle();
  };

  /** P is not held any more, wherever it was let go: outside the window nobody tells. */
  readonly #forget = (): void => {
    this.#held = false;
    this.#used = false;
  };

  readonly #keyUp = (event: KeyboardEvent): void => {
    if (!this.#held || event.key.toLowerCase() !== 'p') return;
    const done = this.#used || !event.composedPath().includes(this.#host);
    this.#forget();
    if (done) return;
    const { session, pings } = this.#host;
    const { cursor } = session.showing;
    const under = this.#host.underPointer();
    const selected = this.#host.selected();
    if (under !== null) this.#point(under);
    else if (cursor !== null) pings.point(cursor, null);
    else if (selected !== null) {
      pings.point({ view: 'elevation', point: selected.point }, selected.thing);
    } else session.say('Select something first, or move the pointer over the drawing.');
  };

  #point({ view, point, pin }: PointedIn): void {
    this.#host.pings.point({ view, point }, selectionText(pin));
    this.#host.requestUpdate();
  }
}

const isPointKey = ({ key, ctrlKey, altKey, metaKey }: KeyboardEvent): boolean =>
  key.toLowerCase() === 'p' && !ctrlKey && !altKey && !metaKey;
