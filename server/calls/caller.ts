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
  truthOf,
} from '../../core/document/index.ts';
import { makeId } from '../access/secrets.ts';
import type { Clips } from '../clips.ts';
import { type Clock, timeOf } from '../clock.ts';
import { AppError } from '../errors.ts';
import { type Assess, sceneOfDraft } from '../mechanics.ts';
import type { CallStore } from '../storage/call-store.ts';
import type { Recorder } from '../sync/recorder.ts';
import type { Room } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import { putBack, readingsIn, takeOut } from './hidden-record.ts';

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

  /** Hides the readings of a shot. Throws AppError when there is no such draft or one is open already. */
  async open(review: string, by: string, { shot, draft, frame, guests }: Terms): Promise<OpenCall> {
    const { rooms, clock, calls } = this.#deps;
    const drafts = await rooms.with({ review, document: 'scenes' }, ({ doc }) => {
      const isThere = readShots(doc).some(({ id }) => id === shot);
      return isThere ? readDrafts(doc, shot).map(({ id }) => id) : [];
    });
    if (!drafts.includes(draft)) throw absent('draft of this shot');
    return rooms.with({ review, document: 'record' }, async (room) => {
      if (openCallOn(room.doc, shot) !== null) {
        throw new AppError('full', 'A call is open on this shot already.', 'Show it first.');
      }
      const terms = { id: makeId(), shot, draft, frame, by, at: timeOf(clock), guests, count: 0 };
      const call: OpenCall = { ...terms, state: 'open' };
      const kept = readingsIn(room.doc, shot, drafts);
      calls.open(review, call.id, kept);
      await room.write((doc) => {
        putCall(doc, call);
        takeOut(doc, kept);
      });
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
      const count = calls.answer(id, who.person, answer);
      if (count !== call.count) await room.write((doc) => putCall(doc, { ...call, count }));
      return count;
    });
  }

  /** What a person has said in an open call; null when nothing yet. */
  async answerOf(review: string, id: string, person: string): Promise<Answer | null> {
    const { rooms, calls } = this.#deps;
    return rooms.with({ review, document: 'record' }, ({ doc }) => {
      openCall(doc, id);
      return calls.answerOf(id, person);
    });
  }

  /** Weighs the draft and puts all calls and the truth into the record. Throws AppError. */
  async show(review: string, id: string): Promise<Call> {
    const { rooms, calls, clock } = this.#deps;
    return rooms.with({ review, document: 'record' }, async (room) => {
      const open = openCall(room.doc, id);
      const truth = await this.#truth(review, open);
      // Between two awaits: nobody calls after the answers were read and before the call is shown.
      const answers = calls.answers(openCall(room.doc, id).id);
      const shown: Call = {
        ...open,
        ...{ state: 'shown', shownAt: timeOf(clock), count: answers.length, truth, answers },
      };
      await room.write((doc) => {
        putCall(doc, shown);
        putBack(doc, calls.keptOf(id));
      });
      calls.close(id);
      await this.#weighAgain(room, open.shot);
      return shown;
    });
  }

  /** Ends a call without a word: what was called is forgotten and the readings are back. */
  async takeBack(review: string, id: string): Promise<void> {
    const { rooms, calls } = this.#deps;
    await rooms.with({ review, document: 'record' }, async (room) => {
      const { shot } = openCall(room.doc, id);
      await room.write((doc) => {
        callsMap(doc).delete(id);
        putBack(doc, calls.keptOf(id));
      });
      calls.close(id);
      await this.#weighAgain(room, shot);
    });
  }

  #truth(review: string, { draft, frame }: OpenCall): Promise<ReturnType<typeof truthOf>> {
    const { rooms, clips, assess } = this.#deps;
    return rooms.with({ review, document: 'scenes' }, async ({ doc }) => {
      const found = readDrafts(doc).find(({ id }) => id === draft);
      if (found === undefined) throw absent('draft any more');
      const scene = await sceneOfDraft({ doc, review, draft, clip: found.clip }, frame ?? 0, clips);
      return truthOf(scene, assess(scene));
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

const absent = (what: string): AppError =>
  new AppError('not-found', `There is no such ${what}.`, 'It may have been removed.');
