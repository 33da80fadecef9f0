import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { armOf, placed, type Stance, settle, worldPoint } from '../poses.ts';
import { figure, floor, grip, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

// One as heavy as the other: half of the weight is not the carrier's own.
const CARRIER = { table: 'deleva-female', stature: 1.7, mass: 61 } as const;
const RIDER = { table: 'deleva-female', stature: 1.66, mass: 61 } as const;

const PALM: Vec3 = [0, -0.058, 0];

/** On the back, knees round the carrier's waist, hands on the shoulders. */
function carried(trunk: number): Scene {
  const walking: Stance = {
    body: CARRIER,
    angles: {
      lean: 3,
      trunk,
      head: { flexion: -0.5 * trunk },
      thigh: { flexion: 14 },
      shank: { flexion: 20 },
      upperArm: { flexion: 14 - trunk, abduction: 12 },
      forearm: { flexion: 80 },
    },
  };
  const back = worldPoint(walking, 'abdomen', [0, 0.02, -0.24]);
  const astride: Stance = {
    body: RIDER,
    angles: {
      trunk: trunk + 6,
      head: { flexion: -0.5 * trunk },
      thigh: { flexion: 66 - trunk * 0.4, abduction: 28 },
      shank: { flexion: 84 },
      foot: { flexion: -20 },
      upperArm: { flexion: 62, abduction: 6 },
      forearm: { flexion: 40 },
    },
    level: [],
  };
  const [x, y, z] = worldPoint(astride, 'pelvis', [0, 0, 0]);
  const up: Stance = { ...astride, at: [back[0] - x, back[1] - y, back[2] - z] };
  const shoulder = (side: 1 | -1): Vec3 => worldPoint(walking, 'chest', [0.12 * side, 0.2, 0.07]);
  const holding = settle(
    up,
    [...armOf('L'), ...armOf('R')],
    placed('handL', PALM, shoulder(1)),
    placed('handR', PALM, shoulder(-1)),
  );
  const knee = (side: 'L' | 'R'): Vec3 =>
    worldPoint(holding, `thigh${side}`, [side === 'L' ? 0.02 : -0.02, -0.3, -0.07]);
  const carrier = settle(
    walking,
    [...armOf('L'), ...armOf('R')],
    placed('handL', PALM, knee('L')),
    placed('handR', PALM, knee('R')),
  );
  return scene({
    figures: [figure('carrier', 'Net mender', carrier), figure('rider', 'Her sister', holding)],
    surfaces: [floor()],
    grips: [
      grip('left-knee', ['carrier', 'handL'], ['rider', 'thighL']),
      grip('right-knee', ['carrier', 'handR'], ['rider', 'thighR']),
      grip('shoulder', ['rider', 'handL'], ['carrier', 'chest']),
    ],
  });
}

export const equalCarry: DemoShot = {
  code: 'EQL-0075',
  title: 'Carried home by one as light',
  sequence: 'quay',
  rate: 24,
  frames: [1, 48],
  state: 'in-work',
  drafts: [
    {
      title: 'Upright',
      scene: carried(1),
      notes: [
        note(
          'tove',
          { kind: 'shot' },
          'They weigh the same. Carried behind an upright trunk they go over backwards.',
          {
            frame: 10,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Trunk forward until the line is under the arch: draft 2.')],
          },
        ),
      ],
    },
    {
      title: 'Trunk 34 forward',
      scene: carried(34),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'carrier', segment: 'head' },
          'Chin up a little: she would look where she goes.',
          { frame: 10, weight: 'could' },
        ),
      ],
    },
  ],
};
