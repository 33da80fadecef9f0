import { type FileHandle, open } from 'node:fs/promises';
import { promisify } from 'node:util';
import { inflateRaw } from 'node:zlib';

/** What is wrong with an archive, for whoever brought it. */
export class ZipFault extends Error {}

/** One entry of an archive, as its central directory says. */
export interface ZipEntry {
  readonly name: string;
  /** Bytes in the archive, and unpacked. */
  readonly packed: number;
  readonly size: number;
  readonly method: number;
  /** Where its local header stands. */
  readonly at: number;
}

// PKWARE APPNOTE 6.3.10: 4.3.16 end of central directory, 4.3.12 its headers, 4.3.7 local headers, 4.4.5 methods.
const END = { signature: 0x06054b50, bytes: 22 };
const CENTRAL = { signature: 0x02014b50, bytes: 46 };
const LOCAL = { signature: 0x04034b50, bytes: 30 };
const STORED = 0;
const DEFLATED = 8;
const LONGEST_COMMENT = 0xffff;
/** Of the central directory: 65,535 entries of names as ours. */
const MAX_DIRECTORY_BYTES = 16 * 1024 * 1024;

const inflate = promisify(inflateRaw);

/**
 * A zip archive on disk, read by its central directory: what an entry holds is never looked through for
 * the beginning of the next one, and only one entry is in memory at a time.
 */
export class ZipFile {
  readonly entries: readonly ZipEntry[];
  readonly #file: FileHandle;

  private constructor(file: FileHandle, entries: readonly ZipEntry[]) {
    this.#file = file;
    this.entries = entries;
  }

  /** Runs `use` with an archive that is open meanwhile. Throws ZipFault for what is none. */
  static async with<T>(path: string, use: (zip: ZipFile) => Promise<T>): Promise<T> {
    const file = await open(path);
    try {
      return await use(new ZipFile(file, await readDirectory(file)));
    } finally {
      await file.close();
    }
  }

  /** The bytes of an entry. Throws ZipFault where it is damaged or larger than it says. */
  async read({ name, at, packed, size, method }: ZipEntry): Promise<Uint8Array<ArrayBuffer>> {
    const head = await readAt(this.#file, at, LOCAL.bytes);
    if (head.readUInt32LE(0) !== LOCAL.signature)
      throw new ZipFault(`${name} is not where it should be`);
    const start = at + LOCAL.bytes + head.readUInt16LE(26) + head.readUInt16LE(28);
    const raw = await readAt(this.#file, start, packed);
    if (method === STORED) return new Uint8Array(raw);
    if (method !== DEFLATED) throw new ZipFault(`${name} is packed in a way that is not read here`);
    try {
      return new Uint8Array(await inflate(raw, { maxOutputLength: Math.max(1, size) }));
    } catch (cause) {
      throw new ZipFault(`${name} cannot be unpacked`, { cause });
    }
  }
}

async function readDirectory(file: FileHandle): Promise<ZipEntry[]> {
  const { size } = await file.stat();
  const tailBytes = Math.min(size, END.bytes + LONGEST_COMMENT);
  const tail = await readAt(file, size - tailBytes, tailBytes);
  let end = tail.length - END.bytes;
  while (end >= 0 && tail.readUInt32LE(end) !== END.signature) end--;
  if (end < 0) throw new ZipFault('it has no directory at its end');
  const count = tail.readUInt16LE(end + 10);
  const bytes = tail.readUInt32LE(end + 12);
  if (bytes > MAX_DIRECTORY_BYTES) throw new ZipFault('its directory is too long');
  const directory = await readAt(file, tail.readUInt32LE(end + 16), bytes);
  const entries: ZipEntry[] = [];
  for (let at = 0; entries.length < count; ) {
    if (at + CENTRAL.bytes > bytes || directory.readUInt32LE(at) !== CENTRAL.signature) {
      throw new ZipFault('its directory is damaged');
    }
    const nameBytes = directory.readUInt16LE(at + 28);
    const next = at + CENTRAL.bytes + nameBytes;
    entries.push({
      name: directory.toString('utf8', at + CENTRAL.bytes, next),
      method: directory.readUInt16LE(at + 10),
      packed: directory.readUInt32LE(at + 20),
      size: directory.readUInt32LE(at + 24),
      at: directory.readUInt32LE(at + 42),
    });
    at = next + directory.readUInt16LE(at + 30) + directory.readUInt16LE(at + 32);
  }
  return entries;
}

async function readAt(file: FileHandle, at: number, length: number): Promise<Buffer> {
  const { size } = await file.stat();
  // Before there is room made for it: a directory may say any length.
  if (at < 0 || at + length > size) throw new ZipFault('it breaks off');
  const { buffer, bytesRead } = await file.read(Buffer.alloc(length), 0, length, at);
  if (bytesRead !== length) throw new ZipFault('it breaks off');
  return buffer;
}
