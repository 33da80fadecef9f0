import type { Transform, Vec3 } from '../geometry/types.ts';
import { bvhRest, bvhTransforms } from './bvh-pose.ts';
import type { BvhClip } from './bvh-types.ts';

/** One joint of a recorded skeleton, parents before children. */
export interface ClipJoint {
  readonly name: string;
  /** Index of the parent in the motion's joints, -1 for the root. */
  readonly parent: number;
  /** Whether the file ever turns it. */
  readonly turns: boolean;
}

/**
 * A recorded skeleton in motion, whatever file it came from: what the clip reader needs of one. Lengths
 * in the file's own unit; turns are those from the zero pose, so that all are nil in it.
 */
export interface ClipMotion {
  readonly joints: readonly ClipJoint[];
  readonly frameCount: number;
  /** Seconds from a frame to the next. */
  readonly frameTime: number;
  /** Places of the joints in the zero pose. */
  readonly rest: readonly Vec3[];
  /** Whether the file's unit is the metre by its format. */
  readonly metres: boolean;
  /** World placement of every joint at a frame (from 0). */
  placedAt(frame: number): readonly Transform[];
}

/** A BVH file as motion; its zero pose is the one with all channels 0. */
export const bvhMotion = (clip: BvhClip): ClipMotion => ({
  joints: clip.joints.map(({ name, parent, channels }) => ({
    name,
    parent,
    turns: channels.some((channel) => channel.endsWith('rotation')),
  })),
  frameCount: clip.frameCount,
  frameTime: clip.frameTime,
  rest: bvhRest(clip),
  metres: false,
  placedAt: (frame) => bvhTransforms(clip, frame),
});
