import { IDENTITY } from '../../core/geometry/index.ts';
import { note, reply } from '../people.ts';
import type { Stance } from '../poses.ts';
import { block, figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.72, mass: 66 } as const;
const TRUNK = 118;
/** Rearmost point of the heels, metres behind the ankles. */
const HEELS = -0.055;

/** Bent to the toes with straight legs; arms hang, head hangs. */
function bending(lean: number, wall: boolean) {
  const stance: Stance = {
    body,
    angles: {
      lean,
      trunk: TRUNK,
      head: { flexion: 10 },
      upperArm: { flexion: TRUNK - 20, abduction: 3 },
      forearm: { flexion: 49 },
    },
  };
  return scene({
    // Bending, he pushes himself off the wall: it gives him nothing to stand on.
    figures: [figure('clerk', 'Ferry clerk', stance, { seat: 'lifted', back: 'lifted' })],
    loads: [
      {
        id: 'key',
        name: 'Key',
        shape: { kind: 'box', size: [0.03, 0.012, 0.09] },
        mass: 0.05,
        place: { kind: 'standing', position: [0, 0.006, 0.45], rotation: IDENTITY },
      },
    ],
    surfaces: [
      floor('Office floor'),
      ...(wall ? [block('wall', 'Wall', 'wall', [0, 2, HEELS - 0.08], [2, 2, 0.15])] : []),
    ],
  });
}

export const keyByTheWall: DemoShot = {
  code: 'KEY-0030',
  title: 'The key by the wall',
  sequence: 'house',
  rate: 24,
  frames: [1, 36],
  state: 'for-review',
  drafts: [
    {
      title: 'Heels and seat to the wall',
      scene: bending(5.3, true),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'clerk', segment: 'pelvis' },
          'Hips need to go back a hand\u2019s length and the wall is in the way. He cannot hold this.',
          {
            frame: 18,
            weight: 'must',
            state: 'answered',
            replies: [
              reply('nadja', 'A wall is a contact too. What may it push?'),
              reply('tove', 'Forwards only, and that makes it worse.'),
            ],
          },
        ),
      ],
    },
    {
      title: 'Legs 4 back, wall gone',
      scene: bending(-3.5, false),
      notes: [
        note(
          'pell',
          { kind: 'plumb', figure: 'clerk' },
          'Line is at the balls of the feet, the very edge of what he can hold. More hip.',
          { frame: 18 },
        ),
      ],
    },
    {
      title: 'Legs 11 back',
      scene: bending(-10.7, false),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'clerk' },
          'Class of 16 marked the centre first: 11 put it inside the body, it hangs below the belly. Second round 13 were close.',
          { frame: 18, weight: 'could' },
        ),
      ],
    },
  ],
};
