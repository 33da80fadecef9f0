import type { Vec3 } from '../geometry/types.ts';

/** One joint of a BVH file, parents before children. Lengths in the file's own unit. */
export interface BvhJoint {
  readonly name: string;
  /** Index of the parent in the clip's joints, -1 for the root. */
  readonly parent: number;
  readonly offset: Vec3;
  /** Its channels in the file's order, e.g. `Zrotation`. */
  readonly channels: readonly BvhChannel[];
  /** Index of its first channel in a frame's values. */
  readonly firstChannel: number;
  /** Offset of the End Site beneath it, null where there is none. */
  readonly endSite: Vec3 | null;
}

export const BVH_CHANNELS = [
  'Xposition',
  'Yposition',
  'Zposition',
  'Xrotation',
  'Yrotation',
  'Zrotation',
] as const;
export type BvhChannel = (typeof BVH_CHANNELS)[number];

/** A BVH file as it stands: the skeleton in its own names and unit, and all channel values. */
export interface BvhClip {
  readonly joints: readonly BvhJoint[];
  readonly frameCount: number;
  /** Seconds from a frame to the next. */
  readonly frameTime: number;
  readonly channelCount: number;
  /** frameCount rows of channelCount values: file units and degrees. */
  readonly values: Float64Array;
}

/** What one file may hold; more is refused by name of the limit, so that no input can hang the reader. */
export const BVH_LIMITS = {
  characters: 200_000_000,
  joints: 512,
  frames: 200_000,
  values: 24_000_000,
} as const;
