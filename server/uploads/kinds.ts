import { asRecord, asText } from '../../core/document/decode.ts';
import { isKeypointText, readSceneJson } from '../../core/formats/index.ts';

/** Kinds of files that a review keeps, and the type that each is served with. */
export const MEDIA_TYPES = {
  bvh: 'text/plain; charset=utf-8',
  keypoints: 'application/json',
  scene: 'application/json',
  gltf: 'model/gltf+json',
  glb: 'model/gltf-binary',
  png: 'image/png',
  jpeg: 'image/jpeg',
  webp: 'image/webp',
} as const;

export type FileKind = keyof typeof MEDIA_TYPES;
export type ImageKind = Extract<FileKind, 'png' | 'jpeg' | 'webp'>;

export const isImage = (kind: FileKind): kind is ImageKind =>
  kind === 'png' || kind === 'jpeg' || kind === 'webp';

/** Kinds that are text: packed they are much smaller. */
export const isTextKind = (kind: string | null): boolean =>
  kind === 'bvh' || kind === 'keypoints' || kind === 'scene' || kind === 'gltf';

/** What a file is by its content, whatever it is called; null for everything else. */
export function kindOf(bytes: Uint8Array): FileKind | null {
  if (startsWith(bytes, PNG)) return 'png';
  if (startsWith(bytes, JPEG)) return 'jpeg';
  if (startsWith(bytes, RIFF) && startsWith(bytes.subarray(8), WEBP)) return 'webp';
  if (startsWith(bytes, GLB)) return isGlb(bytes) ? 'glb' : null;
  const text = textOf(bytes);
  if (text === null) return null;
  if (/^\s*HIERARCHY\s+ROOT\b/.test(text)) return 'bvh';
  return jsonKind(text);
}

const ascii = (text: string): readonly number[] => [...text].map((char) => char.charCodeAt(0));

// PNG (W3C, third edition) section 5.2; JPEG (ITU-T T.81) annex B; WebP container (RFC 9649)
// section 2.4; glTF 2.0 section 4.4.
const PNG = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const JPEG = [0xff, 0xd8, 0xff];
const RIFF = ascii('RIFF');
const WEBP = ascii('WEBP');
const GLB = ascii('glTF');

const startsWith = (bytes: Uint8Array, start: readonly number[]): boolean =>
  start.every((value, index) => bytes[index] === value);

/** The head of a binary glTF: version 2, and its own length. */
function isGlb(bytes: Uint8Array): boolean {
  if (bytes.byteLength < 20) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return view.getUint32(4, true) === 2 && view.getUint32(8, true) === bytes.byteLength;
}

function textOf(bytes: Uint8Array): string | null {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return text.includes('\0') ? null : text;
  } catch {
    return null;
  }
}

function jsonKind(text: string): FileKind | null {
  if (!/^\s*[[{]/.test(text)) return null;
  if (isKeypointText(text)) return 'keypoints';
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return null;
  }
  const version = asText(asRecord(asRecord(data)?.asset)?.version);
  if (version !== null) return /^2\.\d+$/.test(version) ? 'gltf' : null;
  return readSceneJson(text).ok ? 'scene' : null;
}
