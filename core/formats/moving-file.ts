import type { FigureReading, GroupReading } from '../balance/types.ts';
import type { Scene } from '../scene/types.ts';
import { readBvh } from './bvh.ts';
import { buildClip, type Clip, checkSizes } from './clip-build.ts';
import { bvhMotion, type ClipMotion } from './clip-motion.ts';
import type { ClipOptions, ClipReport } from './clip-report.ts';
import { type GltfMotionRead, type GltfPlaying, readGltfMotion } from './gltf.ts';
import { readKeypoints } from './keypoints.ts';
import type { LineUp } from './keypoints-camera.ts';
import type { DoubtfulPoint, PersonSettings } from './keypoints-fit.ts';
import { isKeypointText } from './keypoints-read.ts';
import type { KeypointReport } from './keypoints-report.ts';
import type { PictureVerdict } from './keypoints-verdict.ts';

/** Formats of files that hold frames. */
export const MOVING_FORMATS = ['bvh', 'gltf', 'keypoints'] as const;
export type MovingFormat = (typeof MOVING_FORMATS)[number];

/** How a file with frames is read: what a person gave or corrected; what is left out is found or assumed. */
export interface MovingSettings extends ClipOptions {
  /** Frames a second, above 0 and up to 1000: played so (BVH, keypoints), or sampled so (glTF). */
  readonly fps?: number;
  /** Animation of a glTF file, by name or number from 0. */
  readonly animation?: string;
  /** Keypoints: how the picture lies. `scale` is metres a pixel there. */
  readonly lineUp?: Omit<LineUp, 'scale'>;
  /** Keypoints: by figure, `person-1` is the first. */
  readonly people?: Readonly<Record<string, PersonSettings>>;
}

/** A file's bytes, and the same as text (UTF-8); core has no decoder of its own. */
export interface MovingContent {
  readonly bytes: Uint8Array;
  readonly text: string;
}

/** A file with frames as scenes, whatever format it came in. */
export interface MovingClip {
  readonly format: MovingFormat;
  readonly name: string;
  /** Frames a second. */
  readonly rate: number;
  readonly frameCount: number;
  /** How it was read, what was guessed. */
  readonly sentences: readonly string[];
  /** Of a skeleton: what was mapped, scale, floor. Null for keypoints. */
  readonly report: ClipReport | null;
  /** Of keypoints; null for a skeleton. */
  readonly picture: KeypointReport | null;
  /** Names of all joints of the skeleton, for corrections; empty for keypoints. */
  readonly joints: readonly string[];
  /** Names of the file's animations, or their numbers. */
  readonly animations: readonly string[];
  /** The scene at a frame, from 0, held inside the clip. */
  sceneAt(frame: number): Scene;
  /** Points that a picture shows badly or not at all; none for a skeleton. */
  doubtsAt(frame: number): readonly DoubtfulPoint[];
  /** What one picture can say of a reading; null where a reading says what it says. */
  readonly judge: ((reading: GroupReading | FigureReading) => PictureVerdict) | null;
  /** Where the file's own world lies in the scene; null where there is none. */
  readonly placementAt: Clip['placementAt'] | null;
  /** The glTF animation that moves it; null for other files and where nothing does. */
  readonly playing: GltfPlaying | null;
}

export type MovingRead =
  | { readonly ok: true; readonly clip: MovingClip }
  | { readonly ok: false; readonly message: string };

