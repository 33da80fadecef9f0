import { createEncoder, toUint8Array, writeVarUint, writeVarUint8Array } from 'lib0/encoding';
import { MESSAGE_RECENT, RECENT } from '../../core/protocol/index.ts';

/** Three times as long as the server lets its log be ahead of its disk. */
const KEEP_MS = 15_000;

/** Of more than this the oldest is let go; three people's drags take a hundredth of it in that time. */
const KEEP_BYTES = 4 * 1024 * 1024;

interface Kept {
  readonly kind: number;
  readonly bytes: Uint8Array;
  readonly at: number;
}

/**
 * The updates that went over a line in its last seconds, both ways and in their order. The server sends
 * edits on before its disk has them; should a power cut take them from it, this window brings them back:
 * others' as the server sent them, its own in between, because each may follow on the other.
 */
export class RecentUpdates {
  readonly #now: () => number;
  #kept: Kept[] = [];
  #bytes = 0;

  /** @param now milliseconds that only go up */
  constructor(now = () => performance.now()) {
    this.#now = now;
  }

  /** Keeps a message that brought somebody else's update. */
  came(message: Uint8Array): void {
    this.#keep(RECENT.sentOn, message);
  }

  /** Keeps an update of one's own. */
  went(update: Uint8Array): void {
    this.#keep(RECENT.own, update);
  }

  /**
   * What is kept, as one message to a server that may have lost it; null where nothing is. While the line
   * is down nothing grows old: only then is it asked for.
   */
  message(): Uint8Array | null {
    if (this.#kept.length === 0) return null;
    const encoder = createEncoder();
    writeVarUint(encoder, MESSAGE_RECENT);
    for (const { kind, bytes } of this.#kept) {
      writeVarUint(encoder, kind);
      writeVarUint8Array(encoder, bytes);
    }
    return toUint8Array(encoder);
  }

  #keep(kind: number, bytes: Uint8Array): void {
    const at = this.#now();
    this.#kept.push({ kind, bytes, at });
    this.#bytes += bytes.byteLength;
    let gone = 0;
    for (const oldest of this.#kept) {
      if (at - oldest.at <= KEEP_MS && this.#bytes <= KEEP_BYTES) break;
      this.#bytes -= oldest.bytes.byteLength;
      gone += 1;
    }
    if (gone > 0) this.#kept = this.#kept.slice(gone);
  }
}
