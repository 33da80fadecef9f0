import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import {
  armOf,
  centredOver,
  legOf,
  placed,
  type Stance,
  settle,
  type Wish,
  worldPoint,
} from '../poses.ts';
import { figure, floor, grip, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const HE = { table: 'deleva-male', stature: 1.78, mass: 74 } as const;
const SHE = { table: 'deleva-female', stature: 1.65, mass: 56 } as const;
const sole = -(buildBody(HE).patches.soleL.outline[0] as Vec3)[1];

/** Bent back over his left arm, across his front, one knee up; her centre over (x, z), toe off the boards. */
function dipped(x: number, z: number, up: number): Stance {
  return centredOver(
    {
      body: SHE,
      angles: {
        lean: -24,
        trunk: -42,
        abdomen: { flexion: -9 },
        chest: { flexion: -9 },
        head: { flexion: -16, rotation: -20 },
        thighL: { flexion: 84 },
        shankL: { flexion: 78 },
        footL: { flexion: -35 },
        shankR: { flexion: 10 },
        footR: { flexion: -12 },
        upperArmL: { flexion: -20, abduction: 96 },
        forearmL: { flexion: 22 },
        upperArmR: { flexion: 50, abduction: 20 },
        forearmR: { flexion: 50 },
      },
      level: [],
      anchor: 'R',
      turn: -90,
      at: [0, up, 0],
    },
    x,
    z,
  );
}

/** His hands under her shoulder blade and at her waist, her right one on his chest if it reaches. */
interface Dip {
  readonly his: Stance;
  /** Her centre in plan, and her hanging foot above the boards, metres. */
  readonly x?: number;
  readonly z: number;
  readonly up: number;
  /** Whether her right hand is on his chest. */
  readonly held?: boolean;
}

function together({ his, x = 0, z, up, held = true }: Dip): Scene {
  const she = dipped(x, z, up);
  const blades = worldPoint(she, 'chest', [-0.05, 0.1, -0.12]);
  const waist = worldPoint(she, 'abdomen', [-0.13, 0.06, -0.02]);
  const palm: Vec3 = [0, -0.058, 0];
  const he = settle(
    his,
    [...armOf('L'), ...armOf('R')],
    placed('handL', palm, blades),
    placed('handR', palm, waist),
  );
  const breast = worldPoint(he, 'chest', [0.02, 0.13, 0.13]);
  const holding = held
    ? settle(she, armOf('R'), placed('handR', palm, breast))
    : { ...she, angles: { ...she.angles, ...arm } };
  return scene({
    figures: [figure('he', 'Ferry hand', he), figure('she', 'Harvest queen', holding)],
    surfaces: [floor('Dance boards')],
    grips: [
      grip('blades', ['he', 'handL'], ['she', 'chest']),
      grip('waist', ['he', 'handR'], ['she', 'abdomen']),
    ],
  });
}

/** Her right arm where his chest is out of its reach: along her side. */
const arm: Stance['angles'] = {
  upperArmR: { flexion: 6, abduction: 12 },
  forearmR: { flexion: 24 },
};

const arms: Stance['angles'] = {
  upperArm: { flexion: 60, abduction: 0 },
  forearm: { flexion: 60 },
};

const feetTogether = (lean: number, trunk: number): Stance => ({
  body: HE,
  angles: { lean, trunk, head: { flexion: 14 }, ...arms },
});

const LUNGE = 0.83;

/** Right foot behind at z = 0, left foot before it; trunk forward. */
const lunging = (): Stance => {
  const ankles = [
    placed('footL', [0, 0, 0], [0.06, sole, LUNGE]),
    placed('footR', [0, 0, 0], [-0.06, sole, 0]),
  ];
  const hips: Wish = (posed) => [
    posed.segments.pelvis.position[0] - 0.05,
    posed.segments.pelvis.position[2] - 0.62,
  ];
  return settle(
    {
      body: HE,
      angles: {
        trunk: 16,
        head: { flexion: 12 },
        thighL: { flexion: 50 },
        shankL: { flexion: 55 },
        thighR: { flexion: -25 },
        shankR: { flexion: 16 },
        ...arms,
      },
      at: [0, 0, LUNGE / 2],
    },
    [...legOf('L'), ...legOf('R')],
    ...ankles,
    hips,
  );
};

export const harvestDip: DemoShot = {
  code: 'DIP-0070',
  title: 'The low dip at the harvest dance',
  sequence: 'fair',
  rate: 24,
  frames: [1, 48],
  state: 'for-review',
  drafts: [
    {
      title: 'Feet together, leaning in',
      scene: together({ his: feetTogether(4.5, 21.5), z: 0.675, up: 0.16 }),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'he' },
          'With her in his arms the line is 17 cm past his toes. Both go down.',
          {
            frame: 20,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Leaned him back: draft 2.')],
          },
        ),
      ],
    },
    {
      title: 'Feet together, leaning back 10',
      scene: together({ his: feetTogether(-11.8, -2), z: 0.275, up: 0.22 }),
      notes: [
        note(
          'tove',
          { kind: 'shot' },
          'Looks fine and is a trap. What if she lets go? He sits down behind his heels.',
          {
            frame: 20,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Lunge instead: draft 3.')],
          },
        ),
      ],
    },
    {
      title: 'Lunge',
      scene: together({ his: lunging(), x: 0.06, z: 1.2, up: 0.1, held: false }),
      notes: [
        note(
          'pell',
          { kind: 'contact', contact: 'he/soleR' },
          'Rear foot carries next to nothing. Let the heel lift.',
          { frame: 22, weight: 'could' },
        ),
        note(
          'nadja',
          { kind: 'joint', figure: 'she', segment: 'footR' },
          'Her toe is just off the boards. With a quarter of her on it he would have it easier; judge it without.',
          { frame: 22, weight: 'could' },
        ),
      ],
    },
  ],
};
