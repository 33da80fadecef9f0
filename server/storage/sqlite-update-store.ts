import { crc32 } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import { type Clock, type Timer, timeOf } from '../clock.ts';
import type { Log } from '../log.ts';
import { isOutOfRoom } from './database.ts';
import {
  type Appended,
  type Author,
  type DocumentKey,
  keyText,
  type StoredDocument,
  type StoredUpdate,
  type UpdateStore,
} from './update-store.ts';
import { WalSync } from './wal-sync.ts';

// How long the first update of a batch waits for company. Others see an edit once it is in the log, so
// where few write it waits for nothing but what has arrived already. Where batches follow on each other,
// a longer wait makes fewer commits and fewer frames of the same edits, which costs everybody less than
// it takes.
const FEW_WAIT_MS = 0;
const MANY_WAIT_MS = 2;
const MANY_WITHIN_MS = 8;

// How far the log may be ahead of the disk. Behind a disk that takes longer, an update counts as written
// only once it is durable: so what a power cut can take from those who have seen it stays within this.
const MAX_LEAD_MS = 5000;

// How often a store that is full tries whether there is room again, and what it tries with: more than
// the pages that a database has left over here and there.
const RETRY_MS = 2000;
const TRIAL_BYTES = 256 * 1024;

/** No document's number: those begin at 1. */
const TRIAL = 0;

interface Batch {
  readonly updates: {
    readonly key: DocumentKey;
    readonly bytes: Uint8Array;
    readonly authors: readonly Author[];
  }[];
  readonly written: Deferred;
  readonly durable: Deferred;
  readonly appended: Appended;
  readonly timer: Timer;
}

/** A promise and its outcome to come. */
interface Deferred {
  readonly promise: Promise<void>;
  readonly resolve: () => void;
  readonly reject: (cause: unknown) => void;
}

interface Row {
  readonly seq: number;
  readonly bytes: Buffer;
  readonly crc: number;
}

/** The update log in SQLite. The caller opens and closes the database. */
export class SqliteUpdateStore implements UpdateStore {
  readonly #database: Database;
  readonly #clock: Clock;
  readonly #log: Log;
  readonly #statements: ReturnType<typeof prepare>;
  readonly #wal: WalSync;
  readonly #onRoom: (() => void)[] = [];
  #batch: Batch | null = null;
  #retry: Timer | null = null;
  /** When the last batch was opened. */
  #lastOpened = Number.NEGATIVE_INFINITY;
  /** While batches are on their way to the disk: resolves, never rejects, when they are there or have failed. */
  #syncing: Promise<void> | null = null;
  #syncingSince = 0;
  /** In the log, and to go to the disk after those that are on their way. */
  #unsynced: Batch[] = [];
  /** The disk has refused what is committed; nobody may be told that it is kept. */
  #isUnsynced = false;
  /** Numbers of documents in the log, by the text of their keys. */
  readonly #numbers = new Map<string, number>();

  constructor(database: Database, clock: Clock, log: Log, wal = new WalSync(database)) {
    this.#database = database;
    this.#clock = clock;
    this.#log = log;
    this.#statements = prepare(database);
    this.#wal = wal;
  }

  get isFull(): boolean {
    return this.#retry !== null;
  }

  whenRoom(run: () => void): void {
    this.#onRoom.push(run);
  }

