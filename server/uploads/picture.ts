import sharp, { type Sharp } from 'sharp';
import { AppError } from '../errors.ts';
import { inTurn } from '../in-turn.ts';
import { type Size, statedSize } from './image-size.ts';
import type { ImageKind } from './kinds.ts';

/** The largest picture, in millions of pixels. */
export const MAX_MEGAPIXELS = 40;
const MAX_PIXELS = MAX_MEGAPIXELS * 1_000_000;
// WebP holds no longer side (RFC 9649 section 2.7).
const MAX_SIDE = 16_383;
const MAX_SECONDS = 30;

// Only the three decoders that are asked for: the library knows many more, and each is a way in.
sharp.block({ operation: ['VipsForeignLoad'] });
sharp.unblock({
  operation: ['VipsForeignLoadPng', 'VipsForeignLoadJpeg', 'VipsForeignLoadWebp'],
});
sharp.cache(false);
sharp.concurrency(1);

export interface Picture extends Size {
  readonly bytes: Uint8Array<ArrayBuffer>;
}

// One at a time: a picture of 40 megapixels takes some 160 MB while it is decoded.
const oneAtATime = inTurn();

/**
 * Decodes a picture and encodes it anew, upright, in sRGB and without what cameras and programs write
 * into files (place, time, names, previews). What is no picture beyond its head does not survive it.
 * @throws AppError too-large or unreadable
 */
export function cleanPicture(kind: ImageKind, bytes: Uint8Array): Promise<Picture> {
  const size = statedSize(kind, bytes);
  if (size === null) throw unreadable();
  const { width, height } = size;
  if (width * height > MAX_PIXELS || Math.max(width, height) > MAX_SIDE) {
    throw new AppError(
      'too-large',
      `The picture is ${width} x ${height}; at most ${MAX_MEGAPIXELS} megapixels fit.`,
      'Make it smaller.',
    );
  }
  return oneAtATime(() => encode(kind, bytes));
}

async function encode(kind: ImageKind, bytes: Uint8Array): Promise<Picture> {
  try {
    const picture = sharp(bytes, { limitInputPixels: MAX_PIXELS, failOn: 'error', pages: 1 })
      .autoOrient()
      .toColourspace('srgb')
      .timeout({ seconds: MAX_SECONDS });
    const { data, info } = await inFormat(picture, kind).toBuffer({ resolveWithObject: true });
    return { bytes: new Uint8Array(data), width: info.width, height: info.height };
  } catch (cause) {
    throw unreadable(cause);
  }
}

function inFormat(picture: Sharp, kind: ImageKind): Sharp {
  if (kind === 'png') return picture.png();
  // High enough that a reference shows no blocks when it is drawn over.
  if (kind === 'jpeg') return picture.jpeg({ quality: 90 });
  return picture.webp({ quality: 90 });
}

const unreadable = (cause?: unknown): AppError =>
  new AppError('unreadable', 'The picture cannot be read.', 'Save it again as PNG or JPEG.', {
    cause,
  });
