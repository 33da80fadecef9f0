import * as Y from 'yjs';
import { CLOSE, type Role } from '../../core/protocol/index.ts';
import type { Log } from '../log.ts';
import { shouldCompact, shouldCompactLeft } from '../storage/compaction.ts';
import {
  type Appended,
  type Author,
  type DocumentKey,
  keyText,
  type UpdateStore,
} from '../storage/update-store.ts';
import { Answers } from './answers.ts';
import { Authors } from './authors.ts';
import type { Connection } from './connection.ts';
import { type Admitted, type GateContext, judge, judgeSentOn, type Passage } from './gate.ts';
import { RemovedWords } from './note-rules.ts';
import { personOf } from './person-of.ts';
import { PresenceTable } from './presence.ts';
import { applyAll, hasPending, RoomDoc, updateOf } from './room-doc.ts';
import type { Vouchers } from './vouchers.ts';
import { Writer } from './writer.ts';

/** Origin of the server's own writes. */
export const SERVER_ORIGIN = { source: 'server' } as const;

const ROOM_ORIGIN = { source: 'storage' } as const;

/**
 * Largest document. A whole review of 60 shots is below 2 MB; a document near this takes a second to
 * open and about fifteen times its size in memory.
 */
export const MAX_DOCUMENT_BYTES = 32 * 1024 * 1024;

/** What one commit holds of a room: it goes out to the others once it is in the log. */
interface Group {
  readonly appended: Appended;
  readonly updates: Uint8Array[];
  readonly senders: Set<Connection | null>;
  readonly people: Set<string | null>;
  readonly authors: Author[];
}

/** An update that is applied, as it is to be logged and sent on. */
interface Applied {
  readonly update: Uint8Array | null;
  /** Whose line it came by: it is not sent back there; null: nobody's. */
  readonly sender: Connection | null;
  /** Whose edit it is; null: the server's own. */
  readonly person: string | null;
  /** Client ids that it binds. */
  readonly authors: readonly Author[];
}

export interface RoomDeps {
  readonly store: UpdateStore;
  readonly log: Log;
  readonly vouchers: Vouchers;
}

/**
 * One shared document in memory, with everybody who is connected to it.
 *
 * An update is applied and appended to the log in one turn of the event loop, so that what is in
 * memory is always what is in the log or waiting for its commit. It is sent on once it is in the log, all
 * updates of one commit as one frame: so the end of this process takes nothing that anybody has seen. A
 * power cut may, as long as the disk does not have it; then those who have seen it bring it back
 * (vouchers.ts), and the gate may go on asking that everybody brings their own edits alone.
 */
export class Room {
  readonly key: DocumentKey;
  readonly doc: Y.Doc;
  readonly presence = new PresenceTable();
  readonly answers: Answers;
  readonly #store: UpdateStore;
  readonly #log: Log;
  readonly #vouchers: Vouchers;
  readonly #connections = new Set<Connection>();
  readonly #onFail: (() => void)[] = [];
  /** Who wrote the note or reply of an id, as far as the server has stamped it. */
  #stampOf: (row: string) => string | null = () => null;
  /** Whether a call is open on a draft. */
  #calledDrafts: () => ReadonlySet<string> = () => new Set();
  /** Whether the readings of a shot are hidden. */
  #isHidden: (shot: string) => boolean = () => false;
  readonly #authors: Authors;
  readonly #removed = new RemovedWords();
  #group: Group | null = null;
  #written: Promise<void> = Promise.resolve();
  #durable: Promise<void> = Promise.resolve();
  #waiting = 0;
  #logBytes: number;
  #snapshotBytes: number;
  #broken = false;

  private constructor(
    key: DocumentKey,
    { store, log, vouchers }: RoomDeps,
    loaded: { doc: Y.Doc; authors: Authors; logBytes: number; snapshotBytes: number },
  ) {
    this.key = key;
    this.doc = loaded.doc;
    this.answers = new Answers(loaded.doc);
    this.#authors = loaded.authors;
    this.#store = store;
    this.#log = log;
    this.#vouchers = vouchers;
    this.#logBytes = loaded.logBytes;
    this.#snapshotBytes = loaded.snapshotBytes;
  }

  /** Reads a document back: its snapshot, then the log behind it. Rows that do not apply are set aside. */
  static async load(key: DocumentKey, deps: RoomDeps): Promise<Room> {
    const { store } = deps;
    for (;;) {
      const { snapshot, updates, authors } = await store.load(key);
      const doc = new RoomDoc();
      if (snapshot !== null) Y.applyUpdate(doc, snapshot, ROOM_ORIGIN);
      const broken = applyAll(doc, updates, ROOM_ORIGIN);
      if (broken === null) {
        const logBytes = updates.reduce((sum, { bytes }) => sum + bytes.byteLength, 0);
        const snapshotBytes = snapshot?.byteLength ?? 0;
        const loaded = { doc, authors: new Authors(authors), logBytes, snapshotBytes };
        return new Room(key, deps, loaded);
      }
      // A half-applied row leaves a document that nobody can vouch for: start again without the row.
      doc.destroy();
      await store.quarantine(key, broken.update, broken.reason);
    }
  }

