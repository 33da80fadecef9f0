import type { Figure, Scene, Surface } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import type { Stance } from '../poses.ts';
import { block, figure, floor, palmAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';
import { bench, FEET_BACK, type KeyPose, rising, SEAT } from './ben-0110.ts';

/** Hands beside the hips, elbows bent: the moment when the seat is left. */
const onHands = (key: Pick<KeyPose, 'trunk' | 'line' | 'hip' | 'shank'>): Stance => {
  const stance = rising({ frame: 14, arms: 8, ...key });
  const { trunk = 0 } = stance.angles;
  return {
    ...stance,
    angles: {
      ...stance.angles,
      upperArm: { flexion: 2 - trunk, abduction: 14 },
      forearm: { flexion: 68 },
      hand: { flexion: -50 },
    },
  };
};

/** Thickness of the arms, metres. */
const THICK = 0.05;

/** The arms of the chair lie under the palms of this stance, each on a post that stands on the seat. */
const arms = (stance: Stance): Surface[] =>
  (['L', 'R'] as const).flatMap((side) => {
    const [x, y, z] = palmAt(stance, side);
    const arm = `${side === 'L' ? 'Left' : 'Right'} arm of the chair`;
    const post = `Post of the ${side === 'L' ? 'left' : 'right'} arm`;
    return [
      block(`arm${side}`, arm, 'rail', [x, y, z - 0.12], [0.06, THICK, 0.4]),
      block(`post${side}`, post, 'box', [x, y - THICK, z - 0.05], [0.05, y - THICK - SEAT, 0.05]),
    ];
  });

const SEAT_OFF = onHands({ trunk: 32, hip: 0.6, shank: 6 });

const rises = (stance: Stance, hands: 'planted' | 'lifted'): Scene => {
  const contacts: Figure['contacts'] = {
    seat: 'lifted',
    ...{ palmL: hands, palmR: hands, forearmL: 'lifted', forearmR: 'lifted' },
  };
  return scene({
    figures: [figure('father', 'Old ferryman', stance, contacts)],
    surfaces: [floor('Deck'), ...bench(FEET_BACK), ...arms(SEAT_OFF)],
  });
};

export const chairArms: DemoShot = {
  code: 'ARM-0120',
  title: 'The old ferryman uses the arms',
  sequence: 'house',
  rate: 24,
  frames: [1, 40],
  state: 'for-review',
  drafts: [
    {
      title: 'Off the seat, hands on the arms',
      scene: rises(SEAT_OFF, 'planted'),
      notes: [
        note(
          'nadja',
          { kind: 'contact', contact: 'father/palmL' },
          'The hands carry him here, so let the shoulders show it: up and forward, elbows loaded.',
          { frame: 14, weight: 'should' },
        ),
      ],
    },
    {
      title: 'The same, hands let go too soon',
      scene: rises(SEAT_OFF, 'lifted'),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'father' },
          'Hands leave 4 frames too early: his line is still behind his heels, and he drops back.',
          {
            frame: 16,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Draft 3: nose over toes, then the hands.')],
          },
        ),
      ],
    },
    {
      title: 'Line over the feet, then the hands go',
      scene: rises(onHands({ line: 0.26, hip: 0.63, shank: FEET_BACK }), 'lifted'),
    },
  ],
};
