import { type Person, recordMap } from '../../core/document/record.ts';
import { CLOSE, ROLES, type Role } from '../../core/protocol/index.ts';
import type { Member, ReviewStore } from '../storage/review-store.ts';
import type { Room } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import { makeCapability } from './secrets.ts';

/** A browser that has joined. */
export interface Joined {
  readonly session: string;
  readonly review: string;
}

/** Who is in which review with which rights, in the database and in the `record` documents. */
export class Members {
  readonly #store: ReviewStore;
  readonly #rooms: Rooms;
  #introductions: Promise<unknown> = Promise.resolve();

  constructor(store: ReviewStore, rooms: Rooms) {
    this.#store = store;
    this.#rooms = rooms;
  }

  /**
   * Joins a browser to the review that an invite link opens. Someone who is in it already keeps their
   * name, and the stronger of both roles.
   * @param session the browser's session, or null for a browser that is new here
   * @returns null for a link that opens nothing
   */
  async join(session: string | null, capability: string): Promise<Joined | null> {
    const opened = this.#store.opens(capability);
    return opened === null ? null : this.#enter(session, opened.review, opened.role);
  }

  /** Joins a browser as a lead; someone who is in the review already stays as they are. */
  async joinAsLead(session: string | null, review: string): Promise<Joined> {
    if (session !== null && this.#store.memberOf(session, review) !== null) {
      return { session, review };
    }
    return this.#enter(session, review, 'lead');
  }

  /** The person that a browser is in a review; null if it is not in it. */
  async personOf(session: string | null, review: string): Promise<Person | null> {
    const member = session === null ? null : this.#store.memberOf(session, review);
    if (member === null) return null;
    if (isIntroduced(member)) return member;
    // One after the other: a page asks several times at once when it opens, and two people who come
    // at once are to get different names and inks.
    const introduction = this.#introductions.then(() => this.#introduce(review, member));
    this.#introductions = introduction.catch(() => undefined);
    return introduction;
  }

  async rename(review: string, person: Person, name: string): Promise<Person> {
    const renamed = { ...person, name };
    this.#store.rename(person.id, name);
    await this.#writePerson(review, renamed);
    return renamed;
  }

  /** Takes a person's rights away and closes their sockets. False if there is no such person. */
  async remove(review: string, person: string): Promise<boolean> {
    if (!this.#store.removePerson(review, person)) return false;
    await this.#closeSockets(person, CLOSE.notSignedIn, 'you were taken out of this review');
    return true;
  }

  async #introduce(review: string, { id }: Member): Promise<Person | null> {
    const member = this.#store.member(id);
    if (member === null || isIntroduced(member)) return member;
    const person = this.#store.introductionOf(review, member);
    // The record first: if the server ends between the two, the next visit introduces them again.
    await this.#writePerson(review, person);
    this.#store.introduce(person);
    return person;
  }

  async #enter(session: string | null, review: string, role: Role): Promise<Joined> {
    const joined = { session: session ?? makeCapability(), review };
    const member = this.#store.memberOf(joined.session, review);
    if (member === null) this.#store.addMember(review, role, joined.session);
    else if (ROLES.indexOf(role) > ROLES.indexOf(member.role)) {
      await this.#raise(review, member, role);
    }
    return joined;
  }

  async #raise(review: string, member: Member, role: Role): Promise<void> {
    this.#store.setRole(member.id, role);
    if (isIntroduced(member)) await this.#writePerson(review, { ...member, role });
    // A socket has the role that it was opened with; it comes back with the new one.
    await this.#closeSockets(member.id, CLOSE.comeBack, 'your role has changed');
  }

  #writePerson(review: string, person: Person): Promise<void> {
    return this.#rooms.with({ review, document: 'record' }, (record) =>
      writePerson(record, person),
    );
  }

  async #closeSockets(person: string, code: number, reason: string): Promise<void> {
    for (const room of await this.#rooms.all()) {
      for (const connection of [...room.connections]) {
        if (connection.person === person) connection.close(code, reason);
      }
    }
  }
}

/** Whether a member has opened the page, and so has a name. */
const isIntroduced = (member: Member): member is Member & Person =>
  member.name !== null && member.ink !== null;

/** Puts a person into a record document. @returns resolves when it is on disk */
export function writePerson(record: Room, { id, ...fields }: Person): Promise<void> {
  return record.write((doc) => recordMap(doc, 'people').set(id, fields));
}
