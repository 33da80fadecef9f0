import * as Y from 'yjs';
import { type SentUpdate, type Struct, valuesOf } from './read-update.ts';

/** One entry of a root map that an update sets or deletes. */
export interface Touch {
  readonly root: string;
  readonly key: string;
  /** `passing`: set, and overwritten or deleted again before it was sent. */
  readonly kind: 'set' | 'passing' | 'delete';
  /** The new value of a set entry. */
  readonly value?: unknown;
}

/** What an update would do to a document. */
export interface Effect {
  readonly touches: readonly Touch[];
  /** Clients of structs that the document does not have yet. */
  readonly writers: readonly number[];
  /** Whether the document knows none of its structs yet. */
  readonly isAllNew: boolean;
}

interface Place {
  readonly root: string;
  readonly key: string;
}

/** A struct without a place: rubbish, which changes nothing. */
const NOWHERE = 'nowhere';

/** Ids are below 40 characters, and a key is made of three or four of them. */
const MAX_NAME = 256;

/** Why an update cannot be taken. */
export interface Fault {
  readonly reason: string;
  /** It lacks something that may be on its way; the others will never be in order. */
  readonly lacks: boolean;
}

const FAULTS = {
  gap: { reason: 'it leaves out edits that came before it', lacks: true },
  base: { reason: 'it builds on edits that the server does not have', lacks: true },
  future: { reason: 'it deletes what has not been written yet', lacks: true },
  shape: { reason: 'it does not fit the shape of a review', lacks: false },
} as const;

/**
 * Works out which entries an update changes, without applying it, or why it cannot be taken.
 *
 * Every struct must follow on the known clocks of its client without a gap, and stand beside structs
 * that are known or in the update as well: then nothing of it is left waiting inside Yjs, to take
 * effect later, unseen. An honest client has no others, because the server sends on only what is on
 * disk. The documents are flat: each item is an entry of a root map.
 */
export function effectOf(update: SentUpdate, doc: Y.Doc): Effect | Fault {
  const walk = new Walk(update, doc);
  return walk.run();
}

class Walk {
  readonly #update: SentUpdate;
  readonly #store: Y.Doc['store'];
  readonly #roots: (type: unknown) => string | null;
  readonly #touches: Touch[] = [];
  #isAllNew = true;
  /** How far each client of the update is known, with what has been walked. */
  readonly #states = new Map<number, number>();
  /** Where the new structs stand, in the order of their clocks. */
  readonly #placed = new Map<number, { clock: number; place: Place | typeof NOWHERE }[]>();

  constructor(update: SentUpdate, doc: Y.Doc) {
    this.#update = update;
    this.#store = doc.store;
    this.#roots = rootNames(doc);
  }

  run(): Effect | Fault {
    const fault = this.#walkStructs() ?? this.#walkDeletions();
    if (fault !== null) return fault;
    const writers = [...this.#placed.keys()];
    return { touches: this.#touches, writers, isAllNew: this.#isAllNew };
  }

  /** Takes the structs in an order in which Yjs could integrate them. */
  #walkStructs(): Fault | null {
    const lines = [...this.#update.structs].map(([client, structs]) => {
      const state = Y.getState(this.#store, client);
      this.#states.set(client, state);
      if ((structs[0]?.id.clock ?? state) < state) this.#isAllNew = false;
      return { client, structs, next: firstBeyond(structs, state) };
    });
    for (;;) {
      let moved = false;
      let waiting = false;
      for (const line of lines) {
        for (; line.next < line.structs.length; line.next++) {
          const struct = line.structs[line.next] as Struct;
          const state = this.#stateOf(line.client);
          if (struct instanceof Y.Skip || struct.id.clock > state) return FAULTS.gap;
          if (!this.#isReady(struct)) {
            waiting = true;
            break;
          }
          const fault = this.#take(struct, state);
          if (fault !== null) return fault;
          moved = true;
        }
      }
      if (!waiting) return null;
      if (!moved) return FAULTS.base;
    }
  }

  #stateOf(client: number): number {
    return this.#states.get(client) ?? Y.getState(this.#store, client);
  }

