import type { Body } from '../body/types.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { lowestPoint, poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import { floorSurface, type Scene } from '../scene/index.ts';
import { clipBody, scaleFor, statureFor } from './clip-body.ts';
import { correctMapping } from './clip-corrections.ts';
import {
  layToes,
  levelFeet,
  lowerFeet,
  restingFeet,
  STILL_FRAMES,
  standings,
} from './clip-feet.ts';
import { floorAt, floorLine } from './clip-floor.ts';
import {
  type ClipLengths,
  type ClipRig,
  clipPose,
  measureClip,
  rigClip,
  sampleFrames,
} from './clip-frame.ts';
import { type ClipMapping, mapClip } from './clip-mapping.ts';
import type { ClipMotion } from './clip-motion.ts';
import {
  ASSUMED_STATURE,
  type ClipOptions,
  type ClipReport,
  missOf,
  sentencesOf,
} from './clip-report.ts';

/** A recorded clip as a figure that can be weighed at every frame. */
export interface Clip {
  readonly name: string;
  /** Frames per second. */
  readonly rate: number;
  readonly frameCount: number;
  readonly report: ClipReport;
  /** The clip's body, the same in every frame. */
  readonly body: Body;
  /** Places and turns of the figure at a frame (from 0; held inside the clip), standing on y = 0. */
  poseAt(frame: number): Pose;
  /** One figure on a floor at y = 0, all contacts `auto`. Reckoned anew at each call. */
  sceneAt(frame: number): Scene;
  /**
   * Where the file's own world lies in the scene at a frame: a point p of the file is at
   * position + rotation · (scale · p). For what is drawn straight from the file, such as its mesh.
   */
  placementAt(frame: number): ClipPlacement;
}

export interface ClipPlacement {
  /** Metres. */
  readonly position: Vec3;
  readonly rotation: Quat;
  /** Metres per unit of the file. */
  readonly scale: number;
}

export type ClipBuild =
  | { readonly ok: true; readonly clip: Clip }
  | { readonly ok: false; readonly message: string };

/**
 * Makes a figure of a recorded motion. A message instead where the skeleton has no two legs or no
 * usable lengths. Throws RangeError for a mass outside 1-1000 kg or a stature outside 0.4-3.5 m.
 *
 * - Scale: `scale` if given; else, without a stature, 1 for a file in metres whose figure then has a
 *   usable size; else legs and trunk get their share of `stature` (clip-body.ts).
 * - Body: bone lengths follow the clip, so that weighed joints are where the clip's are.
 * - Turns: each segment follows its joint from the clip's zero pose (clip-frame.ts); soles are set
 *   level where the feet rest, and toes near the floor are laid on it (clip-feet.ts).
 * - Floor: found from where the feet rest (clip-floor.ts) and taken off, so that it is y = 0. Figures
 *   stay where they were recorded in plan.
 * @param remarks sentences for the report on how the file was read
 */
export function buildClip(
  motion: ClipMotion,
  options: ClipOptions,
  remarks: readonly string[] = [],
): ClipBuild {
  checkSizes(options);
  const found = mapClip(motion);
  if (found === null && options.joints === undefined) {
    return {
      ok: false,
      message:
        'No two legs were found in the skeleton. Name the joints of each leg, for instance LeftUpLeg, LeftLeg, LeftFoot; nothing was changed.',
    };
  }
  const mapped = correctMapping(motion.joints, found, options.joints ?? {});
  if (!mapped.ok) return mapped;
  const { mapping } = mapped;
  const trouble = sizeTrouble(motion, mapping, options);
  if (trouble !== null) return { ok: false, message: trouble };
  return { ok: true, clip: makeClip(motion, mapping, options, remarks) };
}

/** Statures that a clip's figure may have, metres; what buildBody takes, less a margin for the limbs' fit. */
const STATURES = [0.4, 3.5] as const;

/** Throws RangeError for a mass or stature that no figure is built with. */
export function checkSizes({ stature, mass }: Pick<ClipOptions, 'stature' | 'mass'>): void {
  if (stature !== undefined && !isUsable(stature)) {
    throw new RangeError(
      `Stature must lie between ${STATURES[0]} and ${STATURES[1]} m, got ${stature}`,
    );
  }
  if (!(mass >= 1 && mass <= 1000)) {
    throw new RangeError(`Mass must lie between 1 and 1000 kg, got ${mass}`);
  }
}

const isUsable = (stature: number): boolean => stature >= STATURES[0] && stature <= STATURES[1];

