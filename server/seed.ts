import { generateNKeysBetween } from 'fractional-indexing';
import {
  addNote,
  addReply,
  type NoteReading,
  noteReading,
  stateStampKey,
} from '../core/document/notes.ts';
import type { Pin } from '../core/document/pins.ts';
import { recordMap, type Stamp } from '../core/document/record.ts';
import {
  addDraft,
  putKeys,
  putSequence,
  putShot,
  readDrafts,
  readSequences,
  setReviewTitle,
} from '../core/document/scenes.ts';
import type { DemoDraft, DemoReview, DemoShot } from '../demo-data/types.ts';
import type { Clock } from './clock.ts';
import type { Log } from './log.ts';
import { type Assess, sceneWithoutClip, worstWithoutClip } from './mechanics.ts';
import type { NewInvite } from './storage/invite-store.ts';
import type { ReviewStore } from './storage/review-store.ts';
import { readingOf } from './sync/reading-of.ts';
import { type Room, SERVER_ORIGIN } from './sync/room.ts';
import type { Rooms } from './sync/rooms.ts';

/** Id of the demo review, which opens without a link on a server without settings. */
export const DEMO_REVIEW = 'demo';

export interface SeedDeps {
  readonly reviews: ReviewStore;
  readonly rooms: Rooms;
  readonly clock: Clock;
  readonly log: Log;
  readonly assess: Assess;
}

// The demo's notes are some days old and lie a while apart, as notes do.
const FIRST_NOTE_MS = 3 * 24 * 3600 * 1000;
const BETWEEN_NOTES_MS = 47 * 60 * 1000;

/**
 * Puts the demo review in if it is not there.
 * @param make called only if it is needed; null: there is no demo
 * @returns its invites with their capabilities, or null when nothing was put in
 */
export async function seedDemo(
  make: () => Promise<DemoReview | null>,
  deps: SeedDeps,
): Promise<NewInvite[] | null> {
  const { reviews, rooms } = deps;
  if (reviews.review(DEMO_REVIEW) !== null) return null;
  const demo = await make();
  if (demo === null) return null;
  const key = (document: 'scenes' | 'notes' | 'record') => ({ review: DEMO_REVIEW, document });
  await rooms.with(key('record'), (record) =>
    rooms.with(key('notes'), (notes) =>
      rooms.with(key('scenes'), async (scenes) => {
        // The review's row comes last: a start that broke off before it finds the documents filled.
        if (readSequences(scenes.doc).length > 0) return;
        await fill(demo, { scenes, notes, record }, deps);
      }),
    ),
  );
  const { invites } = reviews.addReview(demo.title, DEMO_REVIEW);
  for (const person of demo.people) reviews.addPerson(DEMO_REVIEW, person);
  return invites;
}

interface DemoRooms {
  readonly scenes: Room;
  readonly notes: Room;
  readonly record: Room;
}

/** Writes all three documents in one turn, so that they are committed together. */
async function fill(demo: DemoReview, rooms: DemoRooms, deps: SeedDeps): Promise<void> {
  const stamps = new Map<string, Stamp>();
  const written = [
    rooms.scenes.write((doc) => {
      setReviewTitle(doc, demo.title, SERVER_ORIGIN);
      const orders = generateNKeysBetween(null, null, demo.sequences.length);
      demo.sequences.forEach((sequence, index) => {
        putSequence(doc, { ...sequence, order: orders[index] ?? 'a0' }, SERVER_ORIGIN);
        const shots = demo.shots.filter((shot) => shot.sequence === sequence.id);
        const places = generateNKeysBetween(null, null, shots.length);
        shots.forEach((shot, place) => {
          const { drafts, ...fields } = shot;
          const id = shotId(shot);
          putShot(doc, { id, order: places[place] ?? 'a0', ...fields }, SERVER_ORIGIN);
          drafts.forEach((draft, number) => {
            const link = {
              id: draftId(shot, number),
              shot: id,
              from: number === 0 ? null : draftId(shot, number - 1),
              title: draft.title,
            };
            addDraft(doc, link, draft.scene, SERVER_ORIGIN);
            putKeys(doc, link.id, draft.keys ?? [], SERVER_ORIGIN);
          });
        });
      });
    }),
    rooms.notes.write((doc) => {
      let at = deps.clock.now() - FIRST_NOTE_MS;
      const stamp = (key: string, by: string): void => {
        stamps.set(key, { by, at: new Date(at).toISOString() });
        at += BETWEEN_NOTES_MS;
      };
      for (const shot of demo.shots) {
        shot.drafts.forEach((draft, number) => {
          writeNotes(doc, { shot, draft, number }, stamp, deps);
        });
      }
    }),
    rooms.record.write((doc) => {
      for (const { id, ...fields } of demo.people) recordMap(doc, 'people').set(id, fields);
      for (const [key, stamp] of stamps) recordMap(doc, 'stamps').set(key, stamp);
      for (const { id } of readDrafts(rooms.scenes.doc)) {
        const assess = () => deps.assess(sceneWithoutClip(rooms.scenes.doc, id, 0));
        const moving = worstWithoutClip(rooms.scenes.doc, id);
        recordMap(doc, 'history').set(id, {
          ...readingOf(assess, deps.clock, deps.log),
          ...(moving === null ? {} : { moving }),
        });
      }
    }),
  ];
  await Promise.all(written);
}

function writeNotes(
  doc: Room['doc'],
  { shot, draft, number }: { shot: DemoShot; draft: DemoDraft; number: number },
  stamp: (key: string, by: string) => void,
  { assess, log }: SeedDeps,
): void {
  const { scene } = draft;
  const readingAt = (pin: Pin): NoteReading | null => {
    try {
      return noteReading(pin, scene, assess(scene));
    } catch (cause) {
      log.problem('A draft of the demo could not be weighed.', cause);
      return null;
    }
  };
  draft.notes?.forEach(({ by, replies, ...note }, index) => {
    const id = `${draftId(shot, number)}-note-${index + 1}`;
    const reading = readingAt(note.pin);
    const at = { id, shot: shotId(shot), draft: draftId(shot, number) };
    addNote(doc, { ...at, ...note, reading }, SERVER_ORIGIN);
    stamp(id, by);
    replies.forEach((reply, turn) => {
      const answer = `${id}-reply-${turn + 1}`;
      addReply(doc, { id: answer, note: id, text: reply.text }, SERVER_ORIGIN);
      stamp(answer, reply.by);
    });
    if (note.state !== 'open') stamp(stateStampKey(id), replies.at(-1)?.by ?? by);
  });
}

// Ids from the code of the shot make addresses that people can read.
const shotId = ({ code }: DemoShot): string => code.toLowerCase().replace(/[^a-z0-9]+/g, '-');
const draftId = (shot: DemoShot, number: number): string => `${shotId(shot)}-${number + 1}`;
