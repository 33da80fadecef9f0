import { crc32 } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import { type Clock, type Timer, timeOf } from '../clock.ts';
import type { Log } from '../log.ts';
import {
  type DocumentKey,
  keyText,
  type StoredDocument,
  type StoredUpdate,
  type UpdateStore,
} from './update-store.ts';

// How long the first update of a batch waits for company. Long enough for the writers of one frame to
// share an fsync, short against the time that a person takes to notice "saving".
const GROUP_COMMIT_MS = 4;

interface Batch {
  readonly updates: { readonly key: DocumentKey; readonly bytes: Uint8Array }[];
  readonly committed: Promise<void>;
  readonly resolve: () => void;
  readonly reject: (cause: unknown) => void;
  readonly timer: Timer;
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
  #batch: Batch | null = null;

  constructor(database: Database, clock: Clock, log: Log) {
    this.#database = database;
    this.#clock = clock;
    this.#log = log;
    this.#statements = prepare(database);
  }

  async load(key: DocumentKey): Promise<StoredDocument> {
    this.#flush();
    const { review, document } = key;
    const snapshot = this.#statements.readSnapshot.get(review, document) as Row | undefined;
    const rows = this.#statements.readLog.all(review, document) as Row[];
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
      quarantined,
    };
  }

  append(key: DocumentKey, bytes: Uint8Array): Promise<void> {
    this.#batch ??= this.#openBatch();
    this.#batch.updates.push({ key, bytes });
    return this.#batch.committed;
  }

  async compact(key: DocumentKey, snapshot: Uint8Array): Promise<void> {
    const { review, document } = key;
    this.#flush(() => {
      const { last } = this.#statements.lastSeq.get(review, document) as { last: number };
      this.#statements.putSnapshot.run(review, document, last, snapshot, crc32(snapshot));
      this.#statements.dropLog.run(review, document, last);
    });
  }

  async quarantine(key: DocumentKey, update: StoredUpdate, reason: string): Promise<void> {
    this.#setAside(key, 'update', update, reason);
  }

  async close(): Promise<void> {
    this.#flush();
  }

  #openBatch(): Batch {
    let resolve: () => void = () => undefined;
    let reject: (cause: unknown) => void = () => undefined;
    const committed = new Promise<void>((ok, failed) => {
      resolve = ok;
      reject = failed;
    });
    // Whoever appended decides what a failure means; a batch that nobody waits for is no crash.
    committed.catch(() => undefined);
    const timer = this.#clock.after(GROUP_COMMIT_MS, () => {
      try {
        this.#flush();
      } catch (cause) {
        this.#log.problem('A group of updates could not be committed.', cause);
      }
    });
    return { updates: [], committed, resolve, reject, timer };
  }

  /** Commits the waiting batch, and `alongside` in the same transaction. */
  #flush(alongside?: () => void): void {
    const batch = this.#batch;
    this.#batch = null;
    if (batch === null && alongside === undefined) return;
    if (batch !== null) this.#clock.cancel(batch.timer);
    try {
      this.#database.transaction(() => {
        for (const { key, bytes } of batch?.updates ?? []) {
          this.#statements.append.run(key.review, key.document, bytes, crc32(bytes));
        }
        alongside?.();
      })();
    } catch (cause) {
      batch?.reject(cause);
      throw cause;
    }
    batch?.resolve();
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

/** Statements are prepared once: preparing costs about ten times what running does. */
function prepare(database: Database) {
  return {
    append: database.prepare(
      'INSERT INTO update_log (review, document, bytes, crc) VALUES (?, ?, ?, ?)',
    ),
    readLog: database.prepare(
      'SELECT seq, bytes, crc FROM update_log WHERE review = ? AND document = ? ORDER BY seq',
    ),
    lastSeq: database.prepare(
      'SELECT coalesce(max(seq), 0) AS last FROM update_log WHERE review = ? AND document = ?',
    ),
    dropLog: database.prepare(
      'DELETE FROM update_log WHERE review = ? AND document = ? AND seq <= ?',
    ),
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
