import type { Database } from 'better-sqlite3';
import { type Clock, timeOf } from '../clock.ts';

/** Who somebody is to an OpenID Connect provider. */
export interface Identity {
  readonly issuer: string;
  readonly subject: string;
  readonly name: string | null;
}

/** Which session belongs to which identity, one to one. */
export class AccountStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** The session of an identity that has signed in before; null for a new one. */
  sessionOf({ issuer, subject }: Identity): string | null {
    const session = this.#database
      .prepare('SELECT session FROM accounts WHERE issuer = ? AND subject = ?')
      .pluck()
      .get(issuer, subject) as string | undefined;
    return session ?? null;
  }

  /** Whether a session belongs to somebody who has signed in. */
  has(session: string): boolean {
    const row = this.#database.prepare('SELECT 1 FROM accounts WHERE session = ?').get(session);
    return row !== undefined;
  }

  add({ issuer, subject, name }: Identity, session: string): void {
    this.#database
      .prepare(
        'INSERT INTO accounts (issuer, subject, session, name, created_at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(issuer, subject, session, name, timeOf(this.#clock));
  }
}