function sizeTrouble(
  motion: ClipMotion,
  mapping: ClipMapping,
  options: ClipOptions,
): string | null {
  if (!isPlaced(motion)) {
    return 'The joints are farther away than numbers reach: check the scale and the path of the skeleton. Nothing was changed.';
  }
  const lengths = measureClip(rigClip(motion, mapping));
  const { thigh, shank, hipWidth } = lengths;
  const bones = [thigh.L, thigh.R, shank.L, shank.R, hipWidth];
  if (!bones.every((bone) => bone > 1e-6 && bone < 1e6)) {
    return 'The legs of the skeleton have no usable length: hip, knee and ankle of each leg need different places. Nothing was changed.';
  }
  if (options.scale === undefined) return null;
  const stature = statureFor(lengths, options.table, options.scale);
  if (isUsable(stature)) return null;
  return `At ${options.scale} m a unit the figure would be ${stature.toPrecision(3)} m tall. Give another scale, or a stature instead. Nothing was changed.`;
}

/** Places up to this many units away still leave room for a millimetre. */
const FARTHEST = 1e10;
const PLACES_LOOKED_AT = 200;

/** Whether the joints are somewhere, in the zero pose and over the clip. */
function isPlaced(motion: ClipMotion): boolean {
  const near = (place: Vec3): boolean => place.every((value) => Math.abs(value) <= FARTHEST);
  if (!motion.rest.every(near)) return false;
  return sampleFrames(motion, PLACES_LOOKED_AT).every((frame) =>
    motion
      .placedAt(frame)
      .every(({ position, rotation }) => near(position) && rotation.every(Number.isFinite)),
  );
}

/** Metres a unit, and the stature that goes with it. */
function sizeOf(
  lengths: ClipLengths,
  { metres }: ClipMotion,
  { scale, stature, table }: ClipOptions,
): { scale: number; stature: number; from: 'scale' | 'metres' | 'stature' } {
  if (scale !== undefined) {
    return { scale, stature: statureFor(lengths, table, scale), from: 'scale' };
  }
  const asFiled = statureFor(lengths, table, 1);
  if (stature === undefined && metres && isUsable(asFiled)) {
    return { scale: 1, stature: asFiled, from: 'metres' };
  }
  const wanted = stature ?? ASSUMED_STATURE;
  return { scale: scaleFor(lengths, table, wanted), stature: wanted, from: 'stature' };
}

function makeClip(
  motion: ClipMotion,
  mapping: ClipMapping,
  options: ClipOptions,
  remarks: readonly string[],
): Clip {
  const plain = rigClip(motion, mapping);
  const size = sizeOf(measureClip(plain), motion, options);
  const scaled: ClipRig = { ...plain, scale: size.scale };
  const body = clipBody(scaled, options.table, size.stature, options.mass);
  // Too few frames to see speed in: single poses, each taken to stand on the lower foot or both.
  const still = motion.frameCount < STILL_FRAMES;
  const resting = still ? lowerFeet(scaled) : restingFeet(scaled);
  const { rig, tilt } = levelFeet(scaled, resting);
  const stood = standings(rig, body, resting);
  const line = still || stood.length < 4 ? null : floorLine(stood, motion.frameTime);
  const last = motion.frameCount - 1;
  const name = options.name ?? 'Clip';

  const inside = (frame: number): number => Math.min(last, Math.max(0, Math.round(frame)));
  const heightAt = (frame: number, pose: Pose): number => {
    if (line) return floorAt(line, frame);
    // No floor over time: both feet's middle in a single pose, else the lowest point of all.
    const heights = stood.filter((at) => still && at.frame === frame).map(({ point }) => point[1]);
    return heights.length > 0
      ? heights.reduce((sum, height) => sum + height, 0) / heights.length
      : lowestPoint(poseFigure(body, pose));
  };
  const poseAt = (frame: number): Pose => {
    const at = inside(frame);
    const pose = clipPose(rig, body, at);
    const [x, y, z] = pose.position;
    return layToes(body, { ...pose, position: [x, y - heightAt(at, pose), z] });
  };
  const floor = line ? { start: floorAt(line, 0), end: floorAt(line, last) } : null;
  const jointMiss = missOf(rig, body);
  const report: ClipReport = {
    mapping: mapping.segments,
    unused: mapping.unused,
    scale: size.scale,
    stature: body.spec.stature,
    floor,
    jointMiss,
    sentences: sentencesOf({
      ...{ motion, mapping, options, body, floor, tilt, jointMiss, remarks },
      scale: size.scale,
      scaleFrom: size.from,
    }),
  };
  return {
    name,
    rate: 1 / motion.frameTime,
    frameCount: motion.frameCount,
    report,
    body,
    poseAt,
    sceneAt: (frame) => ({
      figures: [{ id: 'figure', name, body: body.spec, pose: poseAt(frame), contacts: {} }],
      loads: [],
      surfaces: [floorSurface()],
      grips: [],
    }),
    placementAt: (frame) => {
      const at = inside(frame);
      const height = heightAt(at, clipPose(rig, body, at));
      return { position: [0, -height, 0], rotation: rig.world, scale: rig.scale };
    },
  };
}