  get connections(): ReadonlySet<Connection> {
    return this.#connections;
  }

  /** True once memory and log may differ: the room takes nothing in any more and must be reloaded. */
  get isBroken(): boolean {
    return this.#broken;
  }

  /** Whether everything that was applied is on disk. */
  get isDurable(): boolean {
    return this.#waiting === 0;
  }

  /** Resolves when everything applied so far is in the log and has been sent on. */
  get sentOn(): Promise<void> {
    return this.#written;
  }

  /** Whether everything that was applied has been sent on. */
  get isSentOn(): boolean {
    return this.#group === null;
  }

  /** Resolves when everything applied so far is on disk. */
  get durable(): Promise<void> {
    return this.#durable;
  }

  /** Whether the store takes nothing in just now. */
  get isFull(): boolean {
    return this.#store.isFull;
  }

  /** Tells the room where to look up who wrote a note. */
  knowStamps(stampOf: (row: string) => string | null): void {
    this.#stampOf = stampOf;
  }

  /** Tells the room where to look up which drafts stay as they are for a call. */
  knowCalls(calledDrafts: () => ReadonlySet<string>): void {
    this.#calledDrafts = calledDrafts;
  }

  /** Tells the room where to look up which shots' readings are hidden. */
  knowHidden(isHidden: (shot: string) => boolean): void {
    this.#isHidden = isHidden;
  }

  /** Judges an update of a person before it is applied. */
  judge(update: Uint8Array, { person, role }: Pick<GateContext, 'person' | 'role'>): Passage {
    if (this.#snapshotBytes > MAX_DOCUMENT_BYTES) {
      return { kind: 'refused', reason: 'the review has grown too large to take more' };
    }
    return judge(update, this.#contextFor(person, role));
  }

  /** Spelled out, for it is made with every update. */
  #contextFor(person: string, role: Role): GateContext {
    return {
      doc: this.doc,
      document: this.key.document,
      person,
      role,
      authors: this.#authors,
      removed: this.#removed,
      shownBy: this.#shownBy,
      calledDrafts: this.#calledDrafts,
      isHidden: this.#isHidden,
      ownerOf: this.#ownerOf,
    };
  }

  readonly #shownBy = (client: number): string | null => this.presence.personOf(client);
  readonly #ownerOf = (row: string): string | null => this.#stampOf(row) ?? this.#writerOf(row);

  /** Runs when memory and log may differ. */
  whenFailed(run: () => void): void {
    this.#onFail.push(run);
  }

  join(connection: Connection): void {
    this.#connections.add(connection);
  }

  leave(connection: Connection): void {
    this.#connections.delete(connection);
  }

  /**
   * Applies an update that has passed the gate and logs it; it goes to everybody else once it is in the
   * log.
   * @returns false when it broke off half-way: then the room has failed
   */
  apply(
    update: Uint8Array,
    origin: Connection,
    { newClients, isAllNew }: Pick<Admitted, 'newClients' | 'isAllNew'>,
  ): boolean {
    const { person } = origin;
    const authors = newClients.map((client) => ({ client, person }));
    return this.#apply({ update, sender: origin, person, authors }, { origin, isAllNew });
  }

  /**
   * Takes back in what the server sent on and has lost since, if there is such a thing in a frame that
   * somebody brings. What it follows on may still be on its way with somebody else; it is brought by all.
   */
  bringBack(frame: Uint8Array, sender: Connection): void {
    const sentOn = this.#vouchers.open(this.key, frame);
    if (sentOn === null || this.isFull) return;
    const { update, person, authors } = sentOn;
    // Somebody took the name up meanwhile: what is under it now is theirs.
    const isTaken = authors.some((author) => this.#authors.isAnothers(author));
    const passage = judgeSentOn(update, this.#contextFor(person, 'lead'));
    if (isTaken || passage.kind !== 'pass') return;
    const origin = person === '' ? SERVER_ORIGIN : new Writer(person);
    this.#apply(
      { update, sender, person: person === '' ? null : person, authors },
      { origin, isAllNew: passage.isAllNew },
    );
  }

  #apply(
    { update, ...from }: Applied & { readonly update: Uint8Array },
    { origin, isAllNew }: { readonly origin: unknown; readonly isAllNew: boolean },
  ): boolean {
    const hadWaiting = hasPending(this.doc);
    const apply = (): void => Y.applyUpdate(this.doc, update, origin);
    let emitted: Uint8Array | null = update;
    try {
      // Of what is new throughout Yjs would make the same update once more.
      if (isAllNew) apply();
      else emitted = updateOf(this.doc, apply);
    } catch (cause) {
      this.#log.problem(`An update broke off while it was applied to ${keyText(this.key)}.`, cause);
      this.fail();
      return false;
    }
    // A log from before the gate may hold edits that wait for others. What they are waiting for must
    // be logged as it came, or a restart would lose what the sender was told is saved.
    const complete = !hadWaiting && !hasPending(this.doc);
    this.#authors.bind(from.authors);
    this.#publish({ update: complete ? emitted : update, ...from });
    return true;
  }

