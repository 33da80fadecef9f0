/** A timer that has been set; only the clock that made it can clear it. */
export type Timer = object;

/** Time as a dependency, so that tests decide when it passes. */
export interface Clock {
  /** Milliseconds since the epoch. */
  now(): number;
  /** @param delayMs 0: as soon as what has arrived already is dealt with */
  after(delayMs: number, run: () => void): Timer;
  cancel(timer: Timer): void;
}

export const systemClock: Clock = {
  now: () => Date.now(),
  after: (delayMs, run) => (delayMs === 0 ? setImmediate(run) : setTimeout(run, delayMs)),
  cancel: (timer) => {
    // Each passes over what the other has made.
    clearTimeout(timer as NodeJS.Timeout);
    clearImmediate(timer as NodeJS.Immediate);
  },
};

/** The clock's time as ISO 8601 text. */
export const timeOf = (clock: Clock): string => new Date(clock.now()).toISOString();

export const DAY_MS = 24 * 3600 * 1000;

/** When something that begins now ends, ISO 8601; null: never. */
export const endAfter = (clock: Clock, days: number | null): string | null =>
  days === null ? null : new Date(clock.now() + days * DAY_MS).toISOString();
