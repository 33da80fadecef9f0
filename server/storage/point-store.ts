import { createHash } from 'node:crypto';
import { promisify } from 'node:util';
import { deflateRaw, inflateRaw } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import { makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';

const compress = promisify(deflateRaw);
const decompress = promisify(inflateRaw);

/** What a review may keep of its history, compressed. A point of the demo review takes about 60 KB. */
export const MAX_POINT_BYTES = 32 * 1024 * 1024;

export type Why = 'hour' | 'signed-off' | 'asked';

/** A moment that a review can be brought back to. */
export interface Point {
  readonly id: string;
  readonly at: string;
  readonly why: Why;
  /** The shot that was signed off, or null. */
  readonly shot: string | null;
  readonly bytes: number;
}

/** The three documents of a review as Yjs updates. */
export interface Documents {
  readonly scenes: Uint8Array;
  readonly notes: Uint8Array;
  readonly record: Uint8Array;
}

const FIELDS = 'id, at, why, shot, bytes';

/** Restorable points of reviews. */
export class PointStore {
  readonly #database: Database;
  readonly #clock: Clock;
  readonly #maxBytes: number;

  constructor(database: Database, clock: Clock, maxBytes = MAX_POINT_BYTES) {
    this.#database = database;
    this.#clock = clock;
    this.#maxBytes = maxBytes;
  }

  /** Points of a review, the newest first. */
  list(review: string): Point[] {
    return this.#database
      .prepare(`SELECT ${FIELDS} FROM points WHERE review = ? ORDER BY at DESC, rowid DESC`)
      .all(review) as Point[];
  }

  /**
   * Keeps a point, and lets go of the oldest where the review has more than its share: hours first,
   * then the others, never the new one.
   * @returns null when the scenes are what the newest point has already
   */
  async add(
    review: string,
    { why, shot }: Pick<Point, 'why' | 'shot'>,
    documents: Documents,
  ): Promise<Point | null> {
    const digest = createHash('sha256').update(documents.scenes).digest();
    const at = timeOf(this.#clock);
    const [scenes, notes, record] = await Promise.all([
      compress(documents.scenes),
      compress(documents.notes),
      compress(documents.record),
    ]);
    const bytes = scenes.byteLength + notes.byteLength + record.byteLength;
    const point: Point = { id: makeId(), at, why, shot, bytes };
    return this.#database.transaction(() => {
      const newest = this.#database
        .prepare('SELECT digest FROM points WHERE review = ? ORDER BY at DESC, rowid DESC LIMIT 1')
        .pluck()
        .get(review) as Buffer | undefined;
      if (why === 'hour' && newest?.equals(digest)) return null;
      this.#database
        .prepare(
          `INSERT INTO points (id, review, at, why, shot, scenes, notes, record, bytes, digest)
           VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        )
        .run(point.id, review, at, why, shot, scenes, notes, record, bytes, digest);
      this.#thin(review, point.id);
      return point;
    })();
  }

  /** The documents of a point; null if the review has no such point. */
  async open(review: string, id: string): Promise<Documents | null> {
    const row = this.#database
      .prepare('SELECT scenes, notes, record FROM points WHERE review = ? AND id = ?')
      .get(review, id) as Record<keyof Documents, Buffer> | undefined;
    if (row === undefined) return null;
    const [scenes, notes, record] = await Promise.all([
      decompress(row.scenes),
      decompress(row.notes),
      decompress(row.record),
    ]);
    return { scenes, notes, record };
  }

  #thin(review: string, newest: string): void {
    const points = this.#database
      .prepare(
        `SELECT id, bytes FROM points WHERE review = ? AND id <> ?
         ORDER BY why <> 'hour', at, rowid`,
      )
      .all(review, newest) as Pick<Point, 'id' | 'bytes'>[];
    let total = this.#database
      .prepare('SELECT sum(bytes) FROM points WHERE review = ?')
      .pluck()
      .get(review) as number;
    for (const { id, bytes } of points) {
      if (total <= this.#maxBytes) return;
      this.#database.prepare('DELETE FROM points WHERE id = ?').run(id);
      total -= bytes;
    }
  }
}
