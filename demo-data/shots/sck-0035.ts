import { note, reply } from '../people.ts';
import type { Stance } from '../poses.ts';
import { figure, floor, scene, worn } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.73, mass: 71 } as const;

/** One arm up round a sack on the shoulders. */
const under = (trunk: number): Stance => ({
  body,
  angles: {
    lean: 2,
    trunk,
    head: { flexion: -0.4 * trunk, abduction: -8 },
    thigh: { flexion: 8 },
    shank: { flexion: 10 },
    upperArmL: { flexion: 96, abduction: 30 },
    forearmL: { flexion: 118 },
    upperArmR: { flexion: 10 - trunk, abduction: 16 },
    forearmR: { flexion: 24 },
  },
});

const sacked = (trunk: number, mass: number | null) => ({
  figures: [figure('miller', 'Flour carter', under(trunk))],
  loads: [
    {
      ...worn('sack', 'Sack', 0, [0.56, 0.26, 0.34], under(trunk), 'miller', [0, 0.56, -0.22]),
      mass,
    },
  ],
  surfaces: [floor('Mill yard')],
});

export const unknownSack: DemoShot = {
  code: 'SCK-0035',
  title: 'How heavy is the sack?',
  sequence: 'quay',
  rate: 24,
  frames: [1, 24],
  state: 'in-work',
  drafts: [
    {
      title: 'Trunk 10 forward, nobody knows its mass',
      scene: scene(sacked(10, null)),
      notes: [
        note(
          'nadja',
          { kind: 'load', load: 'sack' },
          'The script says "a sack". What does the pose say?',
          {
            frame: 1,
            weight: 'should',
            replies: [
              reply('tove', 'A range, never a number. Set one from the story, then lean to it.'),
            ],
          },
        ),
      ],
    },
    { title: 'Trunk 24 forward, still unknown', scene: scene(sacked(24, null)) },
    {
      title: 'Trunk 24 forward, 40 kg from the script',
      scene: scene(sacked(24, 40)),
    },
  ],
};
