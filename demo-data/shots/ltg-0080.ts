import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { armOf, fist, legOf, placed, type Stance, settle } from '../poses.ts';
import { figure, floor, grip, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const AUNT = { table: 'deleva-female', stature: 1.72, mass: 66 } as const;
const BOY = { table: 'deleva-male', stature: 1.3, mass: 27 } as const;
const HANDS = 0.98;

/** A long stride, the left foot before: she stands with or without him. */
function braced(hands: Vec3): Stance {
  const ankle = -(buildBody(AUNT).patches.soleL.outline[0] as Vec3)[1];
  const start: Stance = {
    body: AUNT,
    angles: {
      trunk: 12,
      head: { flexion: 16 },
      thighL: { flexion: 24 },
      shankL: { flexion: 26 },
      thighR: { flexion: -14 },
      shankR: { flexion: 14 },
      upperArm: { flexion: 42, abduction: 2 },
      forearm: { flexion: 24 },
    },
    at: [0.015, 0, -0.14],
  };
  const legs = settle(
    start,
    [...legOf('L'), ...legOf('R')],
    placed('footL', [0, 0, 0], [0.18, ankle, 0.12]),
    placed('footR', [0, 0, 0], [-0.15, ankle, -0.4]),
  );
  return reaching(legs, hands);
}

/** Leans back as one straight line, turned towards her. */
const hanging = (back: number, at: Vec3, hands: Vec3): Stance =>
  reaching(
    {
      body: BOY,
      angles: {
        lean: -back,
        trunk: -back,
        head: { flexion: back * 0.6 },
        upperArm: { flexion: 80, abduction: 0 },
        forearm: { flexion: 10 },
      },
      at,
      turn: 180,
    },
    [-hands[0], hands[1], hands[2]],
  );

function reaching(stance: Stance, [x, y, z]: Vec3): Stance {
  const hook = fist(stance.body, 0.7);
  return settle(
    stance,
    [...armOf('L'), ...armOf('R')],
    placed('handL', hook, [x, y, z]),
    placed('handR', hook, [-x, y, z]),
  );
}

function swinging(back: number, gap: number, reach: number): Scene {
  const meet: Vec3 = [0.13, HANDS, reach];
  return scene({
    figures: [
      figure('aunt', 'Aunt', braced(meet)),
      figure('boy', 'Harvest boy', hanging(back, [0, 0, gap], meet)),
    ],
    surfaces: [floor('Threshing floor')],
    grips: [
      grip('her-left', ['aunt', 'handL'], ['boy', 'handR']),
      grip('her-right', ['aunt', 'handR'], ['boy', 'handL']),
    ],
  });
}

export const oneStays: DemoShot = {
  code: 'LTG-0080',
  title: 'One stays, one goes',
  sequence: 'fair',
  rate: 24,
  frames: [1, 36],
  state: 'for-review',
  drafts: [
    {
      title: 'He leans back 14',
      scene: swinging(14, 0.53, 0.37),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'aunt', segment: 'handL' },
          'What if she lets go? She stands, he sits down.',
          {
            frame: 12,
            weight: 'should',
            state: 'answered',
            replies: [reply('tove', 'That is the gag. Keep it, and let him know it.')],
          },
        ),
      ],
    },
    {
      title: 'He leans back 22',
      scene: swinging(22, 0.44, 0.4),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'boy' },
          'Deeper is funnier, but now she is on her toes as well. Her hips back 3 cm.',
          { frame: 12, weight: 'could' },
        ),
      ],
    },
  ],
};
