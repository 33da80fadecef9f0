import { RateLimiter } from '../access/rate-limit.ts';
import type { Clock } from '../clock.ts';

/**
 * What one socket, all sockets of one address, and all who knock from one address may send. A window
 * in which somebody drags sends about 180 messages a second in its worst second (60 positions, and
 * for edits a barrier each); one that was offline sends all its work in one message of up to 8 MB. A
 * studio of 60 behind one address opens 180 sockets at once when it comes back.
 */
export const TRAFFIC = {
  messagesPerSocket: { burst: 3000, perSecond: 600 },
  bytesPerSocket: { burst: 32 * 1024 * 1024, perSecond: 2 * 1024 * 1024 },
  messagesPerAddress: { burst: 30_000, perSecond: 6000 },
  bytesPerAddress: { burst: 128 * 1024 * 1024, perSecond: 8 * 1024 * 1024 },
  attemptsPerAddress: { burst: 600, perSecond: 10 },
} as const;

/** Sockets that one person may have open: about thirty windows. */
export const MAX_SOCKETS_PER_PERSON = 100;

/** Counts what comes in. An address that is null stands for nobody's and is not counted. */
export class Traffic {
  readonly #clock: Clock;
  readonly #messages: RateLimiter;
  readonly #bytes: RateLimiter;
  readonly #attempts: RateLimiter;
  readonly #sockets = new Map<string, number>();

  constructor(clock: Clock) {
    this.#clock = clock;
    this.#messages = new RateLimiter(clock, TRAFFIC.messagesPerAddress);
    this.#bytes = new RateLimiter(clock, TRAFFIC.bytesPerAddress);
    this.#attempts = new RateLimiter(clock, TRAFFIC.attemptsPerAddress);
  }

  /** Whether an address may open one more socket now. */
  admits(address: string | null): boolean {
    return address === null || this.#attempts.take(address) === 0;
  }

  /** Counts a person's socket. @returns false when they have too many open */
  open(person: string): boolean {
    const open = (this.#sockets.get(person) ?? 0) + 1;
    if (open > MAX_SOCKETS_PER_PERSON) return false;
    this.#sockets.set(person, open);
    return true;
  }

  close(person: string): void {
    const open = (this.#sockets.get(person) ?? 1) - 1;
    if (open > 0) this.#sockets.set(person, open);
    else this.#sockets.delete(person);
  }

  /** A counter for one socket: told the size of each message, it answers whether it may be taken. */
  meter(address: string | null): (bytes: number) => boolean {
    const messages = new RateLimiter(this.#clock, TRAFFIC.messagesPerSocket);
    const bytes = new RateLimiter(this.#clock, TRAFFIC.bytesPerSocket);
    return (size) => {
      // What the socket itself may not send does not count against the others of its address.
      if (messages.take('') + bytes.take('', size) > 0) return false;
      if (address === null) return true;
      return this.#messages.take(address) + this.#bytes.take(address, size) === 0;
    };
  }
}
