import type { Database } from 'better-sqlite3';
import type { Person } from '../../core/document/record.ts';
import { ROLES, type Role } from '../../core/protocol/roles.ts';
import { hashOf, makeCapability, makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';

export interface Review {
  readonly id: string;
  readonly title: string;
}

export interface Invite {
  readonly id: string;
  readonly role: Role;
  readonly createdAt: string;
}

/** A new invite with its capability, which is not kept and cannot be read again. */
export interface NewInvite extends Invite {
  readonly capability: string;
}

/** Inks of core/document/record.ts. */
const INK_COUNT = 12;

/** A person's row; name and ink are null until they open the page. */
export interface Member {
  readonly id: string;
  readonly name: string | null;
  readonly ink: number | null;
  readonly role: Role;
}

/** Reviews, their people and their invites. */
export class ReviewStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  review(id: string): Review | null {
    const row = this.#database.prepare('SELECT id, title FROM reviews WHERE id = ?').get(id);
    return (row as Review | undefined) ?? null;
  }

  /** Makes a review with one invite link per role. */
  addReview(title: string, id = makeId()): { review: Review; invites: NewInvite[] } {
    return this.#database.transaction(() => {
      this.#database
        .prepare('INSERT INTO reviews (id, title, created_at) VALUES (?, ?, ?)')
        .run(id, title, timeOf(this.#clock));
      return { review: { id, title }, invites: ROLES.map((role) => this.addInvite(id, role)) };
    })();
  }

  /** Who a browser is in a review; null if it has not joined, or was removed. */
  memberOf(session: string, review: string): Member | null {
    const row = this.#database
      .prepare(
        `SELECT id, name, ink, role FROM people
         WHERE session = ? AND review = ? AND removed_at IS NULL`,
      )
      .get(session, review);
    return (row as Member | undefined) ?? null;
  }

  member(id: string): Member | null {
    const row = this.#database
      .prepare('SELECT id, name, ink, role FROM people WHERE id = ? AND removed_at IS NULL')
      .get(id);
    return (row as Member | undefined) ?? null;
  }

  /** Whether this browser is a lead of any review. */
  leadsSomewhere(session: string): boolean {
    const row = this.#database
      .prepare(
        `SELECT 1 FROM people WHERE session = ? AND role = 'lead' AND removed_at IS NULL LIMIT 1`,
      )
      .get(session);
    return row !== undefined;
  }

  /** The review that a browser joined last; null if it is in none. */
  latestOf(session: string): string | null {
    const row = this.#database
      .prepare(
        `SELECT review FROM people WHERE session = ? AND removed_at IS NULL
         ORDER BY joined_at DESC, rowid DESC LIMIT 1`,
      )
      .get(session) as { review: string } | undefined;
    return row?.review ?? null;
  }

  /** Adds a member who has not opened the page yet. */
  addMember(review: string, role: Role, session: string): Member {
    const id = makeId();
    this.#database
      .prepare('INSERT INTO people (id, review, session, role, joined_at) VALUES (?, ?, ?, ?, ?)')
      .run(id, review, session, role, timeOf(this.#clock));
    return { id, name: null, ink: null, role };
  }

  /** Adds a person without a browser, as the demo review has them. */
  addPerson(review: string, { id, name, ink, role }: Person): void {
    this.#database
      .prepare(
        'INSERT INTO people (id, review, name, ink, role, joined_at) VALUES (?, ?, ?, ?, ?, ?)',
      )
      .run(id, review, name, ink, role, timeOf(this.#clock));
  }

  /** An invented plain name for a member, and the ink that the fewest people of the review have. */
  introductionOf(review: string, { id, role }: Member): Person {
    const people = this.#database
      .prepare('SELECT ink, session FROM people WHERE review = ? AND name IS NOT NULL')
      .all(review) as { ink: number; session: string | null }[];
    const guests = people.filter(({ session }) => session !== null).length;
    return { id, role, name: `Guest ${guests + 1}`, ink: rarestInk(people.map(({ ink }) => ink)) };
  }

  introduce({ id, name, ink }: Person): void {
    this.#database.prepare('UPDATE people SET name = ?, ink = ? WHERE id = ?').run(name, ink, id);
  }

  rename(id: string, name: string): void {
    this.#database.prepare('UPDATE people SET name = ? WHERE id = ?').run(name, id);
  }

  setRole(id: string, role: Role): void {
    this.#database.prepare('UPDATE people SET role = ? WHERE id = ?').run(role, id);
  }

  /** Takes a person's rights away; what they wrote stays. False if the review has no such person. */
  removePerson(review: string, id: string): boolean {
    const { changes } = this.#database
      .prepare(
        'UPDATE people SET removed_at = ? WHERE id = ? AND review = ? AND removed_at IS NULL',
      )
      .run(timeOf(this.#clock), id, review);
    return changes > 0;
  }

  invites(review: string): Invite[] {
    return this.#database
      .prepare(
        'SELECT id, role, created_at AS createdAt FROM invites WHERE review = ? ORDER BY rowid',
      )
      .all(review) as Invite[];
  }

  addInvite(review: string, role: Role): NewInvite {
    const capability = makeCapability();
    const invite = { id: makeId(), role, createdAt: timeOf(this.#clock) };
    this.#database
      .prepare(
        `INSERT INTO invites (id, review, role, capability_hash, created_at)
         VALUES (?, ?, ?, ?, ?)`,
      )
      .run(invite.id, review, role, hashOf(capability), invite.createdAt);
    return { ...invite, capability };
  }

  removeInvite(review: string, id: string): boolean {
    const { changes } = this.#database
      .prepare('DELETE FROM invites WHERE id = ? AND review = ?')
      .run(id, review);
    return changes > 0;
  }

  /** What a capability opens; null if it is unknown or was taken back. */
  opens(capability: string): { readonly review: string; readonly role: Role } | null {
    const row = this.#database
      .prepare('SELECT review, role FROM invites WHERE capability_hash = ?')
      .get(hashOf(capability));
    return (row as { review: string; role: Role } | undefined) ?? null;
  }
}

function rarestInk(taken: readonly number[]): number {
  const uses = Array.from({ length: INK_COUNT }, () => 0);
  for (const ink of taken) uses[ink] = (uses[ink] ?? 0) + 1;
  return uses.indexOf(Math.min(...uses));
}
