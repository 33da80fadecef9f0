import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { strFromU8 } from 'fflate';
import { z } from 'zod';
import { AppError } from '../errors.ts';
import { MAX_REVIEW_BYTES, sha256 } from '../storage/file-store.ts';
import { checkFile } from '../uploads/check.ts';
import type { FileKind } from '../uploads/kinds.ts';
import {
  DOCUMENT_NAMES,
  documentPath,
  filePath,
  MANIFEST,
  type Manifest,
  manifestSchema,
  REVIEW_FILE_VERSION,
  type Roots,
} from './review-file.ts';
import { type ZipEntry, ZipFault, ZipFile } from './zip-file.ts';

/** Documents are text here, some three times as long as in memory. */
const PART_BYTES = 96 * 1024 * 1024;

/** What an archive may be unpacked to: whatever a review may have. */
export const UNPACK_LIMITS = {
  parts: 20_000,
  partBytes: PART_BYTES,
  allBytes: MAX_REVIEW_BYTES + DOCUMENT_NAMES.length * PART_BYTES,
} as const;

/** A review as it was taken out of a file. */
export interface Unpacked {
  readonly title: string;
  readonly documents: Readonly<Record<(typeof DOCUMENT_NAMES)[number], Roots>>;
  /**
   * As they may be kept: pictures encoded anew. `from`: the hash that the documents know it by; `hash`:
   * the one that it has here; `path`: where it lies meanwhile.
   */
  readonly files: readonly {
    readonly from: string;
    readonly hash: string;
    readonly kind: FileKind;
    readonly path: string;
  }[];
}

const refuse = (message: string, cause?: unknown): AppError =>
  new AppError(
    'unreadable',
    message,
    'Take the review out of its server again; nothing was changed.',
    { cause },
  );

/**
 * Reads a review file whole.
 * @param folder where its pictures and clips are put, one by one
 * @throws AppError for one that is broken, too large when unpacked, or made by a newer version
 */
export async function unpackReview(path: string, folder: string): Promise<Unpacked> {
  try {
    return await ZipFile.with(path, (zip) => unpack(zip, folder));
  } catch (cause) {
    if (!(cause instanceof ZipFault)) throw cause;
    throw refuse(`It is no review file, or it is damaged: ${cause.message}.`, cause);
  }
}

async function unpack(zip: ZipFile, folder: string): Promise<Unpacked> {
  const entries = listed(zip.entries);
  const head = entries.get(MANIFEST);
  const manifest = readManifest(head === undefined ? undefined : await zip.read(head));
  const missing = Object.keys(manifest.parts).find((part) => !entries.has(part));
  if (missing !== undefined) throw refuse(`The file lacks ${missing}.`);
  const extra = [...entries.keys()].find((part) => part !== MANIFEST && !(part in manifest.parts));
  if (extra !== undefined) throw refuse(`${extra} is not in the manifest.`);

  const read = async (part: string): Promise<Uint8Array<ArrayBuffer>> => {
    const [entry, said] = [entries.get(part), manifest.parts[part]];
    if (entry === undefined || said === undefined) throw refuse(`The file lacks ${part}.`);
    const bytes = await zip.read(entry);
    if (bytes.byteLength === said.bytes && sha256(bytes) === said.sha256) return bytes;
    throw refuse(`${part} is not what the manifest says: the file is damaged.`);
  };
  const roots = async (name: (typeof DOCUMENT_NAMES)[number]): Promise<Roots> => {
    const fits = rootsSchema.safeParse(json(await read(documentPath(name))));
    if (fits.success) return fits.data;
    throw refuse(`${documentPath(name)} does not fit the shape of a review.`);
  };
  const documents = {
    scenes: await roots('scenes'),
    notes: await roots('notes'),
    record: await roots('record'),
  };
  const files: Unpacked['files'][number][] = [];
  for (const part of entries.keys()) {
    if (!part.startsWith(filePath(''))) continue;
    const { kind, bytes } = await checkFile(await read(part));
    const hash = sha256(bytes);
    const file = { from: part.slice(filePath('').length), hash, kind, path: join(folder, hash) };
    await writeFile(file.path, bytes);
    files.push(file);
  }
  return { title: manifest.title, documents, files };
}

const PATHS = new RegExp(
  `^(?:manifest\\.json|documents/(?:${DOCUMENT_NAMES.join('|')})\\.json|files/[0-9a-f]{64})$`,
);

/** The entries by name, once they are those of a review and within the limits. */
function listed(entries: readonly ZipEntry[]): Map<string, ZipEntry> {
  const byName = new Map<string, ZipEntry>();
  if (entries.length > UNPACK_LIMITS.parts) throw refuse('It has more parts than a review may.');
  let all = 0;
  for (const entry of entries) {
    if (!PATHS.test(entry.name) || byName.has(entry.name)) {
      throw refuse('It is no review file: it holds something else.');
    }
    // What it says of its size is held against it when it is unpacked.
    all += entry.size;
    if (entry.size > UNPACK_LIMITS.partBytes || all > UNPACK_LIMITS.allBytes) {
      throw refuse('Unpacked it is larger than a review may be.');
    }
    byName.set(entry.name, entry);
  }
  if (byName.size === 0) throw refuse('It is no review file: it is empty.');
  return byName;
}

function readManifest(part: Uint8Array | undefined): Manifest {
  const read = manifestSchema.safeParse(part === undefined ? undefined : json(part));
  if (!read.success) throw refuse('It is no review file: it has no manifest that can be read.');
  if (read.data.version > REVIEW_FILE_VERSION) {
    throw new AppError(
      'unreadable',
      `It was made by a newer version (${read.data.version}, this one reads ${REVIEW_FILE_VERSION}).`,
      'Bring this server up to date first.',
    );
  }
  return read.data;
}

const rootsSchema = z.record(
  z.string().regex(/^[\w:-]{1,120}$/),
  z.record(z.string().max(256), z.json()),
);

function json(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(strFromU8(bytes));
  } catch {
    return undefined;
  }
}
