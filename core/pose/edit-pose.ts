import { SEGMENTS, type SegmentName } from '../body/types.ts';
import { IDENTITY, slerp } from '../geometry/quat.ts';
import type { Quat } from '../geometry/types.ts';
import { lerp } from '../geometry/vec3.ts';
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
export const mirrorTurn = ([x, y, z, w]: Quat): Quat => [x, 0 - y, 0 - z, w];

export type JointName = Exclude<SegmentName, 'pelvis'>;

const LIMBS = { arm: /^(upperArm|forearm|hand)/, leg: /^(thigh|shank|foot|toes)/ } as const;

/** The limb that a segment is part of, all its segments; null for trunk and head. */
export function limbOf(segment: SegmentName): readonly JointName[] | null {
  const side = segment.slice(-1);
  const shape = Object.values(LIMBS).find((limb) => limb.test(segment));
  if (shape === undefined) return null;
  return SEGMENTS.filter((name): name is JointName => shape.test(name) && name.endsWith(side));
}

/** One side made the mirror image of the other; trunk and head stay. */
export function mirrorHalf(pose: Pose, from: 'L' | 'R'): Pose {
  const turns = SEGMENTS.filter((name): name is JointName => name.endsWith(from)).map(
    (name) => [otherSide(name), mirrorTurn(pose.joints[name] ?? IDENTITY)] as const,
  );
  return { ...pose, joints: { ...pose.joints, ...Object.fromEntries(turns) } };
}

/** Part of the way from one pose to another, every joint by its shortest turn; 0 is `from`, 1 is `to`. */
export function blendPoses(from: Pose, to: Pose, share: number): Pose {
  if (share === 0) return from;
  if (share === 1) return to;
  const names = new Set([...Object.keys(from.joints), ...Object.keys(to.joints)]) as Set<JointName>;
  const turns = [...names].map(
    (name) =>
      [name, slerp(from.joints[name] ?? IDENTITY, to.joints[name] ?? IDENTITY, share)] as const,
  );
  return {
    position: lerp(from.position, to.position, share),
    rotation: slerp(from.rotation, to.rotation, share),
    joints: Object.fromEntries(turns),
  };
}
