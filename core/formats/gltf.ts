import { buildClip, type Clip, checkSizes } from './clip-build.ts';
import { mapClip } from './clip-mapping.ts';
import type { ClipMotion } from './clip-motion.ts';
import type { ClipOptions } from './clip-report.ts';
import { isMoving } from './gltf-check.ts';
import { type GltfFile, readGltfFile, sideFileNames } from './gltf-file.ts';
import { type GltfMotion, gltfMotion } from './gltf-motion.ts';
import { GLTF_LIMITS, GltfFault } from './gltf-schema.ts';
import { parentsOf, type Skeleton, skeletonsIn } from './gltf-skeleton.ts';
import { ASSUMED_RATE, readTracks, type Track } from './gltf-tracks.ts';

export interface GltfSettings {
  /** Frames a second, above 0 and up to 1000; those that the keys stand on when left out. */
  readonly fps?: number;
  /** Name of the animation, or its number from 0; the first that moves the figure when left out. */
  readonly animation?: string;
  /** Side files of a .gltf by the name that the file uses for them. */
  readonly files?: ReadonlyMap<string, Uint8Array>;
}

/** The animation that moves a figure, for whoever plays the file itself beside it. */
export interface GltfPlaying {
  /** Number of the animation. */
  readonly animation: number;
  /** Its time at the first frame, seconds. */
  readonly start: number;
}

export type GltfMotionRead =
  | {
      readonly ok: true;
      readonly motion: ClipMotion;
      /** How the file was read, as sentences. */
      readonly remarks: readonly string[];
      /** Its animations by name, or by number where one has none. */
      readonly animations: readonly string[];
      /** Where the first frame lies in the file's own animation; null where nothing moves it. */
      readonly playing: GltfPlaying | null;
    }
  | { readonly ok: false; readonly message: string };

export type GltfRead =
  | { readonly ok: true; readonly clip: Clip }
  | { readonly ok: false; readonly message: string };

/**
 * Reads a glTF 2.0 file (.glb, or .gltf with data URIs or side files) as a figure that can be weighed
 * at every frame, as readClip does a BVH: same clip, same report. Metres, Y up. Never rejects for a bad
 * file: the message begins with the place in it ("animations[0].samplers[2].output: ..."). Rejects with
 * RangeError for a mass outside 1-1000 kg, a stature outside 0.4-3.5 m or frames a second out of range.
 *
 * - Skeleton: the joints of a skin, or the nodes of a tree without one; of several the first that has
 *   two legs. Zero pose: as the skin was bound, else as the nodes stand.
 * - Motion: one animation, all interpolations, sampled at the rate that its keys show, or 24; a file
 *   without animation is one frame.
 */
export async function readGltf(
  bytes: Uint8Array,
  options: ClipOptions & GltfSettings,
): Promise<GltfRead> {
  checkSizes(options);
  const read = await readGltfMotion(bytes, options);
  return read.ok ? buildClip(read.motion, options, read.remarks) : read;
}

/**
 * The skeleton of a glTF file in motion, before a figure is made of it (buildClip): a page reads once
 * and builds again for every size that a person tries. Of several skeletons the first that has two
 * legs, else the largest. Rejects like readGltf.
 */
export async function readGltfMotion(
  bytes: Uint8Array,
  settings: GltfSettings = {},
): Promise<GltfMotionRead> {
  const { fps, files = new Map<string, Uint8Array>() } = settings;
  if (fps !== undefined && !(fps > 0 && fps <= 1000)) {
    throw new RangeError(`Frames a second must lie above 0 and up to 1000, got ${fps}`);
  }
  try {
    const file = await readGltfFile(bytes, files);
    const wanted = wantedAnimation(file, settings.animation);
    return choose(file, wanted, fps);
  } catch (error) {
    if (error instanceof GltfFault) return { ok: false, message: error.message };
    throw error;
  }
}

/**
 * Names of the files beside a .gltf that hold its numbers, as `files` takes them; empty for a .glb that
 * has all inside, and for what is no glTF file at all (readGltf then says why).
 */
export async function gltfSideFiles(bytes: Uint8Array): Promise<readonly string[]> {
  try {
    return await sideFileNames(bytes);
  } catch (error) {
    if (error instanceof GltfFault) return [];
    throw error;
  }
}

/** Number of the animation that was asked for; null where none was. */
function wantedAnimation({ json }: GltfFile, asked: string | undefined): number | null {
  if (asked === undefined) return null;
  const named = json.animations.findIndex(({ name }) => name === asked);
  if (named >= 0) return named;
  const number = /^\d+$/.test(asked) ? Number(asked) : -1;
  if (number >= 0 && number < json.animations.length) return number;
  const there = json.animations.map(({ name }, i) => name || String(i)).slice(0, 12);
  const list = there.length === 0 ? 'there is none' : `there is ${there.join(', ')}`;
  throw new GltfFault('animations', `there is no animation "${asked.slice(0, 60)}"; ${list}`);
}

