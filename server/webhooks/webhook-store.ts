import type { Database } from 'better-sqlite3';
import { makeCapability, makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';

export interface Webhook {
  readonly id: string;
  readonly url: string;
  readonly createdAt: string;
}

/** One thing that a webhook is told. */
export interface Delivery {
  readonly id: string;
  readonly madeAt: string;
  readonly tries: number;
  /** When it is tried next; null: it has arrived, or was given up. */
  readonly nextAt: string | null;
  readonly triedAt: string | null;
  /** HTTP status of the last answer; null where there was none. */
  readonly status: number | null;
  /** Why the last try failed; null: it did not. */
  readonly fault: string | null;
}

/** A delivery that is to be tried, with what that takes. */
export interface Due {
  readonly id: string;
  readonly url: string;
  readonly secret: string;
  readonly body: string;
  readonly tries: number;
}

/** Deliveries of a webhook that are kept, the oldest let go first. */
const KEPT = 50;

/** Webhooks and what was sent to them. */
export class WebhookStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  list(review: string): Webhook[] {
    return this.#database
      .prepare(
        `SELECT id, url, created_at AS createdAt FROM webhooks WHERE review = ?
         ORDER BY created_at, rowid`,
      )
      .all(review) as Webhook[];
  }

  /** Adds a webhook. The secret that signs what it is told is in the answer alone. */
  add(review: string, url: string, person: string): Webhook & { readonly secret: string } {
    const made = { id: makeId(), url, createdAt: timeOf(this.#clock) };
    const secret = makeCapability() + makeCapability();
    this.#database
      .prepare(
        `INSERT INTO webhooks (id, review, url, secret, created_by, created_at)
         VALUES (?, ?, ?, ?, ?, ?)`,
      )
      .run(made.id, review, url, secret, person, made.createdAt);
    return { ...made, secret };
  }

  /** Takes a webhook away with what was still to be sent. False if there is none. */
  remove(review: string, id: string): boolean {
    return this.#database.transaction(() => {
      const { changes } = this.#database
        .prepare(
          `DELETE FROM webhook_deliveries WHERE webhook = ?
           AND webhook IN (SELECT id FROM webhooks WHERE review = ?)`,
        )
        .run(id, review);
      const removed = this.#database
        .prepare('DELETE FROM webhooks WHERE id = ? AND review = ?')
        .run(id, review);
      return changes + removed.changes > 0;
    })();
  }

  /** What a webhook was told, the newest first. */
  deliveries(review: string, id: string): Delivery[] {
    return this.#database
      .prepare(
        `SELECT webhook_deliveries.id, made_at AS madeAt, tries, next_at AS nextAt,
           tried_at AS triedAt, status, fault
         FROM webhook_deliveries JOIN webhooks ON webhooks.id = webhook
         WHERE webhook = ? AND review = ? ORDER BY made_at DESC, webhook_deliveries.rowid DESC`,
      )
      .all(id, review) as Delivery[];
  }

  /** Puts a message in the line for every webhook of a review. @returns how many there are */
  enqueue(review: string, body: string): number {
    return this.#database.transaction(() => {
      const hooks = this.list(review);
      const now = timeOf(this.#clock);
      for (const { id } of hooks) {
        this.#database
          .prepare(
            `INSERT INTO webhook_deliveries (id, webhook, body, made_at, next_at)
             VALUES (?, ?, ?, ?, ?)`,
          )
          .run(makeId(), id, body, now, now);
        this.#database
          .prepare(
            `DELETE FROM webhook_deliveries WHERE webhook = ? AND next_at IS NULL AND id NOT IN
             (SELECT id FROM webhook_deliveries WHERE webhook = ?
              ORDER BY made_at DESC, rowid DESC LIMIT ${KEPT})`,
          )
          .run(id, id);
      }
      return hooks.length;
    })();
  }

  /** Deliveries whose time has come, the oldest first. */
  due(): Due[] {
    return this.#database
      .prepare(
        `SELECT webhook_deliveries.id, url, secret, body, tries
         FROM webhook_deliveries JOIN webhooks ON webhooks.id = webhook
         WHERE next_at <= ? ORDER BY next_at, webhook_deliveries.rowid LIMIT 50`,
      )
      .all(timeOf(this.#clock)) as Due[];
  }

  /** When the next delivery is to be tried, ISO 8601; null: none is waiting. */
  nextAt(): string | null {
    return this.#database.prepare('SELECT min(next_at) FROM webhook_deliveries').pluck().get() as
      | string
      | null;
  }

  /** Writes down how a try went. @param nextAt null: there is no other */
  tried(
    id: string,
    { status, fault, nextAt }: Pick<Delivery, 'status' | 'fault' | 'nextAt'>,
  ): void {
    this.#database
      .prepare(
        `UPDATE webhook_deliveries
         SET tries = tries + 1, tried_at = ?, status = ?, fault = ?, next_at = ? WHERE id = ?`,
      )
      .run(timeOf(this.#clock), status, fault, nextAt, id);
  }
}
