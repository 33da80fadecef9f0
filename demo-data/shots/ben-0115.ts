import type { StoredKey } from '../../core/document/keys.ts';
import { note, reply } from '../people.ts';
import { poseOf } from '../poses.ts';
import { figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';
import { bench, FEET_BACK, KEY_POSES, type KeyPose, rising } from './ben-0110.ts';

/** He leaves the bench before his line is over his feet: from there on speed has to carry him. */
const POSES: readonly KeyPose[] = [
  ...KEY_POSES.slice(0, 1),
  ...KEY_POSES.slice(2, 3).map((key) => ({ ...key, frame: 9, line: -0.3, arms: 50 })),
  ...KEY_POSES.slice(2).map((key) => ({ ...key, frame: key.frame - 1 })),
];

/**
 * The rise of BEN-0110 keyed in our own editor: its key poses, the feet kept on the deck in between.
 * @param pace frames of the shot for one of the key poses' frames; the first frame stays the first
 */
const keyed = (pace: number): StoredKey[] =>
  POSES.map((key, i) => ({
    id: `rise-${i + 1}`,
    figure: 'ferryman',
    frame: Math.round((key.frame - 1) * pace),
    pose: poseOf(rising(key)),
    // The bench carries until seat-off, the second key.
    contacts: { seat: i === 0 ? 'planted' : 'lifted' },
    ease: i === POSES.length - 2 ? 'eased' : 'linear',
  }));

const [sits] = KEY_POSES;

const seated = scene({
  figures: sits ? [figure('ferryman', 'Ferryman', rising(sits), { seat: 'planted' })] : [],
  surfaces: [floor('Deck'), ...bench(FEET_BACK)],
});

export const ferrymanKeyed: DemoShot = {
  code: 'BEN-0115',
  title: 'The ferryman gets up, in motion',
  sequence: 'house',
  rate: 24,
  frames: [1, 84],
  state: 'for-review',
  drafts: [
    {
      title: 'An old man’s pace',
      scene: seated,
      keys: keyed(2.2),
      notes: [
        note(
          'tove',
          { kind: 'frames', from: 19, to: 20 },
          'At this pace the bench lets go before his speed carries him: he sits back down. Faster, or further over his toes first.',
          {
            frame: 19,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Draft 2 goes at the pace of the poses; speed carries it now.')],
          },
        ),
      ],
    },
    { title: 'Quick enough', scene: seated, keys: keyed(1) },
  ],
};
