import { restPose } from '../../pose/index.ts';
import { foot, made, QUIET } from './make.ts';
import type { StartPose } from './types.ts';

const hanging = { upperArm: { abduction: 6 }, forearm: { flexion: 10 } } as const;
/** On the feet, arms free. */
export const STANDING: readonly StartPose[] = [
  {
    id: 'standing',
    name: 'standing',
    verdict: 'holds',
    make: (body) => ({ pose: restPose(body), surfaces: [], loads: [], contacts: {} }),
  },
  {
    id: 'contrapposto',
    name: 'weight on one leg',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          ...hanging,
          pelvis: { abduction: 7 },
          abdomen: { abduction: -7 },
          chest: { abduction: -4, rotation: 8 },
          head: { abduction: 5, rotation: 12 },
          thighL: { flexion: 14, abduction: 4 },
          shankL: { flexion: 26 },
          forearmR: { flexion: 25 },
        },
        feet: { L: foot(0.085, 0.03, { out: 22 }), R: foot(-0.045, 0, { out: 8 }) },
        over: { left: 0.2, along: QUIET },
      }),
  },
  {
    id: 'walk-left',
    name: 'walk contact, left ahead',
    verdict: 'holds',
    make: (body) => made(body, walk('L')),
  },
  {
    id: 'walk-right',
    name: 'walk contact, right ahead',
    verdict: 'holds',
    make: (body) => made(body, walk('R')),
  },
  {
    id: 'wide',
    name: 'wide stance',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: { ...hanging, thigh: { abduction: 18 }, upperArm: { abduction: 18 } },
        feet: { L: foot(0.17, 0, { out: 14 }), R: foot(-0.17, 0, { out: 14 }) },
        over: { left: 0.5, along: QUIET },
      }),
  },
  {
    id: 'one-foot',
    name: 'on one foot',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          upperArm: { abduction: 40 },
          forearm: { flexion: 15 },
          thighL: { flexion: 62 },
          shankL: { flexion: 80 },
          footL: { flexion: -10 },
          shankR: { flexion: 6 },
        },
        feet: { R: foot(-0.03, 0, { out: 6 }) },
        over: { left: 0, along: QUIET },
      }),
  },
  {
    id: 'tandem',
    name: 'one foot before the other',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: { upperArm: { abduction: 45 }, forearm: { flexion: 10 } },
        feet: { L: foot(0.004, 0.085), R: foot(-0.004, -0.085) },
        over: { left: 0.5, along: QUIET },
      }),
  },
  {
    id: 'lunge',
    name: 'lunge',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          upperArm: { abduction: 14 },
          forearm: { flexion: 35 },
          abdomen: { flexion: 6 },
          thighL: { flexion: 70 },
          shankL: { flexion: 80 },
          thighR: { flexion: -18 },
          shankR: { flexion: 25 },
        },
        feet: { L: foot(0.05, 0.23), R: foot(-0.05, -0.24, { heel: 50 }) },
        over: { left: 0.68, along: 0.35 },
      }),
  },
  {
    id: 'tiptoe',
    name: 'tiptoe',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: { upperArm: { abduction: 12 }, forearm: { flexion: 20 }, head: { flexion: -8 } },
        feet: { L: foot(0.05, 0, { heel: 32 }), R: foot(-0.05, 0, { heel: 32 }) },
        over: { left: 0.5, along: 0.74 },
      }),
  },
  {
    id: 'bow',
    name: 'bow',
    verdict: 'holds',
    make: (body) =>
      made(body, {
        angles: {
          trunk: 35,
          abdomen: { flexion: 14 },
          chest: { flexion: 8 },
          head: { flexion: 14 },
          upperArm: { flexion: 48, abduction: 4 },
        },
        feet: { L: foot(0.045), R: foot(-0.045) },
        over: { left: 0.5, along: 0.48 },
      }),
  },
];

function walk(ahead: 'L' | 'R') {
  const behind = ahead === 'L' ? 'R' : 'L';
  const way = ahead === 'L' ? 1 : -1;
  return {
    angles: {
      pelvis: { rotation: -6 * way },
      chest: { rotation: 10 * way },
      head: { rotation: -4 * way },
      [`upperArm${ahead}`]: { flexion: -20, abduction: 6 },
      [`upperArm${behind}`]: { flexion: 22, abduction: 6 },
      forearm: { flexion: 22 },
      [`thigh${ahead}`]: { flexion: 24 },
      [`shank${ahead}`]: { flexion: 4 },
      [`thigh${behind}`]: { flexion: -18 },
      [`shank${behind}`]: { flexion: 12 },
    },
    feet: {
      [ahead]: foot(0.035 * way, 0.19, { heel: -14, out: 5 }),
      [behind]: foot(-0.035 * way, -0.2, { heel: 26, out: 5 }),
    },
    over: { left: 0.5, along: 0.45 },
  } as const;
}
