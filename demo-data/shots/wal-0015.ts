import { buildBody } from '../../core/body/index.ts';
import type { Figure, Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { type Stance, worldPoint } from '../poses.ts';
import { block, figure, floor, palmAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.77, mass: 79 } as const;

/** One straight line from the heels, palms flat before the chest. */
const pushing: Stance = {
  body,
  angles: {
    lean: 24,
    trunk: 26,
    head: { flexion: -12 },
    upperArm: { flexion: 66, abduction: 4 },
    forearm: { flexion: 30 },
    hand: { flexion: -60 },
  },
};
const palm = palmAt(pushing, 'L');

/** A boarded gate whose near face is at z. */
const gate = (z: number) =>
  block('gate', 'Stuck gate', 'wall', [0, 2.1, z + 0.05], [2.2, 2.1, 0.1]);

const pushes = (hands: 'planted' | 'lifted'): Scene => {
  const contacts: Figure['contacts'] = {
    ...{ palmL: hands, palmR: hands, forearmL: 'lifted', forearmR: 'lifted' },
  };
  return scene({
    figures: [figure('gatekeeper', 'Gate keeper', pushing, contacts)],
    surfaces: [floor('Cobbles'), gate(palm[2])],
  });
};

/** Turned round: feet before him, back on the boards. */
const resting: Stance = {
  body,
  angles: {
    lean: -14,
    trunk: -9,
    head: { flexion: 12 },
    upperArm: { flexion: -4, abduction: 10 },
    forearm: { flexion: 18 },
  },
  turn: 180,
};

const rests = (): Scene => {
  const { outline } = buildBody(body).patches.back;
  const near = Math.max(...outline.map((p) => worldPoint(resting, 'chest', p)[2]));
  return scene({
    figures: [
      figure('gatekeeper', 'Gate keeper', resting, {
        back: 'planted',
        ...{ palmL: 'lifted', palmR: 'lifted', seat: 'lifted' },
      }),
    ],
    surfaces: [floor('Cobbles'), gate(near)],
  });
};

export const stuckGate: DemoShot = {
  code: 'WAL-0015',
  title: 'The stuck gate',
  sequence: 'cliff',
  rate: 24,
  frames: [1, 60],
  state: 'for-review',
  drafts: [
    {
      title: 'Pushes, palms on the boards',
      scene: pushes('planted'),
      notes: [
        note(
          'nadja',
          { kind: 'contact', contact: 'gatekeeper/soleR' },
          'What he pushes with is under his shoes: show the heels dig in.',
          { frame: 18, weight: 'should' },
        ),
      ],
    },
    {
      title: 'The gate gives way',
      scene: pushes('lifted'),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'gatekeeper' },
          'Without the boards he is far past his toes. He needs a foot out in 8 frames, or his face.',
          { frame: 40, weight: 'must', replies: [reply('bram', 'Face. It is that kind of show.')] },
        ),
      ],
    },
    { title: 'Turns round and leans his back on it', scene: rests() },
  ],
};
