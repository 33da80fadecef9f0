import { createEncoder, toUint8Array, writeUint8Array, writeVarUint } from 'lib0/encoding';
import { writeUpdate } from 'y-protocols/sync';
import { messageSync } from 'y-websocket';
import { MESSAGE_SENT_ON } from '../../core/protocol/index.ts';

/** Longer than the server lets its log be ahead of its disk. */
const KEEP_MS = 60_000;

/** Of more than this the oldest is let go; a minute of three people's drags is a hundredth of it. */
const KEEP_BYTES = 4 * 1024 * 1024;

/**
 * The updates that went over a line in the last minute, both ways and in their order. The server sends
 * edits on before its disk has them; should a power cut take them from it, this window brings them back:
 * others' as the server sent them, its own in between, because each may follow on the other.
 */
export class RecentUpdates {
  readonly #now: () => number;
  #kept: { readonly message: Uint8Array; readonly at: number }[] = [];
  #bytes = 0;

  /** @param now milliseconds that only go up */
  constructor(now = () => performance.now()) {
    this.#now = now;
  }

  /** Keeps a frame that brought somebody else's update. */
  came(frame: Uint8Array): void {
    this.#keep(MESSAGE_SENT_ON, (encoder) => writeUint8Array(encoder, frame));
  }

  /** Keeps an update of one's own. */
  went(update: Uint8Array): void {
    this.#keep(messageSync, (encoder) => writeUpdate(encoder, update));
  }

  /**
   * What is kept, as messages to a server that may have lost it. While the line is down nothing grows
   * old: only then is it asked for.
   */
  messages(): readonly Uint8Array[] {
    return this.#kept.map(({ message }) => message);
  }

  #keep(type: number, write: (encoder: ReturnType<typeof createEncoder>) => void): void {
    const encoder = createEncoder();
    writeVarUint(encoder, type);
    write(encoder);
    const message = toUint8Array(encoder);
    const at = this.#now();
    this.#kept.push({ message, at });
    this.#bytes += message.byteLength;
    let gone = 0;
    for (const oldest of this.#kept) {
      if (at - oldest.at <= KEEP_MS && this.#bytes <= KEEP_BYTES) break;
      this.#bytes -= oldest.message.byteLength;
      gone += 1;
    }
    if (gone > 0) this.#kept = this.#kept.slice(gone);
  }
}
