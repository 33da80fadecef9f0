import * as Y from 'yjs';
import { type ReviewDocs, readDrafts } from '../../core/document/index.ts';
import type { FileStore } from '../storage/file-store.ts';
import type { Documents } from '../storage/point-store.ts';
import type { Rooms } from '../sync/rooms.ts';

/** The three documents of a review as they are now. */
export async function documentsOf(rooms: Rooms, review: string): Promise<Documents> {
  const state = (document: keyof Documents): Promise<Uint8Array> =>
    rooms.with({ review, document }, ({ doc }) => Y.encodeStateAsUpdate(doc));
  // One after the other, scenes first: a stamp of the record is never older than what it is about.
  const scenes = await state('scenes');
  const notes = await state('notes');
  return { scenes, notes, record: await state('record') };
}

/** A copy of a document, to be read; nobody else sees it. */
export function docOf(state: Uint8Array): Y.Doc {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, state);
  return doc;
}

/** Copies of documents, to be read; nobody else sees them. */
export const docsOf = ({ scenes, notes, record }: Documents): ReviewDocs => ({
  scenes: docOf(scenes),
  notes: docOf(notes),
  record: docOf(record),
});

/** The files that the current drafts of a review's shots play, by content hash. */
export function clipsOf(
  { scenes }: Pick<ReviewDocs, 'scenes'>,
  review: string,
  files: Pick<FileStore, 'get'>,
): Map<string, Uint8Array<ArrayBuffer>> {
  const clips = new Map<string, Uint8Array<ArrayBuffer>>();
  const current = new Map(readDrafts(scenes).map((draft) => [draft.shot, draft] as const));
  for (const { clip } of current.values()) {
    const file = clip === null || clips.has(clip.file) ? null : files.get(review, clip.file);
    if (clip !== null && file !== null) clips.set(clip.file, file.bytes);
  }
  return clips;
}
