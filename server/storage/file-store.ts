import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { type Clock, timeOf } from '../clock.ts';

/** What the files of one review may have together, bytes. */
export const MAX_REVIEW_BYTES = 1024 * 1024 * 1024;

/** What a file is found by: its SHA-256, hex. */
export const sha256 = (bytes: Uint8Array): string =>
  createHash('sha256').update(bytes).digest('hex');

/** A file and what it was found to be; null for one that came before that was looked at. */
export interface KeptFile {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly kind: string | null;
}

/** Files of reviews by content hash (SHA-256, hex). Equal files are kept once. */
export class FileStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** Keeps a file of a kind for a review. @returns its hash */
  put(review: string, person: string, { kind, bytes }: KeptFile): string {
    const hash = sha256(bytes);
    this.#database.transaction(() => {
      this.#database
        .prepare(
          'INSERT INTO files (hash, bytes, kind) VALUES (?, ?, ?) ON CONFLICT (hash) DO UPDATE SET kind = excluded.kind',
        )
        .run(hash, bytes, kind);
      this.#database
        .prepare(
          `INSERT INTO review_files (review, hash, person, put_at) VALUES (?, ?, ?, ?)
           ON CONFLICT DO NOTHING`,
        )
        .run(review, hash, person, timeOf(this.#clock));
    })();
    return hash;
  }

  /** Hashes of all files of a review. */
  hashesOf(review: string): string[] {
    return this.#database
      .prepare('SELECT hash FROM review_files WHERE review = ? ORDER BY hash')
      .pluck()
      .all(review) as string[];
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

  /** How many bytes the files of a review have together. */
  sizeOf(review: string): number {
    return this.#database
      .prepare(
        `SELECT coalesce(sum(length(files.bytes)), 0)
         FROM review_files JOIN files USING (hash) WHERE review_files.review = ?`,
      )
      .pluck()
      .get(review) as number;
  }

  /** A file that somebody put into this review; null if nobody did. */
  get(review: string, hash: string): KeptFile | null {
    const row = this.#database
      .prepare(
        `SELECT files.bytes, files.kind FROM review_files JOIN files USING (hash)
         WHERE review_files.review = ? AND review_files.hash = ?`,
      )
      .get(review, hash) as { bytes: Buffer<ArrayBuffer>; kind: string | null } | undefined;
    return row === undefined ? null : { bytes: new Uint8Array(row.bytes), kind: row.kind };
  }
}
