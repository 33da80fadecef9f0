import type { Body, SegmentName } from '../body/types.ts';
import { IDENTITY, multiply } from '../geometry/quat.ts';
import type { Quat } from '../geometry/types.ts';
import { anglesOf, type ClinicalAngles, turnOf } from './angles.ts';
import { poseFigure, standOnFloor } from './pose-figure.ts';
import type { Pose } from './types.ts';

const DEGREE = Math.PI / 180;

/**
 * Hip ahead of the ankle in quiet standing, over stature: 6.2 cm (SD 1.3) in 15 people (Woodhull et al.
 * 1985), taken as measured on 1.74 m.
 */
const HIP_AHEAD = 0.062 / 1.74;

/**
 * Quiet standing at the origin, facing +Z: feet flat under the hips, legs leaning forward from the
 * ankles until the hips are as far ahead of them as in measured people, trunk upright, arms hanging a
 * little away from the sides. The plumb line lands at 40-45 % of the foot's length from the heel, the
 * usual place. (The pose without any turned joint stands with its ankles upright: there the plumb line
 * lands just ahead of the ankles, at about 22 %.) The ankles' midpoint is at x = z = 0.
 */
export function restPose(body: Body): Pose {
  const leg = body.hipHeight - ankleHeight(body);
  const lean = Math.asin((HIP_AHEAD * body.spec.stature) / leg) / DEGREE;
  return poseFromAngles(
    {
      lean,
      upperArm: { abduction: 5 },
      forearm: { flexion: 8 },
      hand: { flexion: 5 },
    },
    body,
  );
}

const ankleHeight = (body: Body): number => -(body.patches.soleL.outline[0]?.[1] ?? 0);

type Degrees = Partial<ClinicalAngles>;
type Paired = 'upperArm' | 'forearm' | 'hand' | 'thigh' | 'shank' | 'foot' | 'toes';

/**
 * A pose in degrees, by anatomical name (signs in angles.ts). A limb named without a side is set on
 * both; a side named as well wins for that side.
 *
 * `lean`: both legs tilt forward from the ankles by this angle, the feet stay level and the trunk
 * upright. `trunk`: pelvis, trunk, head and arms tilt forward together about the hip line, the legs do
 * not move. Both are added to the joints' own angles. `pelvis` turns the whole figure.
 */
export type PoseAngles = Readonly<
  Partial<Record<SegmentName | Paired, Degrees>> & { lean?: number; trunk?: number }
>;

/**
 * Builds a pose from angles in degrees. With `body` it stands at the origin: lowest point on the
 * floor, the ankles' midpoint at x = z = 0; without it the hips are at the origin.
 */
export function poseFromAngles(angles: PoseAngles, body?: Body): Pose {
  const joints: Partial<Record<SegmentName, Quat>> = {};
  for (const [key, value] of Object.entries(angles)) {
    if (typeof value === 'number' || key === 'pelvis') continue;
    const names = /[LR]$/.test(key) || TRUNK.has(key) ? [key] : [`${key}L`, `${key}R`];
    for (const name of names as SegmentName[]) {
      if (name !== key && angles[name]) continue;
      joints[name] = turnOf(name, toRadians(value as Degrees));
    }
  }
  const lean = (angles.lean ?? 0) * DEGREE;
  const trunk = (angles.trunk ?? 0) * DEGREE;
  for (const side of ['L', 'R'] as const) {
    if (lean + trunk === 0) break;
    // A thigh's top goes forward with the leg (+x) and is brought back against the tilted pelvis.
    const thigh = tilt(lean - trunk);
    joints[`thigh${side}`] = multiply(thigh, joints[`thigh${side}`] ?? IDENTITY);
    joints[`foot${side}`] = multiply(joints[`foot${side}`] ?? IDENTITY, tilt(-lean));
  }
  const rotation = multiply(turnOf('pelvis', toRadians(angles.pelvis ?? {})), tilt(trunk));
  const pose: Pose = { position: [0, 0, 0], rotation, joints };
  if (!body) return pose;
  const standing = standOnFloor(body, pose);
  const { footL, footR } = poseFigure(body, standing).segments;
  const [, y] = standing.position;
  return {
    ...standing,
    position: [
      0 - (footL.position[0] + footR.position[0]) / 2,
      y,
      0 - (footL.position[2] + footR.position[2]) / 2,
    ],
  };
}

const TRUNK: ReadonlySet<string> = new Set(['abdomen', 'chest', 'head']);

const tilt = (radians: number): Quat => [Math.sin(radians / 2), 0, 0, Math.cos(radians / 2)];

const toRadians = (angles: Degrees): Degrees => ({
  flexion: (angles.flexion ?? 0) * DEGREE,
  abduction: (angles.abduction ?? 0) * DEGREE,
  rotation: (angles.rotation ?? 0) * DEGREE,
});

/** Angles of a joint in degrees; for a joint at rest all 0. */
export function degreesOf(pose: Pose, segment: Exclude<SegmentName, 'pelvis'>): ClinicalAngles {
  const { flexion, abduction, rotation } = anglesOf(segment, pose.joints[segment] ?? IDENTITY);
  return {
    flexion: flexion / DEGREE,
    abduction: abduction / DEGREE,
    rotation: rotation / DEGREE,
  };
}
