import type { Body } from '../../body/types.ts';
import { multiply, rotate } from '../../geometry/quat.ts';
import type { Quat, Vec3 } from '../../geometry/types.ts';
import { add } from '../../geometry/vec3.ts';
import { type Pose, poseFigure } from '../../pose/index.ts';
import { facing, headingTurn } from '../facing.ts';
import { frictionPair } from '../frictions.ts';
import type { Load, LoadPlace, Surface } from '../types.ts';
import type { MadePose } from './types.ts';

/** Where a figure is and which way it faces. */
export interface Spot {
  /** What the floor is to the pose: a point under the figure, metres. */
  readonly ground: Vec3;
  readonly heading: Quat;
}

/** The spot of a figure: under its hips, at the height of what it stands on (0 where nothing is told). */
export function spotOf(body: Body, pose: Pose, height = 0): Spot {
  const { pelvis, footL, footR } = poseFigure(body, pose).segments;
  const [x, , z] = [0, 1, 2].map((k) => (footL.position[k]! + footR.position[k]!) / 2);
  const standing =
    Math.hypot(x! - pelvis.position[0], z! - pelvis.position[2]) < body.hipHeight / 2;
  const ground: Vec3 = standing
    ? [x!, height, z!]
    : [pelvis.position[0], height, pelvis.position[2]];
  return { ground, heading: headingTurn(facing(pelvis.rotation)) };
}

/** A made pose put at a spot. */
export const poseAt = ({ pose }: MadePose, { ground, heading }: Spot): Pose => ({
  ...pose,
  position: add(ground, rotate(heading, pose.position)),
  rotation: multiply(heading, pose.rotation),
});

/** What is added with a pose is of wood; feet and hands are bare on it. */
const TOUCH = frictionPair('bare-wood')!;

/** The surfaces that a made pose needs, at a spot. */
export const surfacesAt = (
  { surfaces }: MadePose,
  { ground, heading }: Spot,
  freshId: () => string,
): readonly Surface[] =>
  surfaces.map((surface) => ({
    ...surface,
    id: freshId(),
    position: add(ground, rotate(heading, surface.position)),
    rotation: heading,
    friction: TOUCH.friction,
    pair: TOUCH.id,
  }));

/** The loads that a made pose needs, on a figure. */
export const loadsOn = (
  { loads }: MadePose,
  figure: string,
  freshId: () => string,
): readonly Load[] =>
  loads.map(({ place, ...load }) => {
    const on: LoadPlace = place.kind === 'standing' ? place : { ...place, figure };
    return { ...load, id: freshId(), place: on };
  });
