import type { Database } from 'better-sqlite3';
import { prepared } from './prepared.ts';

/** A sign-in token: what a cookie names. */
export interface Token {
  readonly token: string;
  readonly session: string;
  readonly issuedAt: string;
  /** The token that it was given in place of, until it is first seen. */
  readonly replaces: string | null;
  /** When it stops being good because its successor has been seen; else null. */
  readonly endsAt: string | null;
}

/** Sign-in tokens; access/sessions.ts has the rules. */
export class TokenStore {
  readonly #database: Database;

  constructor(database: Database) {
    this.#database = database;
  }

  get(token: string): Token | null {
    const row = prepared(
      this.#database,
      `SELECT token, session, issued_at AS issuedAt, replaces, ends_at AS endsAt
       FROM sign_in_tokens WHERE token = ?`,
    ).get(token);
    return (row as Token | undefined) ?? null;
  }

  add({ token, session, issuedAt, replaces }: Omit<Token, 'endsAt'>): void {
    this.#database
      .prepare(
        'INSERT INTO sign_in_tokens (token, session, issued_at, replaces) VALUES (?, ?, ?, ?)',
      )
      .run(token, session, issuedAt, replaces);
  }

  /** A token has been seen: the one that it replaces ends at a time. */
  takeOver({ token, replaces }: Token, endsAt: string): void {
    this.#database.transaction(() => {
      this.#database
        .prepare('UPDATE sign_in_tokens SET ends_at = ? WHERE token = ? AND ends_at IS NULL')
        .run(endsAt, replaces);
      this.#database
        .prepare('UPDATE sign_in_tokens SET replaces = NULL WHERE token = ?')
        .run(token);
    })();
  }

  remove(token: string): void {
    this.#database.prepare('DELETE FROM sign_in_tokens WHERE token = ?').run(token);
  }

  removeAllOf(session: string): void {
    this.#database.prepare('DELETE FROM sign_in_tokens WHERE session = ?').run(session);
  }

  /** Drops tokens that were issued before a time or have ended. */
  sweep(issuedBefore: string, now: string): void {
    this.#database
      .prepare('DELETE FROM sign_in_tokens WHERE issued_at < ? OR ends_at < ?')
      .run(issuedBefore, now);
  }
}
