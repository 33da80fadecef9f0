import { type BodySpec, buildBody } from '../../../core/body/index.ts';
import { fromAxisAngle, IDENTITY, type Quat, type Vec3 } from '../../../core/geometry/index.ts';
import { type Pose, poseFromAngles, restPose } from '../../../core/pose/index.ts';
import type { Figure, Load, Scene, Surface } from '../../../core/scene/index.ts';

/** Invented people for the tests. */
export const WOMAN: BodySpec = { table: 'deleva-female', stature: 1.68, mass: 62 };
export const MAN: BodySpec = { table: 'deleva-male', stature: 1.78, mass: 74 };

export const FLOOR: Surface = {
  id: 'floor',
  name: 'Floor',
  kind: 'floor',
  position: [0, 0, 0],
  rotation: IDENTITY,
  size: null,
  friction: 0.8,
};

export const box = (
  id: string,
  position: Vec3,
  size: Vec3,
  more: Partial<Surface> = {},
): Surface => ({
  ...FLOOR,
  id,
  name: id,
  kind: 'box',
  position,
  size,
  ...more,
});

export const figure = (
  id: string,
  pose: Pose,
  more: Partial<Omit<Figure, 'id' | 'pose'>> = {},
): Figure => ({ id, name: id, body: WOMAN, contacts: {}, ...more, pose });

/** Quiet standing, or a pose in degrees, feet at the origin of the plan. */
export const standing = (spec: BodySpec = WOMAN): Pose => restPose(buildBody(spec));
export const posed = (angles: Parameters<typeof poseFromAngles>[0], spec: BodySpec = WOMAN): Pose =>
  poseFromAngles(angles, buildBody(spec));

export const moved = (pose: Pose, by: Vec3): Pose => ({
  ...pose,
  position: [pose.position[0] + by[0], pose.position[1] + by[1], pose.position[2] + by[2]],
});

/** Turned about the vertical through the origin, radians. */
export const turned = (pose: Pose, radians: number): Pose => {
  const turn = fromAxisAngle([0, 1, 0], radians);
  return {
    ...pose,
    position: turnPoint(pose.position, radians),
    rotation: product(turn, pose.rotation),
  };
};

const turnPoint = ([x, y, z]: Vec3, a: number): Vec3 => [
  x * Math.cos(a) + z * Math.sin(a),
  y,
  -x * Math.sin(a) + z * Math.cos(a),
];

const product = (a: Quat, b: Quat): Quat => [
  a[3] * b[0] + a[0] * b[3] + a[1] * b[2] - a[2] * b[1],
  a[3] * b[1] - a[0] * b[2] + a[1] * b[3] + a[2] * b[0],
  a[3] * b[2] + a[0] * b[1] - a[1] * b[0] + a[2] * b[3],
  a[3] * b[3] - a[0] * b[0] - a[1] * b[1] - a[2] * b[2],
];

export const ball = (id: string, mass: number | null, place: Load['place']): Load => ({
  id,
  name: id,
  shape: { kind: 'ball', radius: 0.1 },
  mass,
  place,
});

export const held = (by: string, offset: Vec3 = [0, 0, 0]): Load['place'] => ({
  kind: 'held',
  figure: by,
  hands: 'both',
  offset,
});

export const scene = (parts: Partial<Scene>): Scene => ({
  figures: [],
  loads: [],
  surfaces: [FLOOR],
  grips: [],
  ...parts,
});
