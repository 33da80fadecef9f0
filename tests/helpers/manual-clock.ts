import type { Clock, Timer } from '../../server/clock.ts';

interface Waiting extends Timer {
  readonly at: number;
  readonly run: () => void;
}

/** Time that passes only when a test says so. */
export class ManualClock implements Clock {
  #now = Date.UTC(2031, 4, 12, 9, 0, 0);
  #waiting: Waiting[] = [];

  now(): number {
    return this.#now;
  }

  after(delayMs: number, run: () => void): Timer {
    const timer: Waiting = { at: this.#now + delayMs, run };
    this.#waiting.push(timer);
    return timer;
  }

  cancel(timer: Timer): void {
    this.#waiting = this.#waiting.filter((waiting) => waiting !== timer);
  }

  /** Lets time pass; timers that fall due run in their order. */
  advance(ms: number): void {
    const end = this.#now + ms;
    for (;;) {
      const due = this.#waiting
        .filter(({ at }) => at <= end)
        .reduce<Waiting | null>(
          (first, next) => (first && first.at <= next.at ? first : next),
          null,
        );
      if (due === null) break;
      this.cancel(due);
      this.#now = due.at;
      due.run();
    }
    this.#now = end;
  }
}
