import {
  createHmac,
  createSecretKey,
  type KeyObject,
  randomBytes,
  timingSafeEqual,
} from 'node:crypto';
import { createDecoder, readVarString, readVarUint, readVarUint8Array } from 'lib0/decoding';
import {
  createEncoder,
  toUint8Array,
  writeUint8Array,
  writeVarString,
  writeVarUint,
} from 'lib0/encoding';
import { type Author, type DocumentKey, keyText } from '../storage/update-store.ts';
import { updateFrame } from './wire.ts';

/** HMAC-SHA-256, the leftmost half of it (RFC 2104, section 5). */
const TAG_BYTES = 16;

/** What was sent on, with what a log that has lost it must know besides. */
export interface SentOn {
  readonly update: Uint8Array;
  /** Whose edit it is; '' where it is the server's own or that of several people. */
  readonly person: string;
  /** Client ids that it binds. */
  readonly authors: readonly Author[];
}

/**
 * Vouches for what goes out before the disk has it. A power cut in between takes it from the server but
 * not from those who have seen it: they hold edits under the names of others, which the gate would take
 * for forged. So every update is sent on with a tag that only this server can make, and whoever brings
 * update and tag back is believed. Clients that do not know of it do not read so far.
 */
export class Vouchers {
  readonly #key: KeyObject;

  /** @param generation a history that the server was put back from is not brought back */
  constructor(secret: string, generation: string) {
    const key = createHmac('sha256', secret).update(`sent on\n${generation}`).digest();
    this.#key = createSecretKey(key);
  }

  /** For a server without a past. */
  static atRandom(): Vouchers {
    return new Vouchers(randomBytes(32).toString('base64url'), '');
  }

  /** The frame that takes an update to the others. */
  frameOf(key: DocumentKey, { update, person, authors }: SentOn): Uint8Array {
    const encoder = createEncoder();
    writeUint8Array(encoder, updateFrame(update));
    writeVarString(encoder, person);
    writeVarUint(encoder, authors.length);
    for (const author of authors) {
      writeVarUint(encoder, author.client);
      writeVarString(encoder, author.person);
    }
    writeUint8Array(encoder, this.#tagOf(key, toUint8Array(encoder)));
    return toUint8Array(encoder);
  }

  /** What a frame took to the others; null if it is no frame of this server to this document. */
  open(key: DocumentKey, frame: Uint8Array): SentOn | null {
    const end = frame.byteLength - TAG_BYTES;
    if (end < 0) return null;
    const said = frame.subarray(0, end);
    if (!timingSafeEqual(this.#tagOf(key, said), frame.subarray(end))) return null;
    const decoder = createDecoder(said);
    // Message type and kind: it has made no others.
    readVarUint(decoder);
    readVarUint(decoder);
    const update = readVarUint8Array(decoder);
    const person = readVarString(decoder);
    const authors = Array.from({ length: readVarUint(decoder) }, () => ({
      client: readVarUint(decoder),
      person: readVarString(decoder),
    }));
    return { update, person, authors };
  }

  #tagOf(key: DocumentKey, said: Uint8Array): Buffer {
    // The name of a document has no line break: what is tagged reads in one way only.
    const hmac = createHmac('sha256', this.#key)
      .update(`${keyText(key)}\n`)
      .update(said);
    return hmac.digest().subarray(0, TAG_BYTES);
  }
}
