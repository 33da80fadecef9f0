import type { SegmentName } from '../../core/body/index.ts';
import { IDENTITY, type Quat } from '../../core/geometry/index.ts';
import {
  angleRange,
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

export const ANGLES = ['flexion', 'abduction', 'rotation'] as const;

/** An angle in which a joint may turn, as its range goes with the other two as they are, radians. */
export interface FreeAngle {
  readonly name: keyof ClinicalAngles;
  readonly value: number;
  readonly from: number;
  readonly to: number;
}

/** The angles of a joint that have a range; of the hips, which stand for the whole figure, all three. */
export function freeAngles(figure: Figure, segment: SegmentName): FreeAngle[] {
  const turn = turnAt(figure.pose, segment);
  const values = anglesOf(segment, turn);
  const { limits } = bodyOf(figure.body).segments[segment];
  return ANGLES.map((name): FreeAngle => {
    const [from, to] = segment === 'pelvis' ? WHOLE_TURN : angleRange(segment, limits, name, turn);
    return { name, value: values[name], from, to };
  }).filter(({ from, to }) => to - from > 1e-3);
}

const WHOLE_TURN = [-Math.PI, Math.PI] as const;

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
const ANGLE_WORDS: Readonly<Record<keyof ClinicalAngles, string>> = {
  flexion: 'flexion',
  abduction: 'abduction',
  rotation: 'rotation',
};

/** The same for the hips, which stand for the whole figure. */
const WHOLE_WORDS: Readonly<Record<keyof ClinicalAngles, string>> = {
  flexion: 'tip forward',
  abduction: 'tip to its left',
  rotation: 'turn to its left',
};

/** What an angle of a joint, or of the whole figure, is called. */
export const angleWord = (segment: SegmentName, name: keyof ClinicalAngles): string =>
  (segment === 'pelvis' ? WHOLE_WORDS : ANGLE_WORDS)[name];
