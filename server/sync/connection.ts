import type { Person } from '../../core/document/record.ts';
import { CLOSE, mayWrite, type Role } from '../../core/protocol/index.ts';
import type { Passage } from './gate.ts';
import type { Holder } from './presence.ts';
import type { Room } from './room.ts';
import {
  awarenessFrame,
  heldFrame,
  type Message,
  type RecentEntry,
  readMessage,
  refusedFrame,
  savedFrame,
} from './wire.ts';

/** The part of a socket that a connection uses. */
export interface Line {
  /** Bytes that were sent but have not left yet. */
  readonly bufferedAmount: number;
  send(frame: Uint8Array): void;
  close(code: number, reason: string): void;
}

/**
 * Largest message taken: a window that comes back after long work offline sends all of it at once,
 * and a whole review of 60 shots is below 2 MB. Clips are files and do not come this way.
 */
export const MAX_MESSAGE_BYTES = 8 * 1024 * 1024;

// A reader this far behind loses cursors and drags, which the next ones replace ...
const CONGESTED_BYTES = 1024 * 1024;
// ... and this far behind is sent away to come back, because one that has stopped reading would
// otherwise fill the server's memory.
const MAX_BUFFERED_BYTES = 16 * 1024 * 1024;

/** One socket of one person to one room. */
export class Connection implements Holder {
  readonly #room: Room;
  readonly #person: Person;
  readonly #line: Line;
  /** Resolves when what this connection sent is on disk. */
  #durable: Promise<void> = Promise.resolve();
  /** While something that it sent has not been sent on yet: resolves when it has. */
  #owing: Promise<void> | null = null;
  /** The client has answered what the server asked when it came. */
  #answered = false;
  /** Barriers behind an edit that was left to the answer; null where there is none. */
  #early: number[] | null = null;
  /**
   * What was sent on while the client's first answer waits for the disk: it follows on that. Before the
   * client has asked, what is sent on is nothing to it: it will be in the answer.
   */
  #behind: Uint8Array[] | null = null;
  /** The client has been answered, and gets what is sent on. */
  #follows = false;
  /** Something was not taken because there was no room for it. */
  #held = false;
  #open = true;

  /** Joins the room, asks for what the client has that the server misses, and shows who is here. */
  constructor(room: Room, person: Person, line: Line) {
    this.#room = room;
    this.#person = person;
    this.#line = line;
    room.join(this);
    // A reader has nothing that the server may take, so it is not asked.
    if (mayWrite(person.role, room.key.document)) this.send(room.answers.question);
    const here = room.presence.entries();
    if (here.length > 0) this.send(awarenessFrame(here));
  }

  get person(): string {
    return this.#person.id;
  }

  get role(): Role {
    return this.#person.role;
  }

  /** Whether something that the client sent waits for room on the server. */
  get isHeld(): boolean {
    return this.#held;
  }

