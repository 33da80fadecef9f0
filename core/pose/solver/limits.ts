import { type JointLimits, SEGMENTS } from '../../body/types.ts';
import { slerp } from '../../geometry/quat.ts';
import type { Quat } from '../../geometry/types.ts';
import { fromSwingTwist, swingTwist } from '../angles.ts';
import { swingShare } from '../swing-limits.ts';
import type { Pose } from '../types.ts';
import { JOINT, type Skeleton } from './skeleton.ts';

/**
 * A pose as numbers that may run freely between bounds: the hips' place and turn, and of every joint
 * the swing (x, z) and twist (y) of core/pose/angles.ts, in which the ranges are plain intervals.
 */
export interface Coordinates {
  /** World place of the hips, metres. */
  readonly place: Float64Array;
  /** World turn of the hips, [x, y, z, w]. */
  readonly turn: Float64Array;
  /** x, y, z of every segment's joint, radians; the pelvis' three are not used. */
  readonly angles: Float64Array;
}

export const copyOf = ({ place, turn, angles }: Coordinates): Coordinates => ({
  place: place.slice(),
  turn: turn.slice(),
  angles: angles.slice(),
});

/** A part of the way from one pose to another, joint by joint. */
export function partOfWay(from: Coordinates, to: Coordinates, share: number): Coordinates {
  const mixed = (a: Float64Array, b: Float64Array): Float64Array =>
    a.map((value, i) => value + (b[i]! - value) * share);
  const quat = (q: Float64Array): Quat => [q[0]!, q[1]!, q[2]!, q[3]!];
  return {
    place: mixed(from.place, to.place),
    turn: Float64Array.from(slerp(quat(from.turn), quat(to.turn), share)),
    angles: mixed(from.angles, to.angles),
  };
}

/** Reads a pose. Swings are read in the way that lies in (or nearest to) the joint's range. */
export function readPose({ body }: Skeleton, pose: Pose): Coordinates {
  const angles = new Float64Array(SEGMENTS.length * 3);
  SEGMENTS.forEach((name, s) => {
    const turn = name === 'pelvis' ? undefined : pose.joints[name];
    if (turn === undefined) return;
    const { x, y, z } = inRange(swingTwist(turn), body.segments[name].limits);
    angles[s * 3] = x;
    angles[s * 3 + 1] = y;
    angles[s * 3 + 2] = z;
  });
  return {
    place: Float64Array.from(pose.position),
    turn: Float64Array.from(pose.rotation),
    angles,
  };
}

type Parts = { readonly x: number; readonly y: number; readonly z: number };

/** A swing by v is one by the rest of the circle the other way round: an arm just past straight up. */
function inRange(parts: Parts, limits: JointLimits): Parts {
  const size = Math.hypot(parts.x, parts.z);
  if (size < Math.PI / 2) return parts;
  const k = (size - 2 * Math.PI) / size;
  const other = { x: parts.x * k, y: parts.y, z: parts.z * k };
  return outOf(other, limits) < outOf(parts, limits) ? other : parts;
}

const outOf = ({ x, z }: Parts, limits: JointLimits): number =>
  Math.max(0, limits.x[0] - x, x - limits.x[1]) + Math.max(0, limits.z[0] - z, z - limits.z[1]);

const SAME = 1e-11;

/** The pose with these coordinates; joints that are as in `before` keep their entry to the last digit. */
export function writePose(at: Coordinates, start: Coordinates, before: Pose): Pose {
  const joints: Partial<Record<(typeof SEGMENTS)[number], Quat>> = { ...before.joints };
  for (let s = 1; s < SEGMENTS.length; s++) {
    const [x, y, z] = [0, 1, 2].map((k) => at.angles[s * 3 + k]!) as [number, number, number];
    const moved = [x, y, z].some((value, k) => Math.abs(value - start.angles[s * 3 + k]!) > SAME);
    if (!moved) continue;
    const turn = fromSwingTwist({ x, y, z });
    // At rest a joint has no entry, or the one that it had.
    const rest = turn[3] > 1 - 1e-16 && before.joints[SEGMENTS[s] as 'abdomen'] === undefined;
    if (!rest) joints[SEGMENTS[s]!] = turn;
  }
  const [px = 0, py = 0, pz = 0] = at.place;
  const [qx = 0, qy = 0, qz = 0, qw = 1] = at.turn;
  const still = at.place.every((value, k) => Math.abs(value - start.place[k]!) <= SAME);
  const unturned = at.turn.every((value, k) => Math.abs(value - start.turn[k]!) <= SAME);
  return {
    position: still ? before.position : [px, py, pz],
    rotation: unturned ? before.rotation : [qx, qy, qz, qw],
    joints,
  };
}

/** Between what every freedom may be, radians. The hips have no bounds. */
export interface Bounds {
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** By segment: how far out its swing may be (swing-limits.ts): 1, or what it began with. */
  readonly share: Float64Array;
  /** By segment: how large its swing may be, radians: half a turn, or what it began with. */
  readonly most: Float64Array;
}

/** The joints' ranges; a joint that starts outside may stay there, but go no further out. */
export function boundsOf(
  { body, freedoms, segmentOf, kindOf, swings }: Skeleton,
  start: Coordinates,
): Bounds {
  const low = new Float64Array(freedoms).fill(Number.NEGATIVE_INFINITY);
  const high = new Float64Array(freedoms).fill(Number.POSITIVE_INFINITY);
  for (let i = JOINT; i < freedoms; i++) {
    const axis = kindOf[i]! - JOINT;
    const range = body.segments[SEGMENTS[segmentOf[i]!]!].limits[AXES[axis]!];
    const now = start.angles[segmentOf[i]! * 3 + axis]!;
    low[i] = Math.min(range[0], now);
    high[i] = Math.max(range[1], now);
  }
  const share = new Float64Array(SEGMENTS.length).fill(1);
  const most = new Float64Array(SEGMENTS.length).fill(Math.PI);
  for (const { segment: s, limits } of swings) {
    const [x, z] = [start.angles[s * 3]!, start.angles[s * 3 + 2]!];
    share[s] = Math.max(1, swingShare(x, z, limits));
    most[s] = Math.max(Math.PI, Math.hypot(x, z));
  }
  return { low, high, share, most };
}

const AXES = ['x', 'y', 'z'] as const;

/** Draws swings back that are outside the ellipse of their joint (or out of its ranges). Changes `at`. */
export function holdSwings({ swings }: Skeleton, at: Coordinates, bounds: Bounds): void {
  const { low, high, share, most } = bounds;
  for (const { segment: s, limits, x: i, z: j } of swings) {
    let x = Math.min(high[i]!, Math.max(low[i]!, at.angles[s * 3]!));
    let z = Math.min(high[j]!, Math.max(low[j]!, at.angles[s * 3 + 2]!));
    const out = swingShare(x, z, limits) / share[s]!;
    if (out > 1) {
      x /= out;
      z /= out;
    }
    // Beyond half a turn a swing would be read as another one.
    const size = Math.hypot(x, z);
    const back = size > most[s]! ? most[s]! / size : 1;
    at.angles[s * 3] = x * back;
    at.angles[s * 3 + 2] = z * back;
  }
}
