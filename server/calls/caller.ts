import type * as Y from 'yjs';
import {
  type Answer,
  type Call,
  callsMap,
  type OpenCall,
  openCallOn,
  putCall,
  readDrafts,
  readOneCall,
  readShots,
  type Truth,
  truthOf,
} from '../../core/document/index.ts';
import { makeId } from '../access/secrets.ts';
import type { Clips } from '../clips.ts';
import { type Clock, timeOf } from '../clock.ts';
import { AppError, absent } from '../errors.ts';
import { type Assess, weighDraft } from '../mechanics.ts';
import type { CallKey, CallStore } from '../storage/call-store.ts';
import type { Recorder } from '../sync/recorder.ts';
import type { Room } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import {
  putBackInNotes,
  putBackInRecord,
  readingsIn,
  takeOutOfNotes,
  takeOutOfRecord,
} from './hidden-readings.ts';

export interface CallerDeps {
  readonly rooms: Rooms;
  readonly calls: CallStore;
  readonly clips: Clips;
  readonly assess: Assess;
  readonly recorder: Pick<Recorder, 'weighAgain'>;
  readonly clock: Clock;
}

/** What a lead hides the readings for. */
export interface Terms {
  readonly shot: string;
  readonly draft: string;
  readonly frame: number | null;
  readonly guests: boolean;
}

/**
 * Opens, counts and shows calls. The record says which calls are open and how many people have called;
 * what they called is in the database alone until it is shown.
 */
export class Caller {
  readonly #deps: CallerDeps;

  constructor(deps: CallerDeps) {
    this.#deps = deps;
  }

  /**
   * Weighs the draft and hides the readings of its shot. Throws AppError when there is no such draft, it
   * cannot be weighed, or a call is open on the shot already.
   */
  async open(review: string, by: string, { shot, draft, frame, guests }: Terms): Promise<OpenCall> {
    const { rooms, clock, calls } = this.#deps;
    const drafts = await rooms.with({ review, document: 'scenes' }, ({ doc }) => {
      const isThere = readShots(doc).some(({ id }) => id === shot);
      return isThere ? readDrafts(doc, shot).map(({ id }) => id) : [];
    });
    if (!drafts.includes(draft)) throw absent('draft of this shot');
    const truth = await this.#truth(review, { draft, frame });
    return this.#withTelling(review, async (record, notes) => {
      if (openCallOn(record.doc, shot) !== null) {
        throw new AppError('full', 'A call is open on this shot already.', 'Show it first.');
      }
      const terms = { id: makeId(), shot, draft, frame, by, at: timeOf(clock), guests, count: 0 };
      const call: OpenCall = { ...terms, state: 'open' };
      const kept = readingsIn({ record: record.doc, notes: notes.doc }, shot, drafts);
      calls.open({ review, call: call.id }, kept, truth);
      // In one turn, so in one commit: no reading is out of its document without the call that keeps it.
      await Promise.all([
        record.write((doc) => {
          putCall(doc, call);
          takeOutOfRecord(doc, kept);
        }),
        notes.write((doc) => takeOutOfNotes(doc, kept)),
      ]);
      return call;
    });
  }

  /** Keeps what a person says; saying it again replaces it. @returns how many have called */
  async answer(
    review: string,
    id: string,
    who: { readonly person: string; readonly isGuest: boolean },
    answer: Answer,
  ): Promise<number> {
    const { rooms, calls } = this.#deps;
    return rooms.with({ review, document: 'record' }, async (room) => {
      const call = openCall(room.doc, id);
      if (who.isGuest && !call.guests) {
        throw new AppError('forbidden', 'Guests look on at this call.', 'Ask its lead.');
      }
      const count = calls.answer({ review, call: id }, who.person, answer);
      if (count === null) throw absent('call');
      if (count !== call.count) await room.write((doc) => putCall(doc, { ...call, count }));
      return count;
    });
  }

  /** What a person has said in an open call; null when nothing yet. */
  async answerOf(review: string, id: string, person: string): Promise<Answer | null> {
    const { rooms, calls } = this.#deps;
    return rooms.with({ review, document: 'record' }, ({ doc }) => {
      openCall(doc, id);
      return calls.answerOf({ review, call: id }, person);
    });
  }

  /** Puts all calls and the truth, as it was when they were asked for, into the record. Throws AppError. */
  async show(review: string, id: string): Promise<Call> {
    const { calls, clock } = this.#deps;
    const key = { review, call: id };
    return this.#withTelling(review, async (record, notes) => {
      const truth = calls.truthOf(key) ?? (await this.#truth(review, openCall(record.doc, id)));
      // Between two awaits: nobody calls after the answers were read and before the call is shown.
      const open = openCall(record.doc, id);
      const answers = calls.answers(key);
      const shown: Call = {
        ...open,
        ...{ state: 'shown', shownAt: timeOf(clock), count: answers.length, truth, answers },
      };
      await this.#end(key, { record, notes, shot: open.shot }, (doc) => putCall(doc, shown));
      return shown;
    });
  }

  /** Ends a call without a word: what was called is forgotten and the readings are back. */
  async takeBack(review: string, id: string): Promise<void> {
    await this.#withTelling(review, async (record, notes) => {
      const { shot } = openCall(record.doc, id);
      await this.#end({ review, call: id }, { record, notes, shot }, (doc) =>
        callsMap(doc).delete(id),
      );
    });
  }

  /** Writes how a call ends, with the readings that were hidden for it. */
  async #end(
    key: CallKey,
    { record, notes, shot }: { record: Room; notes: Room; shot: string },
    change: (record: Y.Doc) => void,
  ): Promise<void> {
    const { calls } = this.#deps;
    const kept = calls.keptOf(key);
    await Promise.all([
      record.write((doc) => {
        change(doc);
        putBackInRecord(doc, kept);
      }),
      notes.write((doc) => putBackInNotes(doc, kept)),
    ]);
    calls.close(key);
    await this.#weighAgain(record, shot);
  }

  /** The rooms of the documents that tell readings. */
  #withTelling<T>(review: string, use: (record: Room, notes: Room) => Promise<T>): Promise<T> {
    const { rooms } = this.#deps;
    return rooms.with({ review, document: 'record' }, (record) =>
      rooms.with({ review, document: 'notes' }, (notes) => use(record, notes)),
    );
  }

  #truth(review: string, { draft, frame }: Pick<OpenCall, 'draft' | 'frame'>): Promise<Truth> {
    const { rooms, clips, assess } = this.#deps;
    return rooms.with({ review, document: 'scenes' }, async ({ doc }) => {
      const found = readDrafts(doc).find(({ id }) => id === draft);
      if (found === undefined) throw absent('draft any more');
      const place = { doc, review, draft, clip: found.clip };
      const { scene, report } = await weighDraft(place, frame ?? 0, clips, assess);
      return truthOf(scene, report);
    });
  }

  /** Drafts of the shot that changed while their readings were hidden. */
  async #weighAgain(record: Room, shot: string): Promise<void> {
    const { rooms, recorder } = this.#deps;
    await rooms.with({ ...record.key, document: 'scenes' }, (scenes) => {
      for (const { id } of readDrafts(scenes.doc, shot)) recorder.weighAgain(scenes, record, id);
    });
  }
}

function openCall(record: Y.Doc, id: string): OpenCall {
  const call = readOneCall(record, id);
  if (call === null) throw absent('call');
  if (call.state === 'open') return call;
  throw new AppError('full', 'This call has been shown.', 'It is in the record of the shot.');
}
