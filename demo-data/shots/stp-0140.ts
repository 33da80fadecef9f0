import type { Figure, Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { type Stance, settle, type Wish } from '../poses.ts';
import { block, figure, floor, palmAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.63, mass: 57 } as const;
const RISE = 0.34;

/** Left foot on the landing, right foot on its way down before her. */
const bent: Stance = {
  body,
  angles: {
    lean: 13,
    trunk: 12,
    head: { flexion: 18 },
    thighL: { flexion: 30, abduction: 3 },
    shankL: { flexion: 46 },
    thighR: { flexion: 42 },
    shankR: { flexion: 16 },
    footR: { flexion: -22 },
    upperArmL: { flexion: 8, abduction: 14 },
    forearmL: { flexion: 20 },
    upperArmR: { flexion: 36, abduction: 16 },
    forearmR: { flexion: 34 },
    handR: { flexion: -30 },
  },
  level: ['L'],
  anchor: 'L',
  at: [0.02, RISE, 0],
};

/** Over the standing foot to the side; ahead of it all the same. */
const overFoot: Wish = (posed) => [posed.centre[0] - posed.segments.footL.position[0]];
const stepping = settle(bent, [['thighL', 'abduction']], overFoot);

const [handX, handY, handZ] = palmAt(stepping, 'R');

const down = (hand: 'planted' | 'lifted', stance = stepping): Scene => {
  const contacts: Figure['contacts'] = { palmR: hand, forearmR: 'lifted' };
  return scene({
    figures: [figure('ropegirl', 'Rope maker', stance, contacts)],
    surfaces: [
      floor('Wharf'),
      block('landing', 'Landing', 'step', [0, RISE, -0.42], [1.1, RISE, 1.1]),
      block('tread', 'Middle tread', 'step', [0, RISE / 2, 0.27], [1.1, RISE / 2, 0.28]),
      block('rail', 'Hand rail', 'rail', [handX, handY, handZ + 0.1], [0.05, 0.05, 0.5]),
      block(
        'post',
        'Rail post',
        'box',
        [handX, handY - 0.05, handZ + 0.3],
        [0.06, handY - 0.05, 0.06],
      ),
    ],
  });
};

export const wharfStair: DemoShot = {
  code: 'STP-0140',
  title: 'Down the wharf stair',
  sequence: 'house',
  rate: 24,
  frames: [1, 32],
  state: 'in-work',
  drafts: [
    {
      title: 'One foot in the air, no hand',
      scene: down('lifted'),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'ropegirl' },
          'She steps off before the knee has let her down: she is falling from f 10 on.',
          {
            frame: 10,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Right hand on the rail in draft 2.')],
          },
        ),
      ],
    },
    {
      title: 'Right hand on the rail',
      scene: down('planted'),
      notes: [
        note(
          'nadja',
          { kind: 'contact', contact: 'ropegirl/palmR' },
          'A rail takes a push as well as a rest. Let the fingers close on it.',
          { frame: 10, weight: 'could' },
        ),
      ],
    },
  ],
};
