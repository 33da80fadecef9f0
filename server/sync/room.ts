import * as Y from 'yjs';
import { CLOSE } from '../../core/protocol/index.ts';
import type { Log } from '../log.ts';
import { shouldCompact } from '../storage/compaction.ts';
import {
  type DocumentKey,
  keyText,
  type StoredUpdate,
  type UpdateStore,
} from '../storage/update-store.ts';
import type { Connection } from './connection.ts';
import { PresenceTable } from './presence.ts';
import { updateFrame } from './wire.ts';

/** Origin of the server's own writes. */
export const SERVER_ORIGIN = { source: 'server' } as const;

const ROOM_ORIGIN = { source: 'storage' } as const;

/**
 * One shared document in memory, with everybody who is connected to it.
 *
 * Applying an update, appending it to the log and sending it on happen in one turn of the event loop,
 * so that what is in memory is always what is in the log or waiting for its commit.
 */
export class Room {
  readonly key: DocumentKey;
  readonly doc: Y.Doc;
  readonly presence = new PresenceTable();
  readonly #store: UpdateStore;
  readonly #log: Log;
  readonly #connections = new Set<Connection>();
  readonly #onFail: (() => void)[] = [];
  #emitted: Uint8Array | null = null;
  #durable: Promise<void> = Promise.resolve();
  #waiting = 0;
  #logBytes: number;
  #snapshotBytes: number;
  #broken = false;

  private constructor(
    key: DocumentKey,
    store: UpdateStore,
    log: Log,
    loaded: { doc: Y.Doc; logBytes: number; snapshotBytes: number },
  ) {
    this.key = key;
    this.doc = loaded.doc;
    this.#store = store;
    this.#log = log;
    this.#logBytes = loaded.logBytes;
    this.#snapshotBytes = loaded.snapshotBytes;
    this.doc.on('update', (update: Uint8Array) => {
      this.#emitted = update;
    });
  }

  /** Reads a document back: its snapshot, then the log behind it. Rows that do not apply are set aside. */
  static async load(key: DocumentKey, store: UpdateStore, log: Log): Promise<Room> {
    for (;;) {
      const { snapshot, updates } = await store.load(key);
      const doc = new Y.Doc();
      if (snapshot !== null) Y.applyUpdate(doc, snapshot, ROOM_ORIGIN);
      const broken = applyAll(doc, updates);
      if (broken === null) {
        const logBytes = updates.reduce((sum, { bytes }) => sum + bytes.byteLength, 0);
        const snapshotBytes = snapshot?.byteLength ?? 0;
        return new Room(key, store, log, { doc, logBytes, snapshotBytes });
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
  get isCommitted(): boolean {
    return this.#waiting === 0;
  }

  /** Resolves when everything applied so far is on disk. */
  get durable(): Promise<void> {
    return this.#durable;
  }

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
   * Applies an update that has passed the gate, logs it and sends it to everybody else.
   * @returns false when it broke off half-way: then the room has failed
   */
  apply(update: Uint8Array, origin: Connection): boolean {
    const hadWaiting = hasPending(this.doc);
    this.#emitted = null;
    try {
      Y.applyUpdate(this.doc, update, origin);
    } catch (cause) {
      this.#log.problem(`An update broke off while it was applied to ${keyText(this.key)}.`, cause);
      this.fail();
      return false;
    }
    // What depends on edits that have not arrived is kept waiting by Yjs and not emitted. It must be
    // logged as it came, or a restart would lose what the sender was told is saved.
    const complete = !hadWaiting && !hasPending(this.doc);
    this.#publish(complete ? this.#emitted : update, origin);
    return true;
  }

  /** The server's own write. @returns resolves when it is on disk */
  write(change: (doc: Y.Doc) => void): Promise<void> {
    this.#emitted = null;
    this.doc.transact(() => change(this.doc), SERVER_ORIGIN);
    this.#publish(this.#emitted, null);
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

  #publish(update: Uint8Array | null, origin: Connection | null): void {
    if (update === null) return;
    this.#logBytes += update.byteLength;
    this.#waiting += 1;
    this.#durable = this.#store.append(this.key, update).then(
      () => {
        this.#waiting -= 1;
        this.#compactIfDue();
      },
      (cause: unknown) => {
        this.#waiting -= 1;
        this.fail();
        throw cause;
      },
    );
    // A barrier or an unload looks at the promise later; until then its failure is not unhandled.
    this.#durable.catch(() => undefined);
    this.broadcast(updateFrame(update), origin);
  }

  #compactIfDue(): void {
    if (this.#broken || !shouldCompact(this.#logBytes, this.#snapshotBytes)) return;
    const snapshot = Y.encodeStateAsUpdate(this.doc);
    this.#logBytes = 0;
    this.#snapshotBytes = snapshot.byteLength;
    this.#store.compact(this.key, snapshot).catch((cause: unknown) => {
      this.#log.problem(`${keyText(this.key)} could not be compacted; its log stays.`, cause);
    });
  }
}

const hasPending = ({ store }: Y.Doc): boolean =>
  store.pendingStructs !== null || store.pendingDs !== null;

function applyAll(
  doc: Y.Doc,
  updates: readonly StoredUpdate[],
): { update: StoredUpdate; reason: string } | null {
  for (const update of updates) {
    try {
      Y.applyUpdate(doc, update.bytes, ROOM_ORIGIN);
    } catch (cause) {
      return { update, reason: `it cannot be applied (${String(cause)})` };
    }
  }
  return null;
}
