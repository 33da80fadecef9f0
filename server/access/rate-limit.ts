import type { Clock } from '../clock.ts';

/** How often something may be done: so many at once, and then so many a second. */
export interface Rate {
  readonly burst: number;
  readonly perSecond: number;
}

interface Bucket {
  tokens: number;
  at: number;
}

// Beyond this many keys, those that have their whole burst again are forgotten.
const SWEEP_AT = 10_000;

/** Counts what each key does (token buckets). */
export class RateLimiter {
  readonly #clock: Clock;
  readonly #rate: Rate;
  readonly #buckets = new Map<string, Bucket>();

  constructor(clock: Clock, rate: Rate) {
    this.#clock = clock;
    this.#rate = rate;
  }

  /** Counts `amount`. @returns 0 when it may be done now, else after how many whole seconds */
  take(key: string, amount = 1): number {
    if (this.#buckets.size >= SWEEP_AT) this.#sweep();
    const now = this.#clock.now();
    const bucket = this.#buckets.get(key) ?? { tokens: this.#rate.burst, at: now };
    bucket.tokens = this.#filled(bucket, now);
    bucket.at = now;
    this.#buckets.set(key, bucket);
    if (bucket.tokens >= amount) {
      bucket.tokens -= amount;
      return 0;
    }
    return Math.max(1, Math.ceil((amount - bucket.tokens) / this.#rate.perSecond));
  }

  #filled({ tokens, at }: Bucket, now: number): number {
    // A clock that was set back gives nothing and takes nothing.
    const seconds = Math.max(0, now - at) / 1000;
    return Math.min(this.#rate.burst, tokens + seconds * this.#rate.perSecond);
  }

  #sweep(): void {
    const now = this.#clock.now();
    for (const [key, bucket] of this.#buckets) {
      if (this.#filled(bucket, now) >= this.#rate.burst) this.#buckets.delete(key);
    }
  }
}
