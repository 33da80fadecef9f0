import type { ReactiveController, ReactiveControllerHost } from 'lit';

interface PlayerHost extends ReactiveControllerHost {
  readonly frame: number;
  go(frame: number): void;
}

/** What is played. */
export interface Playing {
  /** Frames a second. */
  readonly rate: number;
  /** First and last frame. */
  readonly from: number;
  readonly to: number;
}

/**
 * Plays frames at their true speed: frames that the browser cannot show in time are left out, and
 * counted. `next` runs a step at the browser's next animation frame, with the time in milliseconds.
 */
export class Player implements ReactiveController {
  readonly #host: PlayerHost;
  readonly #next: (step: (now: number) => void) => unknown;
  /** The run that is on; null when it stands. */
  #run: object | null = null;
  /** Whether it begins again at the end. */
  loop = false;
  /** Frames left out since it was started. */
  leftOut = 0;

  constructor(
    host: PlayerHost,
    next: (step: (now: number) => void) => unknown = (step) => requestAnimationFrame(step),
  ) {
    this.#host = host;
    this.#next = next;
    host.addController(this);
  }

  hostDisconnected(): void {
    this.stop();
  }

  get playing(): boolean {
    return this.#run !== null;
  }

  start({ rate, from, to }: Playing): void {
    this.stop();
    this.leftOut = 0;
    const length = to - from + 1;
    const { frame } = this.#host;
    // Steps since the first frame of the stretch, over all rounds.
    const start = frame < from || frame >= to ? 0 : frame - from;
    let last = start - 1;
    let began: number | null = null;
    const run = {};
    this.#run = run;
    const step = (now: number): void => {
      if (this.#run !== run) return;
      began ??= now;
      const due = start + Math.floor(((now - began) / 1000) * rate + 1e-6);
      const at = this.loop ? due : Math.min(due, length - 1);
      this.leftOut += Math.max(0, at - last - 1);
      if (at > last) this.#host.go(from + (at % length));
      last = at;
      if (at === length - 1 && !this.loop) this.stop();
      else this.#next(step);
    };
    this.#next(step);
    this.#host.requestUpdate();
  }

  stop(): void {
    if (this.#run === null) return;
    this.#run = null;
    this.#host.requestUpdate();
  }
}
