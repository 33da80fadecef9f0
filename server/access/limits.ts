import type { Clock } from '../clock.ts';
import { TooMany } from '../errors.ts';
import { RateLimiter } from './rate-limit.ts';

/**
 * How often people may knock and write over HTTP. A studio of 60 behind one address comes in at once;
 * a page writes a few requests a minute.
 */
export const RATES = {
  joinsPerAddress: { burst: 60, perSecond: 1 },
  // Per link and address, and per link whoever asks: ten guesses a minute of even a weak passphrase
  // is some lifetimes.
  passphrasesPerAddress: { burst: 5, perSecond: 1 / 30 },
  passphrasesPerInvite: { burst: 30, perSecond: 1 / 6 },
  writesPerPerson: { burst: 120, perSecond: 4 },
  writesPerAddress: { burst: 600, perSecond: 20 },
  uploadsPerPerson: { burst: 40, perSecond: 1 / 3 },
} as const;

/** Throws TooMany for what is done too often. An address that is null stands for nobody's. */
export class Limits {
  readonly #limiters: Record<keyof typeof RATES, RateLimiter>;

  constructor(clock: Clock) {
    const limiter = (name: keyof typeof RATES): RateLimiter => new RateLimiter(clock, RATES[name]);
    this.#limiters = {
      joinsPerAddress: limiter('joinsPerAddress'),
      passphrasesPerAddress: limiter('passphrasesPerAddress'),
      passphrasesPerInvite: limiter('passphrasesPerInvite'),
      writesPerPerson: limiter('writesPerPerson'),
      writesPerAddress: limiter('writesPerAddress'),
      uploadsPerPerson: limiter('uploadsPerPerson'),
    };
  }

  join(address: string | null): void {
    this.#take('joinsPerAddress', address);
  }

  passphrase(invite: string, address: string | null): void {
    this.#take('passphrasesPerAddress', address === null ? null : `${invite} ${address}`);
    this.#take('passphrasesPerInvite', invite);
  }

  write(session: string | null, address: string | null): void {
    this.#take('writesPerPerson', session);
    this.#take('writesPerAddress', address);
  }

  upload(person: string): void {
    this.#take('uploadsPerPerson', person);
  }

  #take(name: keyof typeof RATES, key: string | null): void {
    const seconds = key === null ? 0 : this.#limiters[name].take(key);
    if (seconds > 0) throw new TooMany(seconds);
  }
}
