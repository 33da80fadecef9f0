import { readFile } from 'node:fs/promises';
import { dropOpenCalls, setReviewTitle } from '../../core/document/index.ts';
import { makeId } from '../access/secrets.ts';
import type { FileStore } from '../storage/file-store.ts';
import type { NewInvite } from '../storage/invite-store.ts';
import type { Review, ReviewStore } from '../storage/review-store.ts';
import { SERVER_ORIGIN } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';
import type { Unpacked } from './unpack-review.ts';

export interface BringDeps {
  readonly rooms: Rooms;
  readonly reviews: ReviewStore;
  readonly files: FileStore;
}

/**
 * Makes a new review of what a file held; whatever is there stays as it is.
 * @param person who brought it
 */
export async function bringReview(
  { title, documents, files: brought }: Unpacked,
  person: string,
  { rooms, reviews, files }: BringDeps,
): Promise<{ review: Review; invites: NewInvite[] }> {
  const id = makeId();
  // The row comes before the files, which name it, and after the documents: nobody finds the review
  // before it is filled. Pictures have another hash here, because they were encoded anew.
  const hashes = new Map(brought.map(({ from, hash }) => [from, hash] as const));
  for (const document of ['record', 'notes', 'scenes'] as const) {
    await rooms.with({ review: id, document }, (room) =>
      room.write((doc) => {
        for (const [root, entries] of Object.entries(documents[document])) {
          const map = doc.getMap<unknown>(root);
          for (const [key, value] of Object.entries(entries)) map.set(key, renamed(value, hashes));
        }
        if (document === 'record') dropOpenCalls(doc);
        if (document === 'scenes') setReviewTitle(doc, title, SERVER_ORIGIN);
      }),
    );
  }
  const made = reviews.addReview(title, id);
  for (const { kind, path } of brought) {
    files.put(id, person, { kind, bytes: new Uint8Array(await readFile(path)) });
  }
  return made;
}

/** A value with the hashes of files in it exchanged. */
function renamed(value: unknown, hashes: ReadonlyMap<string, string>): unknown {
  if (typeof value === 'string') return hashes.get(value) ?? value;
  if (Array.isArray(value)) return value.map((item) => renamed(item, hashes));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, item]) => [name, renamed(item, hashes)]),
  );
}
