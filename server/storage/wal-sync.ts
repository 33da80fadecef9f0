import { closeSync, fdatasync, openSync } from 'node:fs';
import type { Database } from 'better-sqlite3';

/**
 * Waits for the disk beside the event loop. A commit with `synchronous = FULL` writes to SQLite's
 * write-ahead log and then waits, in the same call, until the disk has it; meanwhile nothing else is
 * answered. Here the two are apart: `lightly` commits with `synchronous = NORMAL`, which writes the
 * same bytes to the same log (sqlite.org/pragma.html#pragma_synchronous), and `sync` waits for the
 * disk in a thread of Node's. A transaction is promised to nobody before `sync` has resolved.
 */
export class WalSync {
  readonly #database: Database;
  #log: number | null = null;

  constructor(database: Database) {
    this.#database = database;
  }

  /**
   * Runs a transaction that does not wait for the disk by itself, where that can be done apart.
   * @returns whether `sync` has to be awaited; otherwise it is on disk, or in memory alone
   */
  lightly(transaction: () => void): boolean {
    if (this.#log === null) {
      // The first commit waits, so that SQLite itself brings the log's name into its folder.
      transaction();
      if (!this.#database.memory) this.#log = openSync(`${this.#database.name}-wal`, 'r+');
      return false;
    }
    this.#database.exec('PRAGMA synchronous = NORMAL');
    try {
      transaction();
    } finally {
      this.#database.exec('PRAGMA synchronous = FULL');
    }
    return true;
  }

  /** Resolves when all that was committed before is on disk; rejects when the disk says no. */
  sync(): Promise<void> {
    const log = this.#log;
    if (log === null) return Promise.resolve();
    return new Promise((resolve, reject) => {
      fdatasync(log, (cause) => (cause === null ? resolve() : reject(cause)));
    });
  }

  /**
   * Brings everything committed to disk another way, after `sync` has failed: what a log that could
   * not be written holds is copied into the database, which is synced by itself.
   * @throws when that fails as well
   */
  rescue(): void {
    const [{ busy } = { busy: 1 }] = this.#database.pragma('wal_checkpoint(TRUNCATE)') as {
      busy: number;
    }[];
    if (busy !== 0) throw new Error('the log is in use');
  }

  /** Lets go of the log. Nothing may be under way. */
  close(): void {
    if (this.#log !== null) closeSync(this.#log);
    this.#log = null;
  }
}
