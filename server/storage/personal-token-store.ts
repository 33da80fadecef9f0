import type { Database } from 'better-sqlite3';
import type { Person } from '../../core/document/record.ts';
import { ROLES, type Role } from '../../core/protocol/roles.ts';
import { hashOf, makeCapability, makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';
import { isOutOfRoom } from './database.ts';

/** A personal token without its secret. */
export interface PersonalToken {
  readonly id: string;
  /** What it may do at most. */
  readonly role: Role;
  /** What its owner calls it. */
  readonly label: string;
  readonly createdAt: string;
  /** Null: it does not expire. */
  readonly expiresAt: string | null;
  /** The day it was used last; null: never. */
  readonly usedAt: string | null;
}

/** So that a leaked one can be told from other random text, by people and by scanners. */
const PREFIX = 'clpt_';

/** How many tokens a person may have in a review. */
export const MAX_TOKENS = 20;

const FIELDS =
  'id, role, label, created_at AS createdAt, expires_at AS expiresAt, used_at AS usedAt';

/** Personal tokens: what lets a person's own programs in, with that person's rights or less. */
export class PersonalTokenStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /** Tokens of a person, the newest first. */
  list(person: string): PersonalToken[] {
    return this.#database
      .prepare(
        `SELECT ${FIELDS} FROM personal_tokens WHERE person = ? ORDER BY created_at DESC, rowid DESC`,
      )
      .all(person) as PersonalToken[];
  }

  /** Makes a token. Its secret is in the answer alone; what is kept is a hash. */
  add(
    person: string,
    { role, label, expiresAt }: Pick<PersonalToken, 'role' | 'label' | 'expiresAt'>,
  ): PersonalToken & { readonly secret: string } {
    const secret = PREFIX + makeCapability() + makeCapability();
    const made = { id: makeId(), role, label, createdAt: timeOf(this.#clock), expiresAt };
    this.#database
      .prepare(
        `INSERT INTO personal_tokens (id, hash, person, role, label, created_at, expires_at)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(made.id, hashOf(secret), person, role, label, made.createdAt, expiresAt);
    return { ...made, usedAt: null, secret };
  }

  /** Makes a token of a person worthless. False if there is no such token. */
  remove(person: string, id: string): boolean {
    const { changes } = this.#database
      .prepare('DELETE FROM personal_tokens WHERE id = ? AND person = ?')
      .run(id, person);
    return changes > 0;
  }

  /**
   * The person behind a token in a review, with the lesser of the token's role and their present one;
   * null for a token that is unknown, taken back, expired, of another review, or of somebody who is
   * out.
   */
  personOf(secret: string, review: string): Person | null {
    if (!secret.startsWith(PREFIX)) return null;
    const now = timeOf(this.#clock);
    const row = this.#database
      .prepare(
        `SELECT personal_tokens.id AS token, personal_tokens.role AS most, used_at AS usedAt,
           people.id, people.name, people.ink, people.role
         FROM personal_tokens JOIN people ON people.id = personal_tokens.person
         WHERE hash = ? AND people.review = ? AND people.removed_at IS NULL
           AND people.name IS NOT NULL AND (expires_at IS NULL OR expires_at > ?)`,
      )
      .get(hashOf(secret), review, now) as
      | (Person & { token: string; most: Role; usedAt: string | null })
      | undefined;
    if (row === undefined) return null;
    const { token, most, usedAt, id, name, ink, role } = row;
    const today = now.slice(0, 10);
    if (usedAt !== today) {
      this.#noteUse(token, today);
    }
    return { id, name, ink, role: lesser(most, role) };
  }

  /** Notes the day of its use. Where there is no room for that it is left out: reading goes on. */
  #noteUse(token: string, today: string): void {
    try {
      this.#database
        .prepare('UPDATE personal_tokens SET used_at = ? WHERE id = ?')
        .run(today, token);
    } catch (cause) {
      if (!isOutOfRoom(cause)) throw cause;
    }
  }
}

const lesser = (a: Role, b: Role): Role => (ROLES.indexOf(a) < ROLES.indexOf(b) ? a : b);
