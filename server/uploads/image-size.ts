import type { ImageKind } from './kinds.ts';

export interface Size {
  readonly width: number;
  readonly height: number;
}

/**
 * The size that a picture's head states, read before any decoder sees it: a small file can state a
 * size that would fill the memory. Null where there is no sound head.
 */
export function statedSize(kind: ImageKind, bytes: Uint8Array): Size | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    const size = READERS[kind](view);
    return size !== null && size.width > 0 && size.height > 0 ? size : null;
  } catch (cause) {
    // The file ends inside its head.
    if (cause instanceof RangeError) return null;
    throw cause;
  }
}

const READERS: Readonly<Record<ImageKind, (view: DataView) => Size | null>> = {
  png: pngSize,
  jpeg: jpegSize,
  webp: webpSize,
};

/** PNG (W3C, third edition) section 11.2.1: IHDR comes first. */
function pngSize(view: DataView): Size | null {
  if (view.getUint32(12) !== 0x49484452) return null;
  return { width: view.getUint32(16), height: view.getUint32(20) };
}

/** JPEG (ITU-T T.81) sections B.1.1.4 and B.2.2: marker segments up to the start of a frame. */
function jpegSize(view: DataView): Size | null {
  let at = 2;
  while (view.getUint8(at) === 0xff) {
    const marker = view.getUint8(at + 1);
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) return { width: view.getUint16(at + 7), height: view.getUint16(at + 5) };
    const isBare = marker === 0x01 || (marker >= 0xd0 && marker <= 0xd9);
    if (isBare || marker === 0xda) return null;
    at += 2 + view.getUint16(at + 2);
  }
  return null;
}

/** WebP container (RFC 9649) sections 2.5 to 2.7. */
function webpSize(view: DataView): Size | null {
  const chunk = view.getUint32(12);
  if (chunk === 0x56503858) {
    return { width: 1 + uint24(view, 24), height: 1 + uint24(view, 27) };
  }
  if (chunk === 0x56503820) {
    // A key frame's start code, then 14 bits each (RFC 6386 section 9.1).
    if (uint24(view, 23) !== 0x2a019d) return null;
    return { width: view.getUint16(26, true) & 0x3fff, height: view.getUint16(28, true) & 0x3fff };
  }
  if (chunk === 0x5650384c) {
    if (view.getUint8(20) !== 0x2f) return null;
    const bits = view.getUint32(21, true);
    return { width: 1 + (bits & 0x3fff), height: 1 + ((bits >>> 14) & 0x3fff) };
  }
  return null;
}

const uint24 = (view: DataView, at: number): number =>
  view.getUint8(at) | (view.getUint8(at + 1) << 8) | (view.getUint8(at + 2) << 16);