/** The format of a file with frames by its content, whatever it is called; null for any other file. */
export function movingFormat({ text }: Pick<MovingContent, 'text'>): MovingFormat | null {
  if (text.startsWith('glTF')) return 'gltf';
  if (/^\s*HIERARCHY\b/.test(text)) return 'bvh';
  if (!/^\s*[[{]/.test(text)) return null;
  if (isKeypointText(text)) return 'keypoints';
  return isGltfText(text) ? 'gltf' : null;
}

function isGltfText(text: string): boolean {
  try {
    const data = JSON.parse(text) as { asset?: { version?: unknown } } | null;
    return typeof data?.asset?.version === 'string';
  } catch {
    return false;
  }
}

/**
 * Reads a file with frames by its content: BVH, glTF 2.0 (.glb; .gltf with its numbers inside) or COCO
 * keypoints. Page, worker and server read by this one function. Never rejects for a bad file or for
 * sizes out of range: the message names the place or the number.
 */
export async function readMoving(
  content: MovingContent,
  settings: MovingSettings,
): Promise<MovingRead> {
  try {
    checkSizes(settings);
    checkRate(settings.fps);
    switch (movingFormat(content)) {
      case 'bvh':
        return readRecorded(content.text, settings);
      case 'gltf':
        return await readSkeleton(content.bytes, settings);
      case 'keypoints':
        return readPictures(content.text, settings);
      case null:
        return { ok: false, message: 'This is no BVH, glTF 2.0 or keypoints file.' };
    }
  } catch (error) {
    if (error instanceof RangeError) return { ok: false, message: `${error.message}.` };
    throw error;
  }
}

function checkRate(fps: number | undefined): void {
  if (fps === undefined || (fps > 0 && fps <= 1000)) return;
  throw new RangeError(`Frames a second must lie above 0 and up to 1000, got ${fps}`);
}

// A person tries sizes and joints one after the other on the same file: it is taken apart once.
let lastBvh: { text: string; read: ReturnType<typeof readBvh> } | null = null;
let lastGltf: { bytes: Uint8Array; key: string; read: GltfMotionRead } | null = null;

function readRecorded(text: string, settings: MovingSettings): MovingRead {
  if (lastBvh?.text !== text) lastBvh = { text, read: readBvh(text) };
  const { read } = lastBvh;
  if (!read.ok) return read;
  const { fps } = settings;
  const motion = bvhMotion(read.clip);
  if (fps === undefined) return built('bvh', motion, settings, []);
  const said = `The file says ${(1 / motion.frameTime).toFixed(2)} frames a second; it is played at ${fps}, as you set it.`;
  return built('bvh', { ...motion, frameTime: 1 / fps }, settings, [said]);
}

async function readSkeleton(bytes: Uint8Array, settings: MovingSettings): Promise<MovingRead> {
  const { fps, animation } = settings;
  const key = JSON.stringify([fps, animation]);
  if (lastGltf?.bytes !== bytes || lastGltf.key !== key) {
    const wanted = {
      ...(fps === undefined ? {} : { fps }),
      ...(animation === undefined ? {} : { animation }),
    };
    lastGltf = { bytes, key, read: await readGltfMotion(bytes, wanted) };
  }
  const { read } = lastGltf;
  if (!read.ok) return read;
  const { motion, remarks, animations, playing } = read;
  return built('gltf', motion, settings, remarks, animations, playing);
}

function built(
  format: MovingFormat,
  motion: ClipMotion,
  settings: MovingSettings,
  remarks: readonly string[],
  animations: readonly string[] = [],
  playing: GltfPlaying | null = null,
): MovingRead {
  const made = buildClip(motion, settings, remarks);
  if (!made.ok) return made;
  const { clip } = made;
  return {
    ok: true,
    clip: {
      format,
      ...{ name: clip.name, rate: clip.rate, frameCount: clip.frameCount },
      ...{ sentences: clip.report.sentences, report: clip.report, picture: null },
      ...{ joints: motion.joints.map(({ name }) => name), animations, playing },
      ...{ sceneAt: clip.sceneAt, placementAt: clip.placementAt, judge: null },
      doubtsAt: () => [],
    },
  };
}

function readPictures(text: string, settings: MovingSettings): MovingRead {
  const { fps, scale, lineUp = {}, stature, mass, table, name, people } = settings;
  const read = readKeypoints(text, {
    ...{ mass, table },
    ...(stature === undefined ? {} : { stature }),
    ...(name === undefined ? {} : { name }),
    ...(fps === undefined ? {} : { rate: fps }),
    ...(people === undefined ? {} : { people }),
    lineUp: scale === undefined ? lineUp : { ...lineUp, scale },
  });
  if (!read.ok) return read;
  const { clip } = read;
  return {
    ok: true,
    clip: {
      format: 'keypoints',
      ...{ name: clip.name, rate: clip.rate, frameCount: clip.frameCount },
      ...{ sentences: clip.report.sentences, report: null, picture: clip.report },
      ...{ joints: [], animations: [], placementAt: null, playing: null },
      ...{ sceneAt: clip.sceneAt, doubtsAt: clip.doubtsAt, judge: clip.judge },
    },
  };
}
