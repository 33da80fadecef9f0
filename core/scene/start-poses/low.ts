import type { Body } from '../../body/types.ts';
import type { Vec3 } from '../../geometry/types.ts';
import type { PlaceGoal } from '../../pose/index.ts';
import { foot, made, type Side } from './make.ts';
import type { StartPose } from './types.ts';

/** Middle of the seat, and of a knee's patch, in the frames of pelvis and shank. */
const seatPoint = (body: Body): Vec3 => [0, body.patches.seat.outline[0]![1], 0];
function kneePoint(body: Body, side: Side): Vec3 {
  const { outline } = body.patches[`knee${side}`];
  const mean = (k: 0 | 1 | 2): number =>
    outline.reduce((sum, corner) => sum + corner[k], 0) / outline.length;
  return [mean(0), mean(1), mean(2)];
}

const seatAt = (body: Body, y: number, z: number): PlaceGoal => ({
  segment: 'pelvis',
  point: seatPoint(body),
  target: [0, y, z],
  rotation: [0, 0, 0, 1],
  weight: 3,
});

/** A shank that lies on the floor by its knee: the thigh's lower end, shank level behind it. */
const kneeAt = (body: Body, side: Side, x: number, z: number): PlaceGoal => ({
  segment: `shank${side}`,
  point: kneePoint(body, side),
  target: [x * body.spec.stature, 0, z * body.spec.stature],
  rotation: LEVEL,
  weight: 3,
});

/** A shank with its front down, turned by 98 degrees about x: the foot lies behind, its toes on the floor. */
const LEVEL = [Math.sin((49 * Math.PI) / 180), 0, 0, Math.cos((49 * Math.PI) / 180)] as const;

/** Height of a chair for a body: under the thighs with the feet flat. */
export const chairHeight = (body: Body): number =>
  Math.round((0.88 * body.hipHeight - 0.235 * body.spec.stature) * 100) / 100;

const chair = (body: Body) => {
  const y = chairHeight(body);
  return {
    name: 'Chair',
    kind: 'seat',
    position: [0, y / 2, -0.29 * body.spec.stature],
    size: [0.44, y, 0.42],
  } as const;
};

