import {
  createDecoder,
  type Decoder,
  hasContent,
  readVarUint,
  readVarUint8Array,
} from 'lib0/decoding';
import {
  createEncoder,
  type Encoder,
  toUint8Array,
  writeVarString,
  writeVarUint,
  writeVarUint8Array,
} from 'lib0/encoding';
import { writeSyncStep1, writeSyncStep2, writeUpdate } from 'y-protocols/sync';
import * as Y from 'yjs';
import {
  MESSAGE_HELD,
  MESSAGE_RECENT,
  MESSAGE_REFUSED,
  MESSAGE_SAVED,
  RECENT,
} from '../../core/protocol/index.ts';

// Message types of y-protocols that stock clients use.
const MESSAGE_SYNC = 0;
const MESSAGE_AWARENESS = 1;
const MESSAGE_QUERY_AWARENESS = 3;

// Kinds of a MESSAGE_SYNC.
const SYNC_STEP_1 = 0;
const SYNC_STEP_2 = 1;
const SYNC_UPDATE = 2;

/** An update that a client sent, or a frame that took somebody else's update to it. */
export type RecentEntry =
  | { readonly kind: 'own'; readonly update: Uint8Array }
  | { readonly kind: 'sent-on'; readonly frame: Uint8Array };

/** What a client can say. */
export type Message =
  /** It has this much; it wants what it misses. */
  | { readonly kind: 'question'; readonly stateVector: Uint8Array }
  /** Edits: new ones, or (`isAnswer`) all that it has, in answer to the server's question. */
  | { readonly kind: 'update'; readonly update: Uint8Array; readonly isAnswer: boolean }
  | { readonly kind: 'awareness'; readonly update: Uint8Array }
  | { readonly kind: 'who-is-here' }
  /** This went over its line before, and the server may have lost it since. */
  | { readonly kind: 'recent'; readonly entries: readonly RecentEntry[] }
  /** It wants this number back once all that it sent before is on disk. */
  | { readonly kind: 'barrier'; readonly number: number };

/** Reads one message of a client; null if it is none of these, or broken. Never throws. */
export function readMessage(bytes: Uint8Array): Message | null {
  try {
    const decoder = createDecoder(bytes);
    const type = readVarUint(decoder);
    if (type === MESSAGE_AWARENESS)
      return { kind: 'awareness', update: readVarUint8Array(decoder) };
    if (type === MESSAGE_QUERY_AWARENESS) return { kind: 'who-is-here' };
    if (type === MESSAGE_SAVED) return { kind: 'barrier', number: readVarUint(decoder) };
    if (type === MESSAGE_RECENT) return { kind: 'recent', entries: readRecent(decoder) };
    if (type !== MESSAGE_SYNC) return null;
    const step = readVarUint(decoder);
    const payload = readVarUint8Array(decoder);
    if (step === SYNC_STEP_2 || step === SYNC_UPDATE) {
      return { kind: 'update', update: payload, isAnswer: step === SYNC_STEP_2 };
    }
    if (step !== SYNC_STEP_1) return null;
    // Read once here, so that answering it later cannot throw.
    Y.decodeStateVector(payload);
    return { kind: 'question', stateVector: payload };
  } catch {
    return null;
  }
}

function readRecent(decoder: Decoder): RecentEntry[] {
  const entries: RecentEntry[] = [];
  while (hasContent(decoder)) {
    const kind = readVarUint(decoder);
    const bytes = readVarUint8Array(decoder);
    if (kind === RECENT.own) entries.push({ kind: 'own', update: bytes });
    else if (kind === RECENT.sentOn) entries.push({ kind: 'sent-on', frame: bytes });
    else throw new RangeError(`there is no kind ${kind} of what went over a line`);
  }
  return entries;
}

function frame(type: number, write: (encoder: Encoder) => void): Uint8Array {
  const encoder = createEncoder();
  writeVarUint(encoder, type);
  write(encoder);
  return toUint8Array(encoder);
}

/** "This is what I have; send what I miss." */
export const questionFrame = (doc: Y.Doc): Uint8Array =>
  frame(MESSAGE_SYNC, (encoder) => writeSyncStep1(encoder, doc));

/** What a peer with the given state vector misses. */
export const answerFrame = (doc: Y.Doc, stateVector: Uint8Array): Uint8Array =>
  frame(MESSAGE_SYNC, (encoder) => writeSyncStep2(encoder, doc, stateVector));

export const updateFrame = (update: Uint8Array): Uint8Array =>
  frame(MESSAGE_SYNC, (encoder) => writeUpdate(encoder, update));

export const savedFrame = (number: number): Uint8Array =>
  frame(MESSAGE_SAVED, (encoder) => writeVarUint(encoder, number));

export const refusedFrame = (reason: string): Uint8Array =>
  frame(MESSAGE_REFUSED, (encoder) => writeVarString(encoder, reason));

export const heldFrame = (reason: string): Uint8Array =>
  frame(MESSAGE_HELD, (encoder) => writeVarString(encoder, reason));

/** One client's awareness state as it goes over the wire; `json` is `null` for one who left. */
export interface AwarenessEntry {
  readonly client: number;
  readonly clock: number;
  readonly json: string;
}

/** Awareness states; without any it is a sign of life that changes nothing. */
export const awarenessFrame = (entries: readonly AwarenessEntry[]): Uint8Array =>
  frame(MESSAGE_AWARENESS, (encoder) => {
    const inner = createEncoder();
    writeVarUint(inner, entries.length);
    for (const { client, clock, json } of entries) {
      writeVarUint(inner, client);
      writeVarUint(inner, clock);
      writeVarString(inner, json);
    }
    writeVarUint8Array(encoder, toUint8Array(inner));
  });
