import * as Y from 'yjs';
import {
  addDraft,
  copyMotion,
  type Draft,
  draftEntries,
  dropOpenCalls,
  putSequence,
  putShot,
  readDraft,
  readDrafts,
  readScene,
  readSequences,
  readShots,
  type Shot,
  setReviewTitle,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { makeId } from '../access/secrets.ts';
import type { Documents } from '../storage/point-store.ts';
import { SERVER_ORIGIN } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import { docOf } from './documents.ts';

/** A shot of a point with its drafts. */
export interface KeptShot extends Pick<Shot, 'id' | 'code' | 'title' | 'state'> {
  readonly drafts: readonly Pick<Draft, 'id' | 'number' | 'title'>[];
}

/** What a point holds. */
export function shotsOf({ scenes }: Documents): KeptShot[] {
  const doc = docOf(scenes);
  return readShots(doc).map(({ id, code, title, state }) => ({
    ...{ id, code, title, state },
    drafts: readDrafts(doc, id).map((draft) => ({
      id: draft.id,
      number: draft.number,
      title: draft.title,
    })),
  }));
}

/**
 * Adds drafts of a point to the review as new drafts; what is there stays as it is. A shot that was
 * removed meanwhile comes back with them.
 * @returns for each draft its new id; null if the point has not all of them
 */
export async function bringBackDrafts(
  {
    review,
    documents,
    drafts,
  }: { review: string; documents: Documents; drafts: readonly string[] },
  rooms: Rooms,
): Promise<{ from: string; id: string }[] | null> {
  const past = docOf(documents.scenes);
  const found = drafts.map((id) => readDraft(past, id)).filter((draft) => draft !== null);
  if (found.length !== drafts.length) return null;
  const made = found.map((draft) => ({ draft, id: makeId() }));
  await rooms.with({ review, document: 'scenes' }, (room) =>
    room.write((doc) => {
      for (const { draft, id } of made) {
        putShotBack(doc, past, draft.shot);
        const { shot, title, clip } = draft;
        const from = readDraft(doc, draft.id) === null ? null : draft.id;
        addDraft(doc, { id, shot, from, title, clip }, asItWas(past, draft.id), SERVER_ORIGIN);
        copyMotion(draftEntries(past, draft.id), draftEntries(doc, id));
      }
    }),
  );
  return made.map(({ draft, id }) => ({ from: draft.id, id }));
}

/** The scene with the bodies that it had then: the cast may have changed since. */
function asItWas(past: Y.Doc, draft: string): Scene {
  const scene = readScene(past, draft);
  return { ...scene, figures: scene.figures.map(({ cast: _, ...figure }) => figure) };
}

function putShotBack(doc: Y.Doc, past: Y.Doc, id: string): void {
  if (readShots(doc).some((shot) => shot.id === id)) return;
  const shot = readShots(past).find((candidate) => candidate.id === id);
  if (shot === undefined) return;
  if (!readSequences(doc).some((sequence) => sequence.id === shot.sequence)) {
    const sequence = readSequences(past).find((candidate) => candidate.id === shot.sequence);
    if (sequence !== undefined) putSequence(doc, sequence, SERVER_ORIGIN);
  }
  putShot(doc, shot, SERVER_ORIGIN);
}

/** Fills the empty documents of a new review with those of a point. */
export async function fillReview(
  { review, title, documents }: { review: string; title: string; documents: Documents },
  rooms: Rooms,
): Promise<void> {
  // The record first: the recorder has nothing to add to notes and drafts that come with theirs.
  for (const document of ['record', 'notes', 'scenes'] as const) {
    await rooms.with({ review, document }, (room) =>
      room.write((doc) => {
        Y.applyUpdate(doc, documents[document], SERVER_ORIGIN);
        if (document === 'record') dropOpenCalls(doc);
        if (document === 'scenes') setReviewTitle(doc, title, SERVER_ORIGIN);
      }),
    );
  }
}
