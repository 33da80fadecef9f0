import type { Database } from 'better-sqlite3';
import type { Person } from '../../core/document/record.ts';
import { ROLES, type Role } from '../../core/protocol/roles.ts';
import { makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';
import { InviteStore, type NewInvite } from './invite-store.ts';
import { prepared } from './prepared.ts';

export interface Review {
  readonly id: string;
  readonly title: string;
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

/** Reviews and their people. */
export class ReviewStore {
  readonly #database: Database;
  readonly #clock: Clock;
  readonly #invites: InviteStore;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
    this.#invites = new InviteStore(database, clock);
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
      return { review: { id, title }, invites: ROLES.map((role) => this.#invites.add(id, role)) };
    })();
  }

  /** Who a browser is in a review; null if it has not joined, or was removed. */
  memberOf(session: string, review: string): Member | null {
    const row = prepared(
      this.#database,
      `SELECT id, name, ink, role FROM people
       WHERE session = ? AND review = ? AND removed_at IS NULL`,
    ).get(session, review);
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

  /** Adds a member who has not opened the page yet. `invite`: what they came by, or null. */
  addMember(review: string, role: Role, session: string, invite: string | null): Member {
    const id = makeId();
    this.#database
      .prepare(
        'INSERT INTO people (id, review, session, role, joined_at, invite) VALUES (?, ?, ?, ?, ?, ?)',
      )
      .run(id, review, session, role, timeOf(this.#clock), invite);
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

  /**
   * A name for a member, theirs with the provider or an invented plain one, and the ink that the
   * fewest people of the review have.
   */
  introductionOf(review: string, { id, role }: Member): Person {
    const people = this.#database
      .prepare('SELECT ink, session FROM people WHERE review = ? AND name IS NOT NULL')
      .all(review) as { ink: number; session: string | null }[];
    const guests = people.filter(({ session }) => session !== null).length;
    const known = this.#database
      .prepare('SELECT accounts.name FROM people JOIN accounts USING (session) WHERE people.id = ?')
      .pluck()
      .get(id) as string | null | undefined;
    const name = known ?? `Newcomer ${guests + 1}`;
    return { id, role, name, ink: rarestInk(people.map(({ ink }) => ink)) };
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

  /** How many people with a browser are in a review. */
  countOf(review: string): number {
    return this.#database
      .prepare(
        `SELECT count(*) FROM people
         WHERE review = ? AND session IS NOT NULL AND removed_at IS NULL`,
      )
      .pluck()
      .get(review) as number;
  }

  /** Ids of the people that a session is, in all its reviews. */
  peopleOf(session: string): string[] {
    return this.#database
      .prepare('SELECT id FROM people WHERE session = ? AND removed_at IS NULL')
      .pluck()
      .all(session) as string[];
  }

  /** Ids of the people who came by an invite. */
  peopleBy(review: string, invite: string): string[] {
    return this.#database
      .prepare('SELECT id FROM people WHERE review = ? AND invite = ? AND removed_at IS NULL')
      .pluck()
      .all(review, invite) as string[];
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
}

function rarestInk(taken: readonly number[]): number {
  const uses = Array.from({ length: INK_COUNT }, () => 0);
  for (const ink of taken) uses[ink] = (uses[ink] ?? 0) + 1;
  return uses.indexOf(Math.min(...uses));
}
