import type { SegmentName } from '../../core/body/index.ts';
import {
  conjugate,
  fromAxisAngle,
  IDENTITY,
  multiply,
  type Quat,
  type Vec3,
} from '../../core/geometry/index.ts';
import {
  anglesOf,
  type ClinicalAngles,
  clampJoint,
  mirrorPose,
  type Pose,
  setJoint,
  standOnFloor,
  turnOf,
} from '../../core/pose/index.ts';
import { bodyOf, type Figure } from '../../core/scene/index.ts';
import { type Patch, poseEntries } from './movables.ts';
import type { Shown } from './shown.ts';

/** Turning one joint, and the few changes of a whole pose that need no hand on the figure. */

/** The turn of the joint above a segment; of the whole figure for the hips. */
export const turnAt = (pose: Pose, segment: SegmentName): Quat =>
  segment === 'pelvis' ? pose.rotation : (pose.joints[segment] ?? IDENTITY);

function withTurn(figure: Figure, segment: SegmentName, turn: Quat): Patch {
  const { limits } = bodyOf(figure.body).segments[segment];
  // The hips are not a joint: a whole figure may be turned any way.
  const kept = segment === 'pelvis' ? turn : clampJoint(limits, turn);
  return poseEntries(figure.id, figure.pose, setJoint(figure.pose, segment, kept));
}

/** Turns a joint by `angle` (radians, right-handed) about a direction of the world. */
export function turnAbout(
  start: Shown,
  figure: Figure,
  segment: SegmentName,
  axis: Vec3,
  angle: number,
): Patch {
  const posed = start.posed.get(figure.id);
  if (posed === undefined) return {};
  const parent = posed.body.segments[segment].parent;
  const base = parent === null ? IDENTITY : posed.segments[parent].rotation;
  const world = multiply(fromAxisAngle(axis, angle), posed.segments[segment].rotation);
  return withTurn(figure, segment, multiply(conjugate(base), world));
}

/** Sets one clinical angle of a joint, radians; the other two keep their values. */
export function setAngle(
  figure: Figure,
  segment: SegmentName,
  name: keyof ClinicalAngles,
  value: number,
): Patch {
  const angles = anglesOf(segment, turnAt(figure.pose, segment));
  return withTurn(figure, segment, turnOf(segment, { ...angles, [name]: value }));
}

/** Lets a joint hang straight again. */
export const relaxJoint = (figure: Figure, segment: SegmentName): Patch =>
  withTurn(figure, segment, IDENTITY);

/** Exchanges left and right of a pose; contact settings change sides with it. */
export function mirrorFigure(figure: Figure): Patch {
  const sides: Record<string, unknown> = {};
  for (const patch of Object.keys(figure.contacts) as (keyof Figure['contacts'])[]) {
    const other = patch.replace(/[LR]$/, (side) => (side === 'L' ? 'R' : 'L')) as typeof patch;
    sides[`figure/${figure.id}/contact.${other}`] = figure.contacts[patch];
    if (figure.contacts[other] === undefined && other !== patch) {
      sides[`figure/${figure.id}/contact.${patch}`] = undefined;
    }
  }
  return { ...poseEntries(figure.id, figure.pose, mirrorPose(figure.pose)), ...sides };
}

/** Moves a figure straight up or down until its lowest point is on the floor. */
export const standFigure = (figure: Figure): Patch =>
  poseEntries(figure.id, figure.pose, standOnFloor(bodyOf(figure.body), figure.pose));

/** What a clinical angle of a joint is called, e.g. "bends" for a knee's flexion. */
export const ANGLE_WORDS: Readonly<Record<keyof ClinicalAngles, string>> = {
  flexion: 'flexion',
  abduction: 'abduction',
  rotation: 'rotation',
};

/** The same for the hips, which stand for the whole figure. */
export const WHOLE_WORDS: Readonly<Record<keyof ClinicalAngles, string>> = {
  flexion: 'tip forward',
  abduction: 'tip to its left',
  rotation: 'turn to its left',
};
