import { type Clock, systemClock } from '../../server/clock.ts';

/** The machine's clock with hours added; timers run as they do. */
export class ShiftedClock implements Clock {
  #shift = 0;

  now(): number {
    return systemClock.now() + this.#shift;
  }

  readonly after = systemClock.after;
  readonly cancel = systemClock.cancel;

  add(ms: number): void {
    this.#shift += ms;
  }
}
