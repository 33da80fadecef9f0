import { createWriteStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { AppError } from '../errors.ts';
import { UNPACK_LIMITS, type Unpacked, unpackReview } from './unpack-review.ts';

/** Largest review file that is read: that of a review which is as large as it may be fits. */
const MAX_REVIEW_FILE_BYTES = UNPACK_LIMITS.allBytes;

/**
 * Runs `use` with what a review file holds. It lies in a folder of its own meanwhile, because it may be
 * larger than the memory.
 * @throws AppError for one that is too large, or cannot be read
 */
export async function withReviewFile<T>(
  bytes: AsyncIterable<Uint8Array>,
  use: (unpacked: Unpacked) => Promise<T>,
): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), 'counterlean-review-'));
  try {
    const path = join(folder, 'review.zip');
    await pipeline(limited(bytes), createWriteStream(path));
    return await use(await unpackReview(path, folder));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function* limited(bytes: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  let count = 0;
  for await (const piece of bytes) {
    count += piece.byteLength;
    if (count > MAX_REVIEW_FILE_BYTES) {
      const most = (MAX_REVIEW_FILE_BYTES / 1024 ** 3).toFixed(1);
      throw new AppError(
        'too-large',
        `The file is larger than ${most} GB.`,
        'No review may have so much; bring the file of a review.',
      );
    }
    yield piece;
  }
}
