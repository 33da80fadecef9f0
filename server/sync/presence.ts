import { createDecoder, readVarString, readVarUint } from 'lib0/decoding';
import { asRecord } from '../../core/document/decode.ts';
import { brokenField } from '../../core/document/presence.ts';
import { mayWrite, type Role } from '../../core/protocol/index.ts';
import type { AwarenessEntry } from './wire.ts';

// A full pose under way is about 2 KB of JSON; sixteen times that is nobody's presence.
const MAX_STATE_BYTES = 32 * 1024;

// A window has one client id; a few more allow a page that opened its document anew on one socket.
const MAX_CLIENTS_PER_HOLDER = 4;

// Ids of those who left are remembered so that nobody takes them up, the oldest forgotten first.
const MAX_REMEMBERED = 2000;

/** Whose states these are: one connection. */
export interface Holder {
  readonly person: string;
  readonly role: Role;
}

interface Known {
  /** Null once the client has left. */
  readonly holder: Holder | null;
  readonly person: string;
  readonly entry: AwarenessEntry;
}

export type Shown =
  | {
      readonly kind: 'shown';
      /** To be relayed; empty when nothing was new. */
      readonly entries: readonly AwarenessEntry[];
      /** To be sent back to the sender alone. */
      readonly corrections: readonly AwarenessEntry[];
      /** Why something was refused; empty when nothing was. */
      readonly refused: string;
    }
  | { readonly kind: 'malformed'; readonly reason: string };

/**
 * Who is here in one room. The server keeps states as text and relays them; it never merges them
 * into a peer of its own, so it has no client id and no timers.
 *
 * A client id belongs to the connection that first shows something under it, until that connection
 * closes; then the same person may take it up again (a window that reconnects), nobody else. Stock
 * clients send others' states back as they got them; such echoes are passed over without a word.
 */
export class PresenceTable {
  readonly #known = new Map<number, Known>();

  /** States of everybody who is here now. */
  entries(): AwarenessEntry[] {
    return [...this.#known.values()]
      .filter(({ entry }) => entry.json !== 'null')
      .map(({ entry }) => entry);
  }

  /** The person whose window shows or has shown itself under a client id; null if none has. */
  personOf(client: number): string | null {
    return this.#known.get(client)?.person ?? null;
  }

  /** Takes in an awareness update of one connection. */
  show(holder: Holder, update: Uint8Array): Shown {
    const read = readEntries(update);
    if (typeof read === 'string') return { kind: 'malformed', reason: read };
    const entries: AwarenessEntry[] = [];
    const corrections: AwarenessEntry[] = [];
    let refused = '';
    for (const { entry, state } of read) {
      const known = this.#known.get(entry.client);
      if (known !== undefined && !this.#isFresh(holder, known, entry)) {
        // A window that comes back does not know that the others were told it left. Telling it makes
        // it show itself again with a newer clock (y-protocols/awareness does so by itself).
        const cameBack = known.holder === null && known.person === holder.person;
        if (cameBack && state !== null) corrections.push(known.entry);
        continue;
      }
      const reason = this.#refuses(holder, known, state);
      if (reason === null) {
        this.#keep(entry.client, { holder, person: holder.person, entry });
        entries.push(entry);
      } else {
        refused = reason;
      }
    }
    return { kind: 'shown', entries, corrections, refused };
  }

  /** Takes away what a connection showed. @returns the entries that tell the others */
  leave(holder: Holder): AwarenessEntry[] {
    const left: AwarenessEntry[] = [];
    for (const [client, known] of this.#known) {
      if (known.holder !== holder) continue;
      const entry = { client, clock: known.entry.clock + 1, json: 'null' };
      this.#keep(client, { holder: null, person: known.person, entry });
      if (known.entry.json !== 'null') left.push(entry);
    }
    this.#forgetOldest();
    return left;
  }

  /** Whether an entry is newer than what is known, or its client came back with a clock of its own. */
  #isFresh(holder: Holder, known: Known, entry: AwarenessEntry): boolean {
    if (entry.clock > known.entry.clock) return true;
    // A client removes itself at the clock that it last showed.
    if (entry.clock === known.entry.clock && entry.json === 'null' && known.entry.json !== 'null') {
      return known.holder === holder;
    }
    return false;
  }

  #refuses(holder: Holder, known: Known | undefined, state: unknown): string | null {
    if (known === undefined) {
      const held = [...this.#known.values()].filter((other) => other.holder === holder).length;
      if (held >= MAX_CLIENTS_PER_HOLDER) return 'one window shows itself once';
    } else if (known.person !== holder.person) {
      return 'this presence belongs to somebody else';
    }
    const fields = asRecord(state);
    if (fields?.person !== undefined && fields.person !== holder.person) {
      return 'this presence names somebody else';
    }
    // A drag under way is weighed in every window, so it needs the right to make its end stay.
    if (fields?.drag != null && !mayWrite(holder.role, 'scenes')) {
      return `a ${holder.role} may look at figures here, not move them`;
    }
    // A what-if is laid over everyone's view: it is for those who have a say, and leads may end any.
    if (fields?.whatIf != null && !mayWrite(holder.role, 'notes')) {
      return `a ${holder.role} may look on here, not ask what if a grip lets go`;
    }
    if (fields?.ends != null && holder.role !== 'lead') {
      return "only a lead ends somebody else's what-if";
    }
    if (fields?.mark != null && !mayWrite(holder.role, 'notes')) {
      return `a ${holder.role} may look at marks here, not draw them`;
    }
    if (fields?.along != null && holder.role !== 'lead') {
      return `a lead asks everyone along; you are here as ${holder.role}`;
    }
    // What names nobody is no page's, and no page reads it.
    const broken = fields?.person === undefined ? null : brokenField(fields);
    return broken === null ? null : `the ${broken} of this presence is not one`;
  }

  #keep(client: number, known: Known): void {
    // Deleting first moves the client to the end, so that the oldest come first.
    this.#known.delete(client);
    this.#known.set(client, known);
  }

  #forgetOldest(): void {
    for (const [client, { holder }] of this.#known) {
      if (this.#known.size <= MAX_REMEMBERED) return;
      if (holder === null) this.#known.delete(client);
    }
  }
}

/** Reads an awareness update; a text says what is wrong with it. */
function readEntries(update: Uint8Array): { entry: AwarenessEntry; state: unknown }[] | string {
  try {
    const decoder = createDecoder(update);
    const count = readVarUint(decoder);
    const read: { entry: AwarenessEntry; state: unknown }[] = [];
    for (let index = 0; index < count; index++) {
      const client = readVarUint(decoder);
      const clock = readVarUint(decoder);
      const text = readVarString(decoder);
      if (text.length > MAX_STATE_BYTES) return 'a presence is too large';
      const state: unknown = JSON.parse(text);
      read.push({ entry: { client, clock, json: state === null ? 'null' : text }, state });
    }
    return read;
  } catch {
    return 'the presence could not be read';
  }
}
