import { AppError } from '../errors.ts';
import type { Size } from './image-size.ts';
import { type FileKind, isImage, kindOf } from './kinds.ts';
import { cleanPicture } from './picture.ts';

/** A file as it may be kept. */
export interface Checked {
  readonly kind: FileKind;
  /** As it came; a picture as it was encoded anew. */
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** Of a picture, pixels. */
  readonly size: Size | null;
}

/**
 * Looks into a file that somebody wants to keep.
 * @throws AppError for one that is of no kind that a review keeps, or cannot be read
 */
export async function checkFile(bytes: Uint8Array<ArrayBuffer>): Promise<Checked> {
  const kind = kindOf(bytes);
  if (kind === null) {
    throw new AppError(
      'unreadable',
      'This is no file that a review keeps.',
      'Put in a BVH clip, a glTF 2.0 file, COCO keypoints, a scene of ours, or a PNG, JPEG or WebP picture.',
    );
  }
  if (!isImage(kind)) return { kind, bytes, size: null };
  const { width, height, bytes: clean } = await cleanPicture(kind, bytes);
  return { kind, bytes: clean, size: { width, height } };
}
