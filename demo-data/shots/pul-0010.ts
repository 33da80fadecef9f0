import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { armOf, fist, placed, type Stance, settle } from '../poses.ts';
import { block, figure, floor, grip, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const HE = { table: 'deleva-male', stature: 1.8, mass: 78 } as const;
const SHE = { table: 'deleva-female', stature: 1.62, mass: 54 } as const;

const GRIP_HEIGHT = 1.18;
/** Fingers hooked into fingers: this share of the hand's length from the wrist. */
const HOOKED = 0.72;

interface Pull {
  /** How far each leans back as one straight line from the ankles, degrees. */
  readonly he: number;
  readonly she: number;
  /** Between the ankles, metres. */
  readonly gap: number;
  /** Where the hands meet, metres before his ankles. */
  readonly hands: number;
}

/** A straight body that leans back on stretched arms. */
function leaning(body: Stance['body'], back: number, hands: Vec3, at: Vec3, turn: number): Stance {
  const start: Stance = {
    body,
    angles: {
      lean: -back,
      trunk: -back,
      head: { flexion: back * 0.7 },
      upperArm: { flexion: 62, abduction: -4 },
      forearm: { flexion: 8 },
    },
    at,
    turn,
  };
  // He sees her right hand on his left: the hands that meet lie on the same side of the picture.
  const left: Vec3 = turn === 0 ? hands : [-hands[0], hands[1], hands[2]];
  const right: Vec3 = [-left[0], hands[1], hands[2]];
  const hook = fist(body, HOOKED);
  return settle(
    start,
    [...armOf('L'), ...armOf('R')],
    placed('handL', hook, left),
    placed('handR', hook, right),
  );
}

function pulling({ he, she, gap, hands }: Pull): Scene {
  const meet: Vec3 = [0.17, GRIP_HEIGHT, hands];
  return scene({
    figures: [
      figure('lockman', 'Lock keeper', leaning(HE, he, meet, [0, 0, 0], 0)),
      figure('millgirl', 'Miller', leaning(SHE, she, meet, [0, 0, gap], 180)),
    ],
    surfaces: [
      floor(),
      block('gate', 'Lock gate', 'box', [0.75, 0.55, gap / 2], [0.12, 0.55, 2.4]),
    ],
    grips: [
      grip('his-left', ['lockman', 'handL'], ['millgirl', 'handR']),
      grip('his-right', ['lockman', 'handR'], ['millgirl', 'handL']),
    ],
  });
}

export const lockGate: DemoShot = {
  code: 'PUL-0010',
  title: 'Two hands over the lock gate',
  sequence: 'quay',
  rate: 24,
  frames: [1, 52],
  state: 'retake',
  drafts: [
    {
      title: 'He leans 20, she leans 10',
      scene: pulling({ he: 20, she: 10, gap: 0.51, hands: 0.14 }),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'lockman', segment: 'handL' },
          'He out-pulls her: she cannot answer a pull like his, and they go over on his side. Lean him less or her more.',
          {
            frame: 12,
            weight: 'must',
            state: 'answered',
            replies: [
              reply('pell', 'Same angle for both, would that be fair?'),
              reply('tove', 'Same angle, and the heavier one wins.'),
            ],
          },
        ),
      ],
    },
    {
      title: 'He leans 12, she leans 20',
      scene: pulling({ he: 11.6, she: 20, gap: 0.51, hands: 0.32 }),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'millgirl' },
          'When they let go, f 30-52, she must land first: her line is twice as far behind her heels as his.',
          { frame: 30 },
        ),
      ],
    },
  ],
};
