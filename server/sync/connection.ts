import type { Person } from '../../core/document/record.ts';
import { CLOSE, mayWrite, type Role } from '../../core/protocol/index.ts';
import { judge } from './gate.ts';
import type { Holder } from './presence.ts';
import type { Room } from './room.ts';
import {
  answerFrame,
  awarenessFrame,
  type Message,
  questionFrame,
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
  #open = true;

  /** Joins the room, asks for what the client has that the server misses, and shows who is here. */
  constructor(room: Room, person: Person, line: Line) {
    this.#room = room;
    this.#person = person;
    this.#line = line;
    room.join(this);
    // A reader has nothing that the server may take, so it is not asked.
    if (mayWrite(person.role, room.key.document)) this.send(questionFrame(room.doc));
    const here = room.presence.entries();
    if (here.length > 0) this.send(awarenessFrame(here));
  }

  get person(): string {
    return this.#person.id;
  }

  get role(): Role {
    return this.#person.role;
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
        this.send(answerFrame(this.#room.doc, message.stateVector));
        return null;
      case 'update':
        return this.#takeUpdate(message.update);
      case 'awareness':
        return this.#takeAwareness(message.update);
      case 'who-is-here':
        this.send(awarenessFrame(this.#room.presence.entries()));
        return null;
      case 'barrier':
        this.#answerBarrier(message.number);
        return null;
    }
  }

  #takeUpdate(update: Uint8Array): string | null {
    const { doc, key } = this.#room;
    const passage = judge(update, { doc, document: key.document, role: this.role });
    if (passage.kind === 'malformed') return passage.reason;
    if (passage.kind === 'refused') {
      this.send(refusedFrame(passage.reason));
      return null;
    }
    if (passage.kind === 'pass' && !this.#room.apply(update, this)) {
      return 'the update could not be applied';
    }
    // Also when nothing was new: another connection's copy of it may still wait for its commit.
    this.#durable = this.#room.durable;
    return null;
  }

  #takeAwareness(update: Uint8Array): string | null {
    const shown = this.#room.presence.show(this, update);
    if (shown.kind === 'malformed') return shown.reason;
    if (shown.refused !== '') this.send(refusedFrame(shown.refused));
    if (shown.corrections.length > 0) this.send(awarenessFrame(shown.corrections));
    // To the sender as well: a stock client that is alone takes its own echo as the sign of life.
    if (shown.entries.length > 0) {
      this.#room.broadcast(awarenessFrame(shown.entries), null, true);
    }
    return null;
  }

  #answerBarrier(number: number): void {
    this.#durable.then(
      () => this.send(savedFrame(number)),
      // The room has failed and is sending everybody away; there is nothing to confirm.
      () => undefined,
    );
  }
}