  async load(key: DocumentKey): Promise<StoredDocument> {
    this.#flush();
    if (this.#isUnsynced) throw new Error('the disk did not take what was written');
    const { review, document } = key;
    const snapshot = this.#statements.readSnapshot.get(review, document) as Row | undefined;
    const rows = this.#statements.readLog.all(this.#numberOf(key)) as Row[];
    const authors = this.#statements.readAuthors.all(review, document) as Author[];
    let quarantined = 0;
    const isSound = (row: Row, kind: 'update' | 'snapshot'): boolean => {
      if (crc32(row.bytes) === row.crc) return true;
      this.#setAside(key, kind, row, 'its checksum does not fit its bytes');
      quarantined += 1;
      return false;
    };
    return {
      snapshot: snapshot && isSound(snapshot, 'snapshot') ? snapshot.bytes : null,
      updates: rows.filter((row) => isSound(row, 'update')),
      authors: new Map(authors.map(({ client, person }) => [client, person])),
      quarantined,
    };
  }

  append(key: DocumentKey, bytes: Uint8Array, authors: readonly Author[] = []): Appended {
    this.#batch ??= this.#openBatch();
    this.#batch.updates.push({ key, bytes, authors });
    return this.#batch.appended;
  }

  async compact(key: DocumentKey, snapshot: Uint8Array): Promise<void> {
    const { review, document } = key;
    this.#flush(() => {
      const number = this.#numberOf(key);
      const { last } = this.#statements.lastSeq.get(number) as { last: number };
      this.#statements.putSnapshot.run(review, document, last, snapshot, crc32(snapshot));
      this.#statements.dropLog.run(number);
    });
  }

  async quarantine(key: DocumentKey, update: StoredUpdate, reason: string): Promise<void> {
    this.#setAside(key, 'update', update, reason);
  }

  async close(): Promise<void> {
    if (this.#retry !== null) this.#clock.cancel(this.#retry);
    this.#flush();
    while (this.#syncing !== null) await this.#syncing;
    this.#wal.close();
  }

  #openBatch(): Batch {
    const now = this.#clock.now();
    const wait = now - this.#lastOpened < MANY_WITHIN_MS ? MANY_WAIT_MS : FEW_WAIT_MS;
    this.#lastOpened = now;
    const timer = this.#clock.after(wait, () => {
      try {
        this.#flush();
      } catch (cause) {
        this.#log.problem('A group of updates could not be committed.', cause);
      }
    });
    const [written, durable] = [deferred(), deferred()];
    const appended = { written: written.promise, durable: durable.promise };
    return { updates: [], written, durable, appended, timer };
  }

  /** Commits the waiting batch, and `alongside` in the same transaction. */
  #flush(alongside?: () => void): void {
    const batch = this.#batch;
    this.#batch = null;
    if (batch === null && alongside === undefined) return;
    if (batch !== null) this.#clock.cancel(batch.timer);
    const commit = this.#database.transaction(() => {
      for (const { key, bytes, authors } of batch?.updates ?? []) {
        this.#statements.append.run(this.#numberFor(key), bytes, crc32(bytes));
        for (const { client, person } of authors) {
          this.#statements.bind.run(key.review, key.document, client, person);
        }
      }
      alongside?.();
    });
    let isOnItsWay = false;
    try {
      // A snapshot waits: it is rare, and what it replaces is gone with it.
      if (alongside === undefined) isOnItsWay = this.#wal.lightly(commit);
      else commit();
    } catch (cause) {
      // A document that was new in it has no number now.
      this.#numbers.clear();
      if (isOutOfRoom(cause)) this.#waitForRoom();
      batch?.written.reject(cause);
      batch?.durable.reject(cause);
      throw cause;
    }
    if (batch === null) return;
    if (isOnItsWay) {
      const { written, durable } = batch;
      if (this.#isFarAhead()) durable.promise.then(written.resolve, written.reject);
      else written.resolve();
      this.#unsynced.push(batch);
      this.#bringToDisk();
    } else {
      batch.written.resolve();
      batch.durable.resolve();
    }
  }

  /** The number of a document; TRIAL, which has no rows to be read, where the log has never had any of it. */
  #numberOf(key: DocumentKey): number {
    const text = keyText(key);
    const known = this.#numbers.get(text);
    if (known !== undefined) return known;
    const { review, document } = key;
    const row = this.#statements.readNumber.get(review, document) as { id: number } | undefined;
    if (row === undefined) return TRIAL;
    this.#numbers.set(text, row.id);
    return row.id;
  }

  /** The number of a document, given now if it has none. */
  #numberFor(key: DocumentKey): number {
    const known = this.#numberOf(key);
    if (known !== TRIAL) return known;
    this.#statements.number.run(key.review, key.document);
    return this.#numberOf(key);
  }

  #isFarAhead(): boolean {
    return this.#syncing !== null && this.#clock.now() - this.#syncingSince > MAX_LEAD_MS;
  }

  /** One sync is under way at a time; what is written meanwhile goes together after it. */
  #bringToDisk(): void {
    if (this.#syncing !== null || this.#unsynced.length === 0) return;
    const batches = this.#unsynced;
    this.#unsynced = [];
    this.#syncingSince = this.#clock.now();
    this.#syncing = this.#wal
      .sync()
      .then(
        () => {
          for (const { durable } of batches) durable.resolve();
        },
        (cause: unknown) => {
          this.#isUnsynced = true;
          this.#waitForRoom();
          this.#log.problem('The disk did not take a group of updates.', cause);
          for (const { durable } of batches) durable.reject(cause);
        },
      )
      .then(() => {
        this.#syncing = null;
        this.#bringToDisk();
      });
  }

  #waitForRoom(): void {
    if (this.#retry !== null) return;
    this.#log.problem('There is no room left for data: the review can be read, not changed.');
    this.#tryLater();
  }

  #tryLater(): void {
    this.#retry = this.#clock.after(RETRY_MS, () => {
      try {
        this.#statements.append.run(TRIAL, Buffer.alloc(TRIAL_BYTES), 0);
        this.#statements.dropLog.run(TRIAL);
        if (this.#isUnsynced) this.#wal.rescue();
        this.#isUnsynced = false;
      } catch {
        this.#tryLater();
        return;
      }
      this.#retry = null;
      this.#log.info('There is room for data again.');
      for (const run of this.#onRoom) run();
    });
  }

  #setAside(
    key: DocumentKey,
    kind: 'update' | 'snapshot',
    { seq, bytes }: { seq: number; bytes: Uint8Array },
    reason: string,
  ): void {
    const { review, document } = key;
    this.#database.transaction(() => {
      this.#statements.setAside.run(
        review,
        document,
        kind,
        seq,
        bytes,
        reason,
        timeOf(this.#clock),
      );
      if (kind === 'update') this.#statements.dropUpdate.run(seq);
      else this.#statements.dropSnapshot.run(review, document);
    })();
    this.#log.problem(
      `Row ${seq} (${kind}) of ${keyText(key)} was put into quarantine: ${reason}. The rest was loaded.`,
    );
  }
}