  #isReady(struct: Struct): boolean {
    if (!(struct instanceof Y.Item)) return true;
    return [struct.origin, struct.rightOrigin].every(
      (id) => id === null || id.clock < this.#stateOf(id.client),
    );
  }

  #take(struct: Struct, state: number): Fault | null {
    const { client, clock } = struct.id;
    const place = struct instanceof Y.Item ? this.#placeOfItem(struct) : NOWHERE;
    if (place === null) return FAULTS.shape;
    if (clock < state) {
      // Its first part is here already, so the rest must stand where that does.
      const before = this.#placeOf(client, state - 1);
      if (before === null || !isSame(before, place)) return FAULTS.shape;
    }
    this.#states.set(client, clock + struct.length);
    const placed = this.#placed.get(client);
    if (placed === undefined) this.#placed.set(client, [{ clock, place }]);
    else placed.push({ clock, place });
    if (place !== NOWHERE && struct instanceof Y.Item) {
      const passing = struct.content instanceof Y.ContentDeleted;
      const value = valuesOf(struct).at(-1);
      this.#touches.push({ ...place, kind: passing ? 'passing' : 'set', value });
    }
    return null;
  }

  /** Where Yjs would put an item: beside its neighbours, or by name. */
  #placeOfItem(item: Y.Item): Place | typeof NOWHERE | null {
    if (!isPlain(item.content)) return null;
    const { origin, rightOrigin } = item;
    const beside = [origin, rightOrigin].map((id) =>
      id === null ? null : this.#placeOf(id.client, id.clock),
    );
    if (beside.includes(NOWHERE)) return NOWHERE;
    if (origin !== null) return beside[0] ?? null;
    if (rightOrigin !== null) return beside[1] ?? null;
    const root: unknown = item.parent;
    const key = item.parentSub;
    if (typeof root !== 'string' || key === null) return null;
    return Math.max(root.length, key.length) > MAX_NAME ? null : { root, key };
  }

  #placeOf(client: number, clock: number): Place | typeof NOWHERE | null {
    if (clock < Y.getState(this.#store, client)) {
      const structs = this.#store.clients.get(client) ?? [];
      return this.#placeOfKnown(structs[Y.findIndexSS(structs, clock)]);
    }
    const placed = this.#placed.get(client) ?? [];
    return placed[lastAtOrBelow(placed, clock)]?.place ?? null;
  }

  #placeOfKnown(struct: Y.Item | Y.GC | undefined): Place | typeof NOWHERE | null {
    if (!(struct instanceof Y.Item)) return NOWHERE;
    const root = this.#roots(struct.parent);
    return root === null || struct.parentSub === null ? null : { root, key: struct.parentSub };
  }

  #walkDeletions(): Fault | null {
    for (const [client, ranges] of this.#update.deletions) {
      const known = Y.getState(this.#store, client);
      const structs = this.#store.clients.get(client) ?? [];
      for (const { clock, len } of ranges) {
        const end = clock + len;
        if (end > this.#stateOf(client)) return FAULTS.future;
        // New structs of the update itself are in the touches already.
        if (clock >= known) continue;
        for (let index = Y.findIndexSS(structs, clock); index < structs.length; index++) {
          const struct = structs[index];
          if (struct === undefined || struct.id.clock >= end) break;
          if (struct.deleted) continue;
          const place = this.#placeOfKnown(struct);
          if (place === null) return FAULTS.shape;
          if (place !== NOWHERE) this.#touches.push({ ...place, kind: 'delete' });
        }
      }
    }
    return null;
  }
}

/** Entries hold values; shared types and documents inside documents have no place in a review. */
const isPlain = (content: Y.Item['content']): boolean =>
  content instanceof Y.ContentAny ||
  content instanceof Y.ContentBinary ||
  content instanceof Y.ContentDeleted;

const isSame = (a: Place | typeof NOWHERE, b: Place | typeof NOWHERE): boolean =>
  a === b || (a !== NOWHERE && b !== NOWHERE && a.root === b.root && a.key === b.key);

/** Index of the first struct that reaches beyond a clock. */
function firstBeyond(structs: readonly Struct[], clock: number): number {
  const index = structs.findIndex(({ id, length }) => id.clock + length > clock);
  return index === -1 ? structs.length : index;
}

function lastAtOrBelow(placed: readonly { clock: number }[], clock: number): number {
  let low = 0;
  let high = placed.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    if ((placed[middle]?.clock ?? 0) <= clock) low = middle + 1;
    else high = middle - 1;
  }
  return high;
}

/** Names of root types; Yjs itself looks through all roots for each. */
function rootNames(doc: Y.Doc): (type: unknown) => string | null {
  let names = NAMES.get(doc);
  if (names === undefined) {
    names = new WeakMap();
    NAMES.set(doc, names);
  }
  const known = names;
  return (type) => {
    if (!(type instanceof Y.AbstractType) || type._item !== null) return null;
    let name = known.get(type);
    if (name === undefined) {
      name = Y.findRootTypeKey(type);
      known.set(type, name);
    }
    return name;
  };
}

const NAMES = new WeakMap<Y.Doc, WeakMap<object, string>>();
