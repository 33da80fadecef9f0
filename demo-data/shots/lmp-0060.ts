import { mirrorPose } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { type Stance, settle, type Wish } from '../poses.ts';
import { block, figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.6, mass: 52 } as const;
const POST_TOP = 0.45;

/** The middle of the hips is this far to the left of the right ankle that carries her, metres. */
const hipsAt =
  (offset: number): Wish =>
  (posed) => [posed.segments.pelvis.position[0] - posed.segments.footR.position[0] - offset];

/** On the right foot, right hand up at the lamp. */
function onThePost(angles: Stance['angles'], hips: number, roll = 0): Scene {
  const stance = settle(
    {
      body,
      angles: {
        lean: 2.2,
        head: { flexion: -12, rotation: -10 },
        upperArmR: { flexion: 150, abduction: 8 },
        forearmR: { flexion: 25 },
        upperArmL: { flexion: 5, abduction: 12 },
        forearmL: { flexion: 20 },
        ...angles,
      },
      level: ['R'],
      anchor: 'R',
      at: [0, POST_TOP, 0],
      roll,
    },
    [['thighR', 'abduction']],
    hipsAt(hips),
  );
  return scene({
    figures: [figure('lamplighter', 'Lamplighter', stance)],
    surfaces: [
      floor(),
      block('post', 'Mooring post', 'box', [0, POST_TOP, 0.06], [0.22, POST_TOP, 0.28]),
    ],
  });
}

const lifted: Stance['angles'] = {
  thighL: { flexion: 50, abduction: 2 },
  shankL: { flexion: 75 },
  footL: { flexion: -15 },
};

const open: Stance['angles'] = {
  thighL: { abduction: 30 },
  shankL: { flexion: 4 },
  footL: { flexion: -25 },
};

const shifted = onThePost({ ...lifted, thighL: { flexion: 50, abduction: -8 } }, 0.021, 4);

/** The same scene seen in a mirror: sides swapped, numbers equal. */
const mirrored: Scene = {
  ...shifted,
  figures: shifted.figures.map((one) => {
    const { position, ...pose } = mirrorPose(one.pose);
    return { ...one, pose: { ...pose, position: [-position[0], position[1], position[2]] } };
  }),
};

export const lamplighter: DemoShot = {
  code: 'LMP-0060',
  title: 'The lamplighter on the mooring post',
  sequence: 'quay',
  rate: 24,
  frames: [1, 60],
  state: 'for-review',
  drafts: [
    {
      title: 'Leg lifted, hips where they were',
      scene: onThePost(lifted, 0.083),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'lamplighter', segment: 'pelvis' },
          'Weight is on the right, but the hips say both. Slide the pelvis over the right arch, 3-4 frames before the lift.',
          {
            frame: 14,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Shift first: draft 3.')],
          },
        ),
      ],
    },
    {
      title: 'Leg out to the side',
      scene: onThePost(open, 0.083),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'lamplighter', segment: 'shankL' },
          'I like this one better, it looks open.',
          {
            frame: 20,
            weight: 'could',
            state: 'settled',
            replies: [
              reply('tove', 'Open, and further out: the leg takes the line with it. See the plan.'),
              reply('pell', 'Seen. The leg alone does not pay.'),
            ],
          },
        ),
      ],
    },
    {
      title: 'Hips shifted 6 cm, trunk with them',
      scene: shifted,
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'lamplighter' },
          'Holds for 30 frames dead still. Give it a moving hold, 1 cm of drift.',
          { frame: 30 },
        ),
      ],
    },
    { title: 'Mirrored for the reverse angle', scene: mirrored },
  ],
};