  /**
   * The server's own write.
   * @param origin the server itself, or for whom it writes (writer.ts)
   * @returns resolves when it is on disk; rejects when there is no room
   */
  write(change: (doc: Y.Doc) => void, origin: unknown = SERVER_ORIGIN): Promise<void> {
    if (this.isFull) return rejected(new Error('there is no room left for data'));
    const update = updateOf(this.doc, () => this.doc.transact(() => change(this.doc), origin));
    this.#publish({ update, sender: null, person: personOf(origin), authors: [] });
    return this.#durable;
  }

  /** Sends to everybody, or to everybody else; `droppable` frames are skipped for slow readers. */
  broadcast(frame: Uint8Array, except: Connection | null, droppable = false): void {
    for (const connection of this.#connections) {
      if (connection !== except) connection.send(frame, droppable);
    }
  }

  /** Memory and log may differ: sends everybody away, to come back to what is on disk. */
  fail(): void {
    if (this.#broken) return;
    this.#broken = true;
    for (const run of this.#onFail) run();
    for (const connection of [...this.#connections]) {
      connection.close(CLOSE.comeBack, 'the document is being read again');
    }
  }

  #publish({ update, sender, person, authors }: Applied): void {
    if (update === null) return;
    this.answers.forget();
    this.#logBytes += update.byteLength;
    this.#waiting += 1;
    const appended = this.#store.append(this.key, update, authors);
    if (this.#group?.appended === appended) {
      this.#group.updates.push(update);
      this.#group.senders.add(sender);
      this.#group.people.add(person);
      this.#group.authors.push(...authors);
      return;
    }
    const [senders, people] = [new Set([sender]), new Set([person])];
    const group: Group = { appended, updates: [update], senders, people, authors: [...authors] };
    this.#group = group;
    this.#written = appended.written.then(() => this.#sendOn(group));
    this.#durable = appended.durable.then(
      () => {
        this.#waiting -= group.updates.length;
        this.#compactIf(shouldCompact);
      },
      (cause: unknown) => {
        this.#waiting -= group.updates.length;
        this.fail();
        throw cause;
      },
    );
    // A barrier or an unload looks at the promises later; until then their failure is not unhandled.
    this.#written.catch(() => undefined);
    this.#durable.catch(() => undefined);
  }

  /** What was committed together goes out in one frame: fewer frames to write, and fewer to read. */
  #sendOn(group: Group): void {
    if (this.#group === group) this.#group = null;
    const { updates, senders, people, authors } = group;
    const update = updates.length === 1 ? updates[0] : Y.mergeUpdates(updates);
    if (update === undefined || this.#broken) return;
    const person = only(people) ?? '';
    const frame = this.#vouchers.frameOf(this.key, { update, person, authors });
    const sender = only(senders);
    for (const connection of this.#connections) {
      if (connection !== sender) connection.sendOn(frame);
    }
  }

  /** The person who made a note or reply that nobody has stamped, by the client id of its mark. */
  #writerOf(row: string): string | null {
    for (const root of ['notes', 'replies']) {
      const mark = this.doc.getMap(root)._map.get(row);
      if (mark !== undefined && !mark.deleted) return this.#authors.of(mark.id.client);
    }
    return null;
  }

  /** To be called when everybody has left and all is on disk: what is read back next is short. */
  tidyUp(): void {
    this.#compactIf(shouldCompactLeft);
  }

  #compactIf(isDue: typeof shouldCompact): void {
    if (this.#broken || this.isFull || !isDue(this.#logBytes, this.#snapshotBytes)) return;
    const snapshot = Y.encodeStateAsUpdate(this.doc);
    this.#logBytes = 0;
    this.#snapshotBytes = snapshot.byteLength;
    this.#store.compact(this.key, snapshot).catch((cause: unknown) => {
      this.#log.problem(`${keyText(this.key)} could not be compacted; its log stays.`, cause);
    });
  }
}

/** A rejection that need not be looked at. */
function rejected(cause: Error): Promise<never> {
  const promise = Promise.reject<never>(cause);
  promise.catch(() => undefined);
  return promise;
}

/** The one thing that a set holds; null where it holds others as well. */
const only = <T>(set: ReadonlySet<T | null>): T | null => {
  const [first = null] = set;
  return set.size === 1 ? first : null;
};
