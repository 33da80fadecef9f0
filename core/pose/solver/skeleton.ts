import { type Body, type JointLimits, SEGMENTS, type SegmentName } from '../../body/types.ts';
import type { Lock } from './types.ts';

/** Segments of a body by number (their place in SEGMENTS), and what can be turned. */
export interface Skeleton {
  readonly body: Body;
  /** Index of the parent, -1 for the pelvis. */
  readonly parents: Int8Array;
  /** Proximal joint in the parent's frame, three numbers a segment. */
  readonly offsets: Float64Array;
  /** Kilograms. */
  readonly masses: Float64Array;
  /** Mass centre in the segment's frame, three numbers a segment. */
  readonly centres: Float64Array;
  /**
   * How many things can change: six of the hips, then the joints. They are numbered; for each: the
   * segment above which its joint is, ...
   */
  readonly freedoms: number;
  readonly segmentOf: Int8Array;
  /** ... what it is (0, 1, 2: the hips' place; 3, 4, 5: their turn; 6, 7, 8: a joint's x, y, z), ... */
  readonly kindOf: Int8Array;
  /** ... and the cost of moving it, per square radian (per square metre for the hips' place). */
  readonly stiffness: Float64Array;
  /** For every segment the freedoms that carry it along, the hips' first. */
  readonly chains: readonly Int32Array[];
  readonly all: Int32Array;
  /** Joints whose swing ends at an ellipse, with the freedoms of their x and z. */
  readonly swings: readonly Swing[];
}

export interface Swing {
  readonly segment: number;
  readonly x: number;
  readonly z: number;
  readonly limits: JointLimits;
}

export const TURN = 3;
export const JOINT = 6;

/**
 * How little each joint likes to turn (x, y, z), so that hips and trunk help in proportion: a hand in
 * front is met by the arm mostly, and by the trunk the more the further it goes. Ours, by looking at
 * drags; only the ratios matter. A knee follows a hip and an ankle, so it costs less than either.
 */
const STIFFNESS: Readonly<Record<string, readonly [x: number, y: number, z: number]>> = {
  abdomen: [12, 16, 16],
  chest: [12, 16, 16],
  head: [12, 12, 16],
  upperArm: [1, 1.2, 1],
  forearm: [0.8, 1.5, 1],
  hand: [2.5, 2.5, 2.5],
  thigh: [2, 4, 3],
  shank: [1, 6, 1],
  foot: [4, 8, 6],
  toes: [2, 2, 2],
};
const HIPS_PLACE = 80;
const HIPS_TURN = 8;

const sortOf = (segment: SegmentName): string => segment.replace(/[LR]$/, '');

const known = new WeakMap<Body, Skeleton>();

/** The skeleton of a body; built once a body. */
export function skeletonOf(body: Body): Skeleton {
  const before = known.get(body);
  if (before !== undefined) return before;
  const segments = SEGMENTS.map((name) => body.segments[name]);
  const parents = Int8Array.from(segments, ({ parent }) =>
    parent === null ? -1 : SEGMENTS.indexOf(parent),
  );
  const freedoms: { segment: number; kind: number; stiffness: number }[] = [];
  for (let kind = 0; kind < JOINT; kind++) {
    freedoms.push({ segment: 0, kind, stiffness: kind < TURN ? HIPS_PLACE : HIPS_TURN });
  }
  for (let s = 1; s < SEGMENTS.length; s++) {
    const { limits } = segments[s]!;
    const stiffness = STIFFNESS[sortOf(SEGMENTS[s]!)]!;
    [limits.x, limits.y, limits.z].forEach(([low, high], k) => {
      if (high > low) freedoms.push({ segment: s, kind: JOINT + k, stiffness: stiffness[k]! });
    });
  }
  const all = Int32Array.from(freedoms.keys());
  const chains = SEGMENTS.map((_, s) => {
    const line = new Set<number>();
    for (let up = s; up >= 0; up = parents[up]!) line.add(up);
    return all.filter((i) => line.has(freedoms[i]!.segment));
  });
  const freedomOf = (segment: number, kind: number): number =>
    freedoms.findIndex((one) => one.segment === segment && one.kind === kind);
  const swings = segments.flatMap(({ limits }, segment): Swing[] => {
    const [x, z] = [freedomOf(segment, JOINT), freedomOf(segment, JOINT + 2)];
    return x < 0 || z < 0 || limits.apart ? [] : [{ segment, x, z, limits }];
  });
  const skeleton: Skeleton = {
    body,
    swings,
    parents,
    offsets: Float64Array.from(segments.flatMap(({ offset }) => [...offset])),
    masses: Float64Array.from(segments, ({ mass }) => mass),
    centres: Float64Array.from(segments.flatMap(({ centre }) => [...centre])),
    freedoms: freedoms.length,
    segmentOf: Int8Array.from(freedoms, ({ segment }) => segment),
    kindOf: Int8Array.from(freedoms, ({ kind }) => kind),
    stiffness: Float64Array.from(freedoms, ({ stiffness }) => stiffness),
    chains,
    all,
  };
  known.set(body, skeleton);
  return skeleton;
}

/** 1 for every freedom that is locked. */
export function lockedFreedoms(
  { segmentOf, kindOf }: Skeleton,
  locks: readonly Lock[],
): Uint8Array {
  const set = new Set(locks);
  return Uint8Array.from(segmentOf, (segment, i) => {
    const part = kindOf[i]! < TURN ? 'hips-place' : kindOf[i]! < JOINT ? 'hips-turn' : null;
    return set.has(SEGMENTS[segment]!) || (part !== null && set.has(part)) ? 1 : 0;
  });
}

export const indexOf = (segment: SegmentName): number => SEGMENTS.indexOf(segment);