  /** Takes in one message of the client. */
  receive(message: Uint8Array): void {
    if (!this.#open) return;
    if (message.byteLength > MAX_MESSAGE_BYTES) {
      this.close(CLOSE.badMessage, `a message may have ${MAX_MESSAGE_BYTES} bytes`);
      return;
    }
    const read = readMessage(message);
    const fault = read === null ? 'the message could not be read' : this.#handle(read);
    if (fault !== null) this.close(CLOSE.badMessage, fault);
  }

  /** Sends a frame. Droppable ones are left out when the client reads too slowly. */
  send(frame: Uint8Array, droppable = false): void {
    if (!this.#open) return;
    const waiting = this.#line.bufferedAmount;
    if (droppable && waiting > CONGESTED_BYTES) return;
    if (waiting > MAX_BUFFERED_BYTES) {
      this.close(CLOSE.comeBack, 'this window fell too far behind');
      return;
    }
    this.#line.send(frame);
  }

  /** Sends an update of somebody else's on. */
  sendOn(frame: Uint8Array): void {
    if (this.#follows) this.send(frame);
    else this.#behind?.push(frame);
  }

  /** A sign of life: stock clients leave a server from which nothing comes for 30 s. */
  greet(): void {
    this.send(awarenessFrame([]), true);
  }

  /** Leaves the room and closes the socket. */
  close(code: number, reason: string): void {
    if (!this.#open) return;
    this.leave();
    this.#line.close(code, reason);
  }

  /** The socket is gone: leaves the room and tells the others. */
  leave(): void {
    if (!this.#open) return;
    this.#open = false;
    this.#room.leave(this);
    const left = this.#room.presence.leave(this);
    if (left.length > 0) this.#room.broadcast(awarenessFrame(left), null);
  }

  /** @returns what is wrong with the message, or null */
  #handle(message: Message): string | null {
    switch (message.kind) {
      case 'question':
        this.#answer(message.stateVector);
        return null;
      case 'update':
        return this.#takeUpdate(message.update, message.isAnswer);
      case 'awareness':
        return this.#takeAwareness(message.update);
      case 'who-is-here':
        this.send(awarenessFrame(this.#room.presence.entries()));
        return null;
      case 'recent':
        return this.#takeRecent(message.entries);
      case 'barrier':
        this.#answerBarrier(message.number);
        return null;
    }
  }

  /**
   * An answer tells nothing that is not on disk yet: nothing vouches for its parts, as for updates that
   * are sent on.
   */
  #answer(stateVector: Uint8Array): void {
    const frame = this.#room.answers.to(stateVector);
    if (this.#room.isDurable) {
      this.#begin(frame);
      return;
    }
    if (!this.#follows) this.#behind ??= [];
    // When the commit fails, the room sends everybody away.
    this.#room.durable.then(() => this.#begin(frame), ignore);
  }

  #begin(answer: Uint8Array): void {
    this.send(answer);
    this.#follows = true;
    for (const frame of this.#behind ?? []) this.send(frame);
    this.#behind = null;
  }

  /** In their order, for each may follow on those before it. */
  #takeRecent(entries: readonly RecentEntry[]): string | null {
    for (const entry of entries) {
      if (entry.kind === 'sent-on') {
        this.#room.bringBack(entry.frame, this);
        this.#owe();
        continue;
      }
      const fault = this.#takeUpdate(entry.update, false);
      if (fault !== null) return fault;
    }
    return null;
  }

  #takeUpdate(update: Uint8Array, isAnswer: boolean): string | null {
    // What follows on something that was not taken comes once more with it.
    if (this.#held) return null;
    const passage = this.#room.judge(update, { person: this.person, role: this.role });
    if (passage.kind === 'malformed') return passage.reason;
    if (passage.kind === 'lacking' && !this.#answered && !isAnswer) {
      // A window that comes back and edits at once sends that edit before it was asked for what it
      // did offline, on which the edit follows. The answer holds both.
      this.#early ??= [];
      return null;
    }
    const fault = this.#act(update, passage);
    if (isAnswer && fault === null) this.#haveAnswer();
    return fault;
  }

  #haveAnswer(): void {
    const early = this.#early ?? [];
    this.#answered = true;
    this.#early = null;
    for (const number of early) this.#answerBarrier(number);
  }

  #act(update: Uint8Array, passage: Exclude<Passage, { kind: 'malformed' }>): string | null {
    if (passage.kind === 'refused' || passage.kind === 'lacking') {
      this.send(refusedFrame(passage.reason));
      return null;
    }
    if (passage.kind === 'pass') {
      if (this.#room.isFull) {
        this.#hold();
        return null;
      }
      if (!this.#room.apply(update, this, passage)) {
        return 'the update could not be applied';
      }
    }
    // Also when nothing was new: another connection's copy of it may still wait for its commit.
    this.#owe();
    return null;
  }

  #owe(): void {
    const { sentOn, durable } = this.#room;
    this.#durable = durable;
    if (this.#room.isSentOn) return;
    this.#owing = sentOn;
    const settle = (): void => {
      if (this.#owing === sentOn) this.#owing = null;
    };
    sentOn.then(settle, settle);
  }

  #hold(): void {
    this.#held = true;
    this.send(heldFrame('the server has no room left for changes'));
  }

  #takeAwareness(update: Uint8Array): string | null {
    const shown = this.#room.presence.show(this, update);
    if (shown.kind === 'malformed') return shown.reason;
    if (shown.refused !== '') this.send(refusedFrame(shown.refused));
    if (shown.corrections.length > 0) this.send(awarenessFrame(shown.corrections));
    // To the sender as well: a stock client that is alone takes its own echo as the sign of life.
    if (shown.entries.length > 0) {
      const frame = awarenessFrame(shown.entries);
      const relay = (): void => this.#room.broadcast(frame, null, true);
      // Behind what this client sent before: the end of a drag arrives before the drag is gone.
      if (this.#owing === null) relay();
      else this.#owing.then(relay, ignore);
    }
    return null;
  }

  #answerBarrier(number: number): void {
    if (this.#held) return;
    if (this.#early !== null) {
      this.#early.push(number);
      return;
    }
    this.#durable.then(
      () => this.send(savedFrame(number)),
      // The room has failed and is sending everybody away; there is nothing to confirm.
      ignore,
    );
  }
}

const ignore = (): void => undefined;
