import { note, reply } from '../people.ts';
import type { Stance } from '../poses.ts';
import { figure, floor, scene, worn } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;

/** Hands on the straps, eyes on the way: the head is held up against the lean. */
const stance = (trunk: number): Stance => ({
  body,
  angles: {
    lean: 3,
    trunk,
    head: { flexion: -0.6 * trunk },
    upperArm: { flexion: 15, abduction: 14 },
    forearm: { flexion: 132, rotation: 10 },
    hand: { flexion: 30 },
  },
});

const carrying = (trunk: number, mass = 34) => {
  const porter = stance(trunk);
  const size = [0.4, 0.62, 0.24] as const;
  return scene({
    figures: [figure('porter', 'Salt porter', porter)],
    loads: [worn('salt', 'Frame pack of salt', mass, size, porter, 'porter', [0, 0.36, -0.28])],
    surfaces: [floor()],
  });
};

export const saltPorter: DemoShot = {
  code: 'SLT-0040',
  title: 'The salt porter',
  sequence: 'quay',
  rate: 24,
  frames: [1, 29],
  state: 'signed-off',
  drafts: [
    {
      title: 'Upright under the pack',
      scene: carrying(0),
      notes: [
        note(
          'tove',
          { kind: 'load', load: 'salt' },
          'At 34 kg she goes off her heels. Tip the trunk to about 20.',
          {
            frame: 1,
            weight: 'must',
            state: 'settled',
            replies: [reply('bram', 'Tipped in drafts 2 and 3.')],
          },
        ),
      ],
    },
    {
      title: 'Trunk 6 forward',
      scene: carrying(6),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'porter' },
          'Line sits on the heels: she could not stop a breath of wind. More lean.',
          { frame: 1, weight: 'must', state: 'settled' },
        ),
      ],
    },
    {
      title: 'Trunk 18 forward',
      scene: carrying(18),
      notes: [
        note('bram', { kind: 'load', load: 'salt' }, '18 feels right to me. Why 21?', {
          frame: 1,
          weight: 'could',
          state: 'answered',
          replies: [
            reply('tove', '26 kg in the eye, 34 in the script. Lean more or shorten the steps.'),
            reply('bram', 'Pack was 30 until the turnover; it is 34 now. Short steps then.'),
          ],
        }),
        note('tove', { kind: 'shot' }, 'Signed off. Three degrees more could be better.', {
          weight: 'could',
          state: 'settled',
        }),
      ],
    },
    { title: 'Trunk 25, to compare', scene: carrying(25) },
  ],
};
