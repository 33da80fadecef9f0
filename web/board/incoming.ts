import { type ClipLink, plainLink } from '../../core/document/index.ts';
import { type MovingContent, movingFormat, readSceneJson } from '../../core/formats/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { wholeGltf } from '../motion/whole-gltf.ts';

/** What was brought in, as far as its content tells. */
export type Incoming =
  | { readonly kind: 'none' }
  | { readonly kind: 'bad'; readonly name: string; readonly message: string }
  | { readonly kind: 'scene'; readonly name: string; readonly scene: Scene }
  | {
      readonly kind: 'clip';
      readonly name: string;
      readonly content: MovingContent;
      /** As a person starts with it; `file` is empty until it is stored. */
      readonly link: ClipLink;
    };

/** The largest file that a review keeps. */
const MAX_BYTES = 20 * 1024 * 1024;
const DEFAULT_STATURE = 1.7;
const DEFAULT_MASS = 68;

/** Names that are never the file itself but lie beside one. */
const BESIDE = /\.(bin|png|jpe?g|webp|ktx2)$/i;

const bad = (name: string, message: string): Incoming => ({ kind: 'bad', name, message });

/**
 * Reads files that came in together: one that is a clip or a scene by its content, and what lies beside
 * a .gltf. Never rejects; what is wrong is said.
 */
export async function readIncoming(files: readonly File[]): Promise<Incoming> {
  const main = files.find(({ name }) => !BESIDE.test(name)) ?? files[0];
  if (main === undefined) return { kind: 'none' };
  const { name } = main;
  const large = files.find(({ size }) => size > MAX_BYTES);
  if (large) return bad(large.name, 'This file is larger than 20 MB.');
  let bytes = await bytesOf(main);
  let text = new TextDecoder().decode(bytes);
  const format = movingFormat({ text });
  if (format === null) return readScene(name, text);
  if (format === 'gltf') {
    const beside = files.filter((file) => file !== main);
    const named = await Promise.all(
      beside.map(async (file) => [file.name, await bytesOf(file)] as const),
    );
    const whole = await wholeGltf(bytes, new Map(named));
    if ('missing' in whole) {
      return bad(
        name,
        `It keeps its numbers in ${whole.missing.join(', ')}: choose or drop these files together with it.`,
      );
    }
    bytes = whole.bytes;
    if (bytes.byteLength > MAX_BYTES)
      return bad(name, 'With the files beside it this is larger than 20 MB.');
    text = new TextDecoder().decode(bytes);
  }
  // A glTF file is in metres by its format: the figure is as tall as it says.
  const stature = format === 'gltf' ? null : DEFAULT_STATURE;
  const link = plainLink({
    ...{ file: '', name, format, stature },
    ...{ mass: DEFAULT_MASS, table: 'deleva-male' },
  });
  return { kind: 'clip', name, content: { bytes, text }, link };
}

const bytesOf = async (file: File): Promise<Uint8Array> => new Uint8Array(await file.arrayBuffer());

function readScene(name: string, text: string): Incoming {
  if (!/^\s*[[{]/.test(text) && !/\.json$/i.test(name)) {
    return bad(
      name,
      'The board takes clips (.bvh, .glb, .gltf), keypoints and scenes (.json), shot lists (.csv) and review files (.zip); this is none of them.',
    );
  }
  const read = readSceneJson(text);
  return read.ok
    ? { kind: 'scene', name, scene: read.scene }
    : bad(name, `This scene file cannot be read: ${read.message}.`);
}