/** Bent, kneeling, sitting. */
export const LOW: readonly StartPose[] = [
  {
    id: 'crouch',
    name: 'crouch',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 30,
          thigh: { flexion: 60, abduction: 8 },
          shank: { flexion: 75 },
          abdomen: { flexion: 12 },
          upperArm: { flexion: 25, abduction: 10 },
          forearm: { flexion: 45 },
          head: { flexion: -18 },
        },
        feet: { L: foot(0.08, 0, { out: 10 }), R: foot(-0.08, 0, { out: 10 }) },
        points: [
          { segment: 'pelvis', target: [0, 0.36 * body.spec.stature, -0.08 * body.spec.stature] },
        ],
        over: { left: 0.5, along: 0.5 },
      }),
  },
  {
    id: 'deep-squat',
    name: 'deep squat',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 25,
          thigh: { flexion: 118, abduction: 14 },
          shank: { flexion: 132 },
          foot: { flexion: 28 },
          abdomen: { flexion: 24 },
          chest: { flexion: 14 },
          upperArm: { flexion: 60, abduction: 8 },
          forearm: { flexion: 25 },
          head: { flexion: -24 },
        },
        feet: { L: foot(0.1, 0, { out: 18 }), R: foot(-0.1, 0, { out: 18 }) },
        points: [
          { segment: 'pelvis', target: [0, 0.19 * body.spec.stature, -0.1 * body.spec.stature] },
        ],
        over: { left: 0.5, along: 0.5 },
      }),
  },
  {
    id: 'defence',
    name: 'low and ready',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 22,
          thigh: { flexion: 50, abduction: 20 },
          shank: { flexion: 62 },
          abdomen: { flexion: 10 },
          upperArm: { flexion: 42, abduction: 26 },
          forearm: { flexion: 75 },
          head: { flexion: -14 },
        },
        feet: {
          L: foot(0.17, 0.03, { out: 16 }),
          R: foot(-0.17, -0.03, { out: 16 }),
        },
        points: [
          { segment: 'pelvis', target: [0, 0.4 * body.spec.stature, -0.07 * body.spec.stature] },
        ],
        over: { left: 0.5, along: 0.52 },
      }),
  },
  {
    id: 'half-kneel',
    name: 'half-kneeling',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          thighL: { flexion: 90 },
          shankL: { flexion: 90 },
          shankR: { flexion: 90 },
          footR: { flexion: -48 },
          upperArm: { abduction: 8 },
          forearm: { flexion: 30 },
        },
        feet: { L: foot(0.055, 0.24) },
        points: [kneeAt(body, 'R', -0.055, -0.02)],
        over: [0.01, 0.13],
      }),
  },
  {
    id: 'kneel',
    name: 'kneeling',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          shank: { flexion: 90 },
          foot: { flexion: -48 },
          upperArm: { abduction: 8 },
          forearm: { flexion: 18 },
        },
        points: [kneeAt(body, 'L', 0.06, 0), kneeAt(body, 'R', -0.06, 0)],
        over: [0, 0.005],
      }),
  },
  {
    id: 'hands-and-knees',
    name: 'hands and knees',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          pelvis: { flexion: 88 },
          thigh: { flexion: 88 },
          shank: { flexion: 90 },
          foot: { flexion: -48 },
          upperArm: { flexion: 82 },
          hand: { flexion: -70 },
          head: { flexion: -30 },
        },
        points: [kneeAt(body, 'L', 0.055, -0.14), kneeAt(body, 'R', -0.055, -0.14)],
        palms: {
          L: { at: [0.1, 0, 0.2], faces: [0, -1, 0], fingers: [0, 0, 1] },
          R: { at: [-0.1, 0, 0.2], faces: [0, -1, 0], fingers: [0, 0, 1] },
        },
      }),
  },
  {
    id: 'sit',
    name: 'sitting on a chair',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          thigh: { flexion: 88, abduction: 6 },
          shank: { flexion: 86 },
          upperArm: { flexion: 24, abduction: 6 },
          forearm: { flexion: 55 },
        },
        feet: { L: foot(0.07, 0.02, { out: 6 }), R: foot(-0.07, 0.02, { out: 6 }) },
        points: [seatAt(body, chairHeight(body), -0.22 * body.spec.stature)],
        surfaces: [chair(body)],
      }),
  },
  {
    id: 'rise',
    name: 'rising from a chair',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 40,
          thigh: { flexion: 60, abduction: 6 },
          shank: { flexion: 80 },
          foot: { flexion: 18 },
          abdomen: { flexion: 14 },
          upperArm: { flexion: 40 },
          forearm: { flexion: 40 },
          head: { flexion: -22 },
        },
        feet: { L: foot(0.07, -0.02, { out: 6 }), R: foot(-0.07, -0.02, { out: 6 }) },
        points: [
          {
            segment: 'pelvis',
            target: [0, chairHeight(body) + 0.07 * body.spec.stature, -0.13 * body.spec.stature],
          },
        ],
        over: { left: 0.5, along: 0.48 },
        surfaces: [chair(body)],
      }),
  },
  {
    id: 'sit-floor',
    name: 'sitting on the floor',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          pelvis: { flexion: -8 },
          abdomen: { flexion: 18 },
          chest: { flexion: 12 },
          thigh: { flexion: 108, abduction: 8 },
          shank: { flexion: 100 },
          upperArm: { flexion: 50 },
          forearm: { flexion: 30 },
        },
        feet: { L: foot(0.06, 0.34), R: foot(-0.06, 0.34) },
        points: [{ ...seatAt(body, 0, 0), weight: 3 }],
      }),
  },
];
