import type { Body } from '../../body/types.ts';
import type { Vec3 } from '../../geometry/types.ts';
import { foot, made, QUIET } from './make.ts';
import type { NeededLoad, StartPose } from './types.ts';

const feet = (x: number, z = 0, out = 8) => ({ L: foot(x, z, { out }), R: foot(-x, z, { out }) });

const inHands = (name: string, size: Vec3, mass: number, offset: Vec3 = [0, 0, 0]): NeededLoad => ({
  name,
  shape: { kind: 'box', size },
  mass,
  place: { kind: 'held', figure: '', hands: 'both', offset },
});

/** Palms on the two sides of something, as shares of stature. */
const around = (x: number, y: number, z: number) => ({
  L: { at: [x, y, z] as Vec3 },
  R: { at: [-x, y, z] as Vec3 },
});

/** A wall whose face is this far ahead of the ankles. */
const wall = (z: number) =>
  ({ name: 'Wall', kind: 'wall', position: [0, 1.2, z + 0.1], size: [2.4, 2.4, 0.2] }) as const;

const s = (body: Body, share: number): number => share * body.spec.stature;

/** With loads, walls and ledges. */
export const WORKING: readonly StartPose[] = [
  {
    id: 'toe-touch',
    name: 'hands to the toes',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 80,
          thigh: { flexion: 6 },
          abdomen: { flexion: 30 },
          chest: { flexion: 22 },
          upperArm: { flexion: 120 },
        },
        feet: feet(0.045, 0, 4),
        palms: around(0.05, 0.04, 0.11),
        over: { left: 0.5, along: QUIET },
      }),
  },
  {
    id: 'lift',
    name: 'lift from the floor',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 50,
          thigh: { flexion: 80, abduction: 10 },
          shank: { flexion: 90 },
          abdomen: { flexion: 16 },
          upperArm: { flexion: 55 },
          forearm: { flexion: 8 },
          head: { flexion: -26 },
        },
        feet: feet(0.12, 0, 14),
        palms: around(0.08, 0.14, 0.14),
        points: [{ segment: 'pelvis', target: [0, s(body, 0.31), s(body, -0.15)] }],
        over: { left: 0.5, along: 0.46 },
        loads: [inHands('Crate', [0.3, 0.28, 0.3], 12)],
      }),
  },
  {
    id: 'carry-front',
    name: 'carry before the body',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: { trunk: -6, upperArm: { flexion: 14 }, forearm: { flexion: 80 } },
        feet: feet(0.06, 0, 8),
        palms: around(0.1, 0.6, 0.16),
        over: { left: 0.5, along: QUIET },
        loads: [inHands('Box', [0.34, 0.26, 0.28], 10)],
      }),
  },
  {
    id: 'lean-back',
    name: 'lean back with a load',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          pelvis: { flexion: -10 },
          abdomen: { flexion: -8 },
          thigh: { flexion: 14 },
          shank: { flexion: 22 },
          upperArm: { flexion: 20 },
          forearm: { flexion: 60 },
          head: { flexion: 10 },
        },
        feet: feet(0.08, 0, 12),
        palms: around(0.11, 0.52, 0.16),
        over: { left: 0.5, along: QUIET },
        loads: [inHands('Heavy box', [0.36, 0.3, 0.3], 28)],
      }),
  },
  {
    id: 'back-pack',
    name: 'carry on the back',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 16,
          abdomen: { flexion: 6 },
          head: { flexion: -12 },
          upperArm: { flexion: 30, abduction: 6 },
          forearm: { flexion: 95 },
        },
        feet: feet(0.055, 0, 6),
        over: { left: 0.5, along: QUIET },
        loads: [
          {
            name: 'Pack',
            shape: { kind: 'box', size: [0.34, 0.52, 0.24] },
            mass: 20,
            place: {
              kind: 'attached',
              figure: '',
              segment: 'chest',
              offset: [0, s(body, 0.07), body.patches.back.outline[0]![2] - 0.12],
              rotation: [0, 0, 0, 1],
            },
          },
        ],
      }),
  },
  {
    id: 'overhead',
    name: 'hold overhead',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: { upperArm: { flexion: 165, abduction: 6 }, forearm: { flexion: 20 } },
        feet: feet(0.09, 0, 10),
        palms: around(0.09, 1.14, 0.05),
        over: { left: 0.5, along: QUIET },
        loads: [inHands('Box', [0.3, 0.24, 0.26], 8, [0, 0.06, 0])],
      }),
  },
  {
    id: 'push',
    name: 'push a wall',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          lean: 18,
          trunk: 14,
          thighR: { flexion: -14 },
          thighL: { flexion: 34 },
          shankL: { flexion: 30 },
          upperArm: { flexion: 80 },
          forearm: { flexion: 25 },
          hand: { flexion: -60 },
        },
        feet: { L: foot(0.05, 0.05), R: foot(-0.05, -0.2, { heel: 28 }) },
        palms: {
          L: { at: [0.1, 0.74, 0.4], faces: [0, 0, 1], fingers: [0, 1, 0] },
          R: { at: [-0.1, 0.74, 0.4], faces: [0, 0, 1], fingers: [0, 1, 0] },
        },
        over: [0, 0.09],
        surfaces: [wall(s(body, 0.4))],
      }),
  },
  {
    id: 'pull',
    name: 'pull, leaning back',
    verdict: 'falls',
    make: (body) =>
      made(body, {
        angles: {
          pelvis: { flexion: -16 },
          thigh: { flexion: 40 },
          shank: { flexion: 45 },
          upperArm: { flexion: 70 },
          forearm: { flexion: 12 },
        },
        feet: { L: foot(0.06, 0.09, { out: 6 }), R: foot(-0.06, -0.02, { out: 14 }) },
        palms: around(0.04, 0.6, 0.28),
        over: { left: 0.5, along: -0.35 },
      }),
  },
  {
    id: 'reach-ledge',
    name: 'reach over a ledge',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 55,
          abdomen: { flexion: 14 },
          chest: { flexion: 8 },
          head: { flexion: -26 },
          upperArmL: { flexion: 150 },
          upperArmR: { flexion: 20, abduction: 20 },
          thighL: { flexion: 10 },
          thighR: { flexion: -28 },
          shankR: { flexion: 30 },
          footR: { flexion: -25 },
        },
        feet: { L: foot(0.02, 0) },
        over: { left: 1, along: 0.5 },
        surfaces: [
          {
            name: 'Ledge',
            kind: 'ledge',
            position: [0, s(body, 0.11), s(body, 0.26)],
            size: [1.2, s(body, 0.22), 0.3],
          },
        ],
      }),
  },
  {
    id: 'hang',
    name: 'hang from a bar',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          upperArm: { flexion: 172, abduction: 4 },
          thigh: { flexion: 6 },
          shank: { flexion: 14 },
          foot: { flexion: -30 },
        },
        palms: {
          L: { at: [0.12, 1.3, 0.02], faces: [0, -1, 0], fingers: [0, 0, 1] },
          R: { at: [-0.12, 1.3, 0.02], faces: [0, -1, 0], fingers: [0, 0, 1] },
        },
        over: [0, 0.02],
        contacts: { palmL: 'gripping', palmR: 'gripping' },
        surfaces: [
          {
            name: 'Bar',
            kind: 'rail',
            position: [0, s(body, 1.3) - 0.02, s(body, 0.02)],
            size: [1.4, 0.04, 0.04],
          },
        ],
      }),
  },
];
