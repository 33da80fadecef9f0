import type { SegmentName } from '../body/types.ts';
import type { Quat } from '../geometry/types.ts';
import type { Pose } from './types.ts';

/** The pose with one joint turned to `turn` (against its parent); `pelvis` turns the whole figure about its hips. */
export function setJoint(pose: Pose, segment: SegmentName, turn: Quat): Pose {
  return segment === 'pelvis'
    ? { ...pose, rotation: turn }
    : { ...pose, joints: { ...pose.joints, [segment]: turn } };
}

/**
 * The same pose with left and right exchanged, mirrored in the vertical plane through the hips that the
 * world's x = 0 plane is parallel to: the hips stay where they are. Twice gives the pose back.
 */
export function mirrorPose(pose: Pose): Pose {
  const joints: Partial<Record<SegmentName, Quat>> = {};
  for (const [name, turn] of Object.entries(pose.joints)) {
    joints[otherSide(name as SegmentName)] = mirrorTurn(turn);
  }
  return { ...pose, rotation: mirrorTurn(pose.rotation), joints };
}

/** Left for right; trunk and head stay. */
export function otherSide(segment: SegmentName): SegmentName {
  if (segment.endsWith('L')) return `${segment.slice(0, -1)}R` as SegmentName;
  if (segment.endsWith('R')) return `${segment.slice(0, -1)}L` as SegmentName;
  return segment;
}

/** A turn seen in a mirror at x = 0: the axis' x part stays, y and z change sign. */
const mirrorTurn = ([x, y, z, w]: Quat): Quat => [x, 0 - y, 0 - z, w];