function deferred(): Deferred {
  let resolve: () => void = () => undefined;
  let reject: (cause: unknown) => void = () => undefined;
  const promise = new Promise<void>((ok, failed) => {
    resolve = ok;
    reject = failed;
  });
  // Whoever appended decides what a failure means; a batch that nobody waits for is no crash.
  promise.catch(() => undefined);
  return { promise, resolve, reject };
}

/** Statements are prepared once: preparing costs about ten times what running does. */
function prepare(database: Database) {
  return {
    append: database.prepare('INSERT INTO update_log (document, bytes, crc) VALUES (?, ?, ?)'),
    readNumber: database.prepare('SELECT id FROM documents WHERE review = ? AND document = ?'),
    number: database.prepare('INSERT INTO documents (review, document) VALUES (?, ?)'),
    readLog: database.prepare(
      'SELECT seq, bytes, crc FROM update_log WHERE document = ? ORDER BY seq',
    ),
    readAuthors: database.prepare(
      'SELECT client, person FROM authors WHERE review = ? AND document = ?',
    ),
    bind: database.prepare(
      'INSERT OR IGNORE INTO authors (review, document, client, person) VALUES (?, ?, ?, ?)',
    ),
    lastSeq: database.prepare(
      'SELECT coalesce(max(seq), 0) AS last FROM update_log WHERE document = ?',
    ),
    dropLog: database.prepare('DELETE FROM update_log WHERE document = ?'),
    dropUpdate: database.prepare('DELETE FROM update_log WHERE seq = ?'),
    readSnapshot: database.prepare(
      'SELECT seq, bytes, crc FROM snapshots WHERE review = ? AND document = ?',
    ),
    putSnapshot: database.prepare(
      `INSERT INTO snapshots (review, document, seq, bytes, crc) VALUES (?, ?, ?, ?, ?)
       ON CONFLICT (review, document) DO UPDATE SET
         seq = excluded.seq, bytes = excluded.bytes, crc = excluded.crc`,
    ),
    dropSnapshot: database.prepare('DELETE FROM snapshots WHERE review = ? AND document = ?'),
    setAside: database.prepare(
      `INSERT INTO quarantine (review, document, kind, seq, bytes, reason, found_at)
       VALUES (?, ?, ?, ?, ?, ?, ?)`,
    ),
  };
}