/** Hip, knee and ankle of two legs. */
const LEAST_JOINTS = 6;
/** Figures that are looked at in one file. */
const MOST_SKELETONS = 64;

interface Found {
  readonly skeleton: Skeleton;
  readonly read: GltfMotion;
  readonly animation: number | null;
}

function choose(file: GltfFile, wanted: number | null, fps: number | undefined): GltfMotionRead {
  const skeletons = skeletonsIn(file.json);
  const known = new Map<number, readonly Track[]>();
  const tracksIn = (animation: number | null): readonly Track[] => {
    if (animation === null) return [];
    const tracks = known.get(animation) ?? readTracks(file, animation);
    known.set(animation, tracks);
    return tracks;
  };
  const laidOn = (skeleton: Skeleton): Found => {
    const animation = wanted ?? animationFor(file, skeleton);
    const tracks = tracksOf(file, skeleton, tracksIn(animation));
    return { skeleton, animation, read: gltfMotion(file, skeleton, tracks, fps) };
  };
  const usable = skeletons.filter(({ nodes }) => nodes.length <= GLTF_LIMITS.joints);
  const [largest] = usable;
  if (largest === undefined) {
    throw new GltfFault(
      'nodes',
      skeletons.length === 0
        ? 'there is no node, so there is no skeleton'
        : `a skeleton of more than ${GLTF_LIMITS.joints} joints cannot be read`,
    );
  }
  const found: Found[] = [];
  for (const skeleton of usable.slice(0, MOST_SKELETONS)) {
    if (skeleton.nodes.length < LEAST_JOINTS) continue;
    // Whole trees are for files whose skins show no figure.
    if (!skeleton.skinned && found.some((one) => one.skeleton.skinned)) break;
    const one = laidOn(skeleton);
    if (mapClip(one.read.motion) !== null) found.push(one);
  }
  // Without legs by name or place the largest may still become a figure by hand.
  const [first = laidOn(largest), ...others] = found;
  const animations = file.json.animations.map(({ name }, i) => name || String(i));
  const remarks = remarksOf(file, first, others.length);
  const { animation, read } = first;
  const playing =
    animation === null || read.rate === null ? null : { animation, start: read.start };
  return { ok: true, motion: read.motion, remarks, animations, playing };
}

/** The first animation that moves a node of the skeleton; null without one. */
function animationFor({ json }: GltfFile, { nodes }: Skeleton): number | null {
  const own = new Set(nodes);
  const found = json.animations.findIndex(({ channels }) =>
    channels.some(
      ({ target: { node, path } }) => node !== undefined && own.has(node) && isMoving(path),
    ),
  );
  return found < 0 ? null : found;
}

/** Of tracks those that move the skeleton or what it hangs on. */
function tracksOf(
  { json }: GltfFile,
  { nodes }: Skeleton,
  tracks: readonly Track[],
): readonly Track[] {
  const own = new Set(nodes);
  const parents = parentsOf(json);
  for (let i = nodes[0] ?? -1; i >= 0; i = parents[i] as number) own.add(i);
  return tracks.filter(({ node }) => own.has(node));
}

function remarksOf(
  { json }: GltfFile,
  { skeleton, read, animation }: Found,
  others: number,
): string[] {
  const remarks: string[] = [];
  const { animations } = json;
  const named = (i: number): string => animations[i]?.name || `number ${i}`;
  if (animation === null) {
    const why =
      animations.length === 0
        ? 'The file holds no animation'
        : 'No animation of the file moves the figure';
    remarks.push(`${why}: it is one pose.`);
  } else if (read.rate === null) {
    remarks.push(`Animation ${named(animation)} does not move the figure: it is one pose.`);
  } else if (animations.length > 1) {
    remarks.push(`Animation ${named(animation)} is read; the file holds ${animations.length}.`);
  }
  if (read.rate?.from === 'assumed') {
    remarks.push(`The keys stand on no steady frames: they are read at ${ASSUMED_RATE} a second.`);
  }
  if (read.rest === 'broken') {
    remarks.push(
      'The pose in which the skin was bound cannot be read: the nodes as they stand take its place.',
    );
  }
  if (others > 0) {
    const figures = others === 1 ? 'figure stands' : 'figures stand';
    const first = skeleton.skinned ? 'the largest' : 'the first';
    remarks.push(`${others} more ${figures} in the file; ${first} is read.`);
  }
  return remarks;
}
