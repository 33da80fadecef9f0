import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { type Stance, turned } from '../poses.ts';
import { figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.66, mass: 60 } as const;
const STEEP = 16;
const THICK = 0.12;

/** Knees soft, facing down the slip; its boards pass through the origin. */
const standing = (lean: number, trunk: number): Stance => ({
  body,
  angles: {
    lean,
    trunk,
    head: { flexion: 10 },
    thigh: { flexion: 16, abduction: 5 },
    shank: { flexion: 24 },
    upperArm: { flexion: 20, abduction: 28 },
    forearm: { flexion: 22 },
  },
  downhill: STEEP,
});

function onSlip(stance: Stance, friction: number): Scene {
  const rotation = turned(STEEP, [1, 0, 0]);
  const sine = Math.sin((STEEP * Math.PI) / 180);
  const cosine = Math.cos((STEEP * Math.PI) / 180);
  return scene({
    figures: [figure('boatgirl', 'Boat hand', stance)],
    surfaces: [
      floor('Shore', -0.6),
      {
        id: 'slip',
        name: 'Boat slip',
        kind: 'slope',
        position: [0, (-THICK / 2) * cosine, (-THICK / 2) * sine],
        rotation,
        size: [1.4, THICK, 3.4],
        friction,
      },
    ],
  });
}

export const boatSlip: DemoShot = {
  code: 'SLP-0045',
  title: 'Down the boat slip',
  sequence: 'quay',
  rate: 24,
  frames: [1, 40],
  state: 'in-work',
  drafts: [
    {
      title: 'Upright to the boards',
      scene: onSlip(standing(15, 16), 0.7),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'boatgirl' },
          'Square to the boards is not upright: the plumb line is true, the ground is not. Bring her back to the vertical.',
          {
            frame: 8,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Leaned back to the vertical in draft 2.')],
          },
        ),
      ],
    },
    { title: 'Upright to the line', scene: onSlip(standing(-3, 4), 0.7) },
    {
      title: 'The same on wet weed',
      scene: onSlip(standing(-3, 4), 0.22),
      notes: [
        note(
          'pell',
          { kind: 'contact', contact: 'boatgirl/soleL' },
          'On weed she does not tip, she slides. No pose mends that.',
          { frame: 24, weight: 'should' },
        ),
      ],
    },
  ],
};
