import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { type Clock, timeOf } from '../clock.ts';

/** Files of reviews by content hash (SHA-256, hex). Equal files are kept once. */
export class FileStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** Keeps a file for a review. @returns its hash */
  put(review: string, person: string, bytes: Uint8Array): string {
    const hash = createHash('sha256').update(bytes).digest('hex');
    this.#database.transaction(() => {
      this.#database
        .prepare('INSERT INTO files (hash, bytes) VALUES (?, ?) ON CONFLICT DO NOTHING')
        .run(hash, bytes);
      this.#database
        .prepare(
          `INSERT INTO review_files (review, hash, person, put_at) VALUES (?, ?, ?, ?)
           ON CONFLICT DO NOTHING`,
        )
        .run(review, hash, person, timeOf(this.#clock));
    })();
    return hash;
  }

  /** Lets another review read all files of this one. */
  share(from: string, to: string): void {
    this.#database
      .prepare(
        `INSERT INTO review_files (review, hash, person, put_at)
         SELECT ?, hash, person, put_at FROM review_files WHERE review = ?
         ON CONFLICT DO NOTHING`,
      )
      .run(to, from);
  }

  /** The bytes of a file that somebody put into this review; null if nobody did. */
  get(review: string, hash: string): Uint8Array<ArrayBuffer> | null {
    const row = this.#database
      .prepare(
        `SELECT files.bytes FROM review_files JOIN files USING (hash)
         WHERE review_files.review = ? AND review_files.hash = ?`,
      )
      .get(review, hash) as { bytes: Buffer<ArrayBuffer> } | undefined;
    return row === undefined ? null : new Uint8Array(row.bytes);
  }
}
