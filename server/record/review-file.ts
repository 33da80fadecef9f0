import { strToU8, Zip, ZipDeflate, ZipPassThrough } from 'fflate';
import type * as Y from 'yjs';
import { z } from 'zod';
import { type ReviewDocs, readTitle } from '../../core/document/index.ts';
import { type Clock, timeOf } from '../clock.ts';
import { docsOf, documentsOf } from '../history/documents.ts';
import { type FileStore, sha256 } from '../storage/file-store.ts';
import type { ReviewStore } from '../storage/review-store.ts';
import type { Rooms } from '../sync/rooms.ts';
import { isTextKind } from '../uploads/kinds.ts';

/**
 * A whole review as one file: a zip archive of
 *   manifest.json           what is in it, with the SHA-256 of each part
 *   documents/NAME.json     root maps of the three documents, as plain entries
 *   files/HASH              pictures, clips and scenes that people put in
 */
export const REVIEW_FILE_VERSION = 1;

export const MANIFEST = 'manifest.json';
export const DOCUMENT_NAMES = ['scenes', 'notes', 'record'] as const;
export const documentPath = (name: (typeof DOCUMENT_NAMES)[number]): string =>
  `documents/${name}.json`;
export const filePath = (hash: string): string => `files/${hash}`;

const hash = z.string().regex(/^[0-9a-f]{64}$/);

export const manifestSchema = z.strictObject({
  format: z.literal('counterlean-review'),
  version: z.number().int().min(1),
  title: z.string().max(200),
  madeAt: z.string().max(40),
  parts: z.record(z.string().max(120), z.strictObject({ sha256: hash, bytes: z.number().int() })),
});
export type Manifest = z.infer<typeof manifestSchema>;

/** Root maps by name, their entries by key. */
export type Roots = Readonly<Record<string, Readonly<Record<string, unknown>>>>;

/** The entries of a document as plain data. */
function rootsOf(doc: Y.Doc): Roots {
  const names = [...doc.share.keys()].sort();
  return Object.fromEntries(names.map((name) => [name, doc.getMap<unknown>(name).toJSON()]));
}

interface Packed {
  readonly review: string;
  readonly title: string;
  readonly docs: ReviewDocs;
  readonly files: Pick<FileStore, 'get' | 'hashesOf'>;
  /** ISO 8601 time. */
  readonly at: string;
}

/** The review of an id as a file; null where there is none. */
export async function reviewFileOf(
  review: string,
  {
    rooms,
    reviews,
    files,
    clock,
  }: { rooms: Rooms; reviews: ReviewStore; files: FileStore; clock: Clock },
): Promise<ReadableStream<Uint8Array> | null> {
  if (reviews.review(review) === null) return null;
  const docs = docsOf(await documentsOf(rooms, review));
  return packReview({ review, title: readTitle(docs.scenes), docs, files, at: timeOf(clock) });
}

/** The review as a file, piece by piece: only one part of it is in memory at a time. */
function packReview(packed: Packed): ReadableStream<Uint8Array> {
  const parts = packReviewParts(packed);
  let ended = false;
  let wanting: ReadableStreamDefaultController<Uint8Array>;
  const zip = new Zip((fault, piece, final) => {
    if (fault) wanting.error(fault);
    else if (piece.length > 0) wanting.enqueue(piece);
    if (final) ended = true;
  });
  return new ReadableStream<Uint8Array>({
    start(controller) {
      wanting = controller;
    },
    pull(controller) {
      const { value, done } = parts.next();
      if (done) zip.end();
      else {
        // Pictures are packed already; texts shrink to a tenth.
        const entry = value.isText
          ? new ZipDeflate(value.path, { level: 6 })
          : new ZipPassThrough(value.path);
        zip.add(entry);
        entry.push(value.bytes, true);
      }
      if (ended) controller.close();
    },
  });
}

interface Part {
  readonly path: string;
  readonly bytes: Uint8Array;
  readonly isText: boolean;
}

function* packReviewParts({ review, title, docs, files, at }: Packed): Generator<Part> {
  const listed: Record<string, { sha256: string; bytes: number }> = {};
  const list = (part: Part): Part => {
    listed[part.path] = { sha256: sha256(part.bytes), bytes: part.bytes.byteLength };
    return part;
  };
  for (const name of DOCUMENT_NAMES) {
    const bytes = strToU8(JSON.stringify(rootsOf(docs[name])));
    yield list({ path: documentPath(name), bytes, isText: true });
  }
  for (const file of files.hashesOf(review)) {
    const kept = files.get(review, file);
    if (kept === null) continue;
    yield list({ path: filePath(file), bytes: kept.bytes, isText: isTextKind(kept.kind) });
  }
  const manifest: Manifest = {
    ...{ format: 'counterlean-review', version: REVIEW_FILE_VERSION, title, madeAt: at },
    parts: listed,
  };
  yield { path: MANIFEST, bytes: strToU8(JSON.stringify(manifest, null, 1)), isText: true };
}
