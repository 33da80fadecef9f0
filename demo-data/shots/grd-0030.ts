import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Figure, Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { legOf, placed, type Stance, settle, type Wish } from '../poses.ts';
import { figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.66, mass: 60 } as const;
const built = buildBody(body);
const sole = -(built.patches.soleL.outline[0] as Vec3)[1];
const heel = Math.min(...built.patches.soleL.outline.map((p) => p[2]));

const guardArms: Stance['angles'] = {
  upperArmL: { flexion: 58, abduction: 12 },
  forearmL: { flexion: 70 },
  upperArmR: { flexion: 28, abduction: 22 },
  forearmR: { flexion: 105 },
};

const upright: Stance = {
  body,
  angles: { lean: 3.4, head: { flexion: 4 }, ...guardArms },
};

interface Crouch {
  /** Ankles: x to the left, z forward. */
  readonly left: readonly [x: number, z: number];
  readonly right: readonly [x: number, z: number];
  readonly trunk: number;
  /** Centre above the floor, and in plan, metres. */
  readonly height: number;
  readonly x?: number;
  readonly z: number;
}

/** A crouch over planted feet, with its centre where it is wanted. */
function crouching({ left, right, trunk, height, x = 0, z }: Crouch): Stance {
  const at: Wish = ({ centre }) => [centre[0] - x, centre[1] - height, centre[2] - z];
  return settle(
    {
      body,
      angles: {
        trunk,
        thighL: { flexion: 60, abduction: 8 },
        thighR: { flexion: 30, abduction: 8 },
        shankL: { flexion: 60 },
        shankR: { flexion: 60 },
        head: { flexion: -trunk * 0.7 },
        ...guardArms,
      },
      at: [(left[0] + right[0]) / 2, 0, (left[1] + right[1]) / 2],
    },
    [...legOf('L'), ...legOf('R')],
    placed('footL', [0, 0, 0], [left[0], sole, left[1]]),
    placed('footR', [0, 0, 0], [right[0], sole, right[1]]),
    at,
  );
}

/** Left foot before the right by 45 cm; the line 18 cm behind the front toes. */
const SPLIT = 0.45;
const FRONT_EDGE = SPLIT / 2 + built.footLength + heel;
const split = crouching({
  left: [0.1, SPLIT / 2],
  right: [-0.1, -SPLIT / 2],
  trunk: 14,
  height: 0.79,
  x: 0.07,
  z: FRONT_EDGE - 0.182,
});

const onHeels = crouching({
  left: [0.1, 0],
  right: [-0.1, 0],
  trunk: 12,
  height: 0.72,
  z: heel + 0.012,
});

/** 3.5 heads high; big shoes carry the head. Factors on a child-sized body of the women's table. */
const apprenticeBody = {
  table: 'deleva-female',
  stature: 1.1,
  mass: 30,
  overrides: {
    head: { length: 2.6, girth: 1.15, mass: 5.2 },
    thighL: { length: 0.62, girth: 1.1 },
    thighR: { length: 0.62, girth: 1.1 },
    shankL: { length: 0.58, girth: 1.15 },
    shankR: { length: 0.58, girth: 1.15 },
    footL: { length: 1.25, girth: 1.5 },
    footR: { length: 1.25, girth: 1.5 },
    upperArmL: { length: 0.8 },
    upperArmR: { length: 0.8 },
    forearmL: { length: 0.8 },
    forearmR: { length: 0.8 },
  },
} as const;

const apprentice: Figure = figure('z-apprentice', 'Apprentice', {
  body: apprenticeBody,
  angles: {
    lean: 2,
    upperArm: { flexion: 10, abduction: 18 },
    forearm: { flexion: 40 },
    head: { rotation: 25 },
  },
  at: [-0.55, 0, -0.85],
});

const watch = (guard: Stance): Scene =>
  scene({
    figures: [figure('guard', 'Gate guard', guard), apprentice],
    surfaces: [floor('Gate stones')],
  });

export const gateGuard: DemoShot = {
  code: 'GRD-0030',
  title: 'The gate guard and the big-headed apprentice',
  sequence: 'cliff',
  rate: 24,
  frames: [1, 48],
  state: 'for-review',
  drafts: [
    {
      title: 'Guard upright, feet together',
      scene: watch(upright),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'guard', segment: 'pelvis' },
          'A shove at the chest takes her. Down and wider, she knows it is coming.',
          {
            frame: 1,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Split crouch, draft 2.')],
          },
        ),
      ],
    },
    {
      title: 'Split crouch',
      scene: watch(split),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'guard' },
          'Weight forward reads well: she expects it from the front.',
          {
            frame: 12,
            weight: 'could',
            state: 'settled',
            replies: [
              reply('tove', 'From behind she is weak. That is the story: keep it on purpose.'),
            ],
          },
        ),
        note(
          'pell',
          { kind: 'joint', figure: 'z-apprentice', segment: 'head' },
          'His centre is up in the chest, well above the hips. The big shoes are the answer, keep them.',
          { frame: 12, weight: 'could' },
        ),
      ],
    },
    {
      title: 'Crouch on the heels',
      scene: watch(onHeels),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'guard' },
          'Can\u2019t spring from there, and any push from the front sits her down. Line to mid-foot.',
          { frame: 20, weight: 'must' },
        ),
      ],
    },
  ],
};
