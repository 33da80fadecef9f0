import { strFromU8, Unzip, UnzipInflate } from 'fflate';
import { z } from 'zod';
import { AppError } from '../errors.ts';
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
  sha256,
} from './review-file.ts';

/** What an archive may be unpacked to, so that a small file cannot fill the memory. */
export const UNPACK_LIMITS = {
  parts: 2000,
  partBytes: 32 * 1024 * 1024,
  allBytes: 256 * 1024 * 1024,
} as const;

/** A review as it was taken out of a file. */
export interface Unpacked {
  readonly title: string;
  readonly documents: Readonly<Record<(typeof DOCUMENT_NAMES)[number], Roots>>;
  /** As they may be kept: pictures encoded anew. `from`: the hash that the documents know it by. */
  readonly files: readonly {
    readonly from: string;
    readonly kind: FileKind;
    readonly bytes: Uint8Array<ArrayBuffer>;
  }[];
}

const refuse = (message: string): AppError =>
  new AppError(
    'unreadable',
    message,
    'Take the review out of its server again; nothing was changed.',
  );

/**
 * Reads a review file whole.
 * @throws AppError for one that is broken, too large when unpacked, or made by a newer version
 */
export async function unpackReview(bytes: Uint8Array): Promise<Unpacked> {
  const parts = unzip(bytes);
  const manifest = readManifest(parts.get(MANIFEST));
  for (const [path, { sha256: right, bytes: size }] of Object.entries(manifest.parts)) {
    const part = parts.get(path);
    if (part === undefined) throw refuse(`The file lacks ${path}.`);
    if (part.byteLength !== size || sha256(part) !== right) {
      throw refuse(`${path} is not what the manifest says: the file is damaged.`);
    }
  }
  const extra = [...parts.keys()].find((path) => path !== MANIFEST && !(path in manifest.parts));
  if (extra !== undefined) throw refuse(`${extra} is not in the manifest.`);
  const documents = {
    scenes: readRoots(parts, 'scenes'),
    notes: readRoots(parts, 'notes'),
    record: readRoots(parts, 'record'),
  };
  const files: Unpacked['files'][number][] = [];
  for (const [path, part] of parts) {
    const from = path.startsWith(filePath('')) ? path.slice(filePath('').length) : null;
    if (from === null) continue;
    const { kind, bytes: kept } = await checkFile(new Uint8Array(part));
    files.push({ from, kind, bytes: kept });
  }
  return { title: manifest.title, documents, files };
}

const PATHS = new RegExp(
  `^(?:manifest\\.json|documents/(?:${DOCUMENT_NAMES.join('|')})\\.json|files/[0-9a-f]{64})$`,
);

/** Unpacks piece by piece and stops at the first limit, whatever the archive says of its sizes. */
function unzip(bytes: Uint8Array): Map<string, Uint8Array> {
  const parts = new Map<string, Uint8Array>();
  let all = 0;
  const unzipper = new Unzip((file) => {
    if (!PATHS.test(file.name) || parts.has(file.name)) {
      throw refuse('It is no review file: it holds something else.');
    }
    if (parts.size >= UNPACK_LIMITS.parts) throw refuse('It has more parts than a review may.');
    parts.set(file.name, new Uint8Array());
    const pieces: Uint8Array[] = [];
    let size = 0;
    file.ondata = (fault, piece, final) => {
      // fflate hands what is thrown below back to here.
      if ((fault as Error | null) instanceof AppError) throw fault;
      if (fault) throw refuse(`${file.name} cannot be unpacked: the file is damaged.`);
      size += piece.byteLength;
      all += piece.byteLength;
      if (size > UNPACK_LIMITS.partBytes || all > UNPACK_LIMITS.allBytes) {
        throw refuse('Unpacked it is larger than a review may be.');
      }
      pieces.push(piece);
      if (final) parts.set(file.name, new Uint8Array(Buffer.concat(pieces)));
    };
    file.start();
  });
  unzipper.register(UnzipInflate);
  try {
    // In small pieces: what one of them unpacks to is counted before the next is looked at.
    for (let at = 0; at < bytes.byteLength; at += PIECE) {
      unzipper.push(bytes.subarray(at, at + PIECE), at + PIECE >= bytes.byteLength);
    }
  } catch (cause) {
    if (cause instanceof AppError) throw cause;
    throw refuse('It is no review file, or it is damaged.');
  }
  if (parts.size === 0) throw refuse('It is no review file.');
  return parts;
}

const PIECE = 16 * 1024;

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

function readRoots(
  parts: ReadonlyMap<string, Uint8Array>,
  name: (typeof DOCUMENT_NAMES)[number],
): Roots {
  const part = parts.get(documentPath(name));
  if (part === undefined) throw refuse(`The file lacks ${documentPath(name)}.`);
  const read = rootsSchema.safeParse(json(part));
  if (!read.success) throw refuse(`${documentPath(name)} does not fit the shape of a review.`);
  return read.data;
}

function json(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(strFromU8(bytes));
  } catch {
    return undefined;
  }
}
