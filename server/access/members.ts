import { type Person, recordMap } from '../../core/document/record.ts';
import { CLOSE, ROLES, type Role } from '../../core/protocol/index.ts';
import type { InviteStore } from '../storage/invite-store.ts';
import type { Member, ReviewStore } from '../storage/review-store.ts';
import type { Room } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import { isPassphrase } from './passphrase.ts';
import { makeCapability } from './secrets.ts';

/** A browser that has joined. */
export interface Joined {
  readonly kind: 'joined';
  readonly session: string;
  readonly review: string;
}

/** What came of following an invite link. */
export type Joining =
  | Joined
  /** Unknown, taken back, expired, or used up. */
  | { readonly kind: 'opens-nothing' }
  /** The review has as many people as it may. */
  | { readonly kind: 'full' }
  | { readonly kind: 'needs-passphrase' }
  | { readonly kind: 'wrong-passphrase' };

/** What a browser brings to an invite link. */
export interface Arriving {
  /** Null for a browser that is new here. */
  readonly session: string | null;
  readonly capability: string;
  readonly passphrase: string | null;
  /** Called before a passphrase is tried; throws when that was done too often. */
  readonly onTry: (invite: string) => void;
}

/** How many people may be in one review. */
export const MAX_PEOPLE = 500;

/** Who is in which review with which rights, in the database and in the `record` documents. */
export class Members {
  readonly #store: ReviewStore;
  readonly #invites: InviteStore;
  readonly #rooms: Rooms;
  #introductions: Promise<unknown> = Promise.resolve();

  constructor(store: ReviewStore, invites: InviteStore, rooms: Rooms) {
    this.#store = store;
    this.#invites = invites;
    this.#rooms = rooms;
  }

  /**
   * Joins a browser to the review that an invite link opens. Someone who is in it already keeps their
   * name, and the stronger of both roles; a link that gives them nothing new is not used up by that.
   */
  async join({ session, capability, passphrase, onTry }: Arriving): Promise<Joining> {
    const opened = this.#invites.opens(capability);
    if (opened === null) return { kind: 'opens-nothing' };
    const { id, review, role } = opened;
    const member = session === null ? null : this.#store.memberOf(session, review);
    if (session !== null && member !== null && !isStronger(role, member.role)) {
      return { kind: 'joined', session, review };
    }
    if (opened.passphrase !== null) {
      if (passphrase === null) return { kind: 'needs-passphrase' };
      onTry(id);
      if (!(await isPassphrase(passphrase, opened.passphrase))) return { kind: 'wrong-passphrase' };
    }
    if (member === null && this.#store.countOf(review) >= MAX_PEOPLE) return { kind: 'full' };
    if (!this.#invites.use(id)) return { kind: 'opens-nothing' };
    return this.#enter(session, { review, role, invite: id });
  }

  /** Joins a browser as a lead; someone who is in the review already stays as they are. */
  async joinAsLead(session: string | null, review: string): Promise<Joined> {
    if (session !== null && this.#store.memberOf(session, review) !== null) {
      return { kind: 'joined', session, review };
    }
    return this.#enter(session, { review, role: 'lead', invite: null });
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

  /**
   * Takes an invite link back; who came by it stays, or is sent out with it.
   * @param sendOut null: they stay; else all of them go but this one person
   * @returns false if there is no such link
   */
  async takeBack(
    review: string,
    invite: string,
    sendOut: { but: string } | null,
  ): Promise<boolean> {
    if (!this.#invites.remove(review, invite)) return false;
    if (sendOut === null) return true;
    for (const person of this.#store.peopleBy(review, invite)) {
      if (person !== sendOut.but) await this.remove(review, person);
    }
    return true;
  }

  /** Closes the sockets of a session that has signed out. */
  async signedOut(session: string): Promise<void> {
    for (const person of this.#store.peopleOf(session)) {
      await this.#closeSockets(person, CLOSE.notSignedIn, 'you have signed out');
    }
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

  async #enter(
    session: string | null,
    { review, role, invite }: { review: string; role: Role; invite: string | null },
  ): Promise<Joined> {
    const joined: Joined = { kind: 'joined', session: session ?? makeCapability(), review };
    const member = this.#store.memberOf(joined.session, review);
    if (member === null) this.#store.addMember(review, role, joined.session, invite);
    else if (isStronger(role, member.role)) await this.#raise(review, member, role);
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

const isStronger = (role: Role, than: Role): boolean => ROLES.indexOf(role) > ROLES.indexOf(than);

/** Whether a member has opened the page, and so has a name. */
const isIntroduced = (member: Member): member is Member & Person =>
  member.name !== null && member.ink !== null;

/** Puts a person into a record document. @returns resolves when it is on disk */
export function writePerson(record: Room, { id, ...fields }: Person): Promise<void> {
  return record.write((doc) => recordMap(doc, 'people').set(id, fields));
}
