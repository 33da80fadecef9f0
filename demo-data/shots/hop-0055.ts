import { type BodySpec, buildBody, freshExtra, turnTowards } from '../../core/body/index.ts';
import { conjugate, IDENTITY, rotate, subtract, type Vec3 } from '../../core/geometry/index.ts';
import { poseFigure } from '../../core/pose/index.ts';
import type { ContactSetting } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { poseOf, type Stance } from '../poses.ts';
import { figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

/** Reed hopper: an invented creature of the marsh, all head and tail on short legs. */
const CREATURE: BodySpec = {
  table: 'deleva-female',
  stature: 1.1,
  mass: 34,
  overrides: {
    head: { length: 1.35, girth: 1.5, mass: 2 },
    thighL: { length: 0.72 },
    thighR: { length: 0.72 },
    shankL: { length: 0.72 },
    shankR: { length: 0.72 },
  },
  extras: { tail: { ...freshExtra('tail'), length: 0.6, girth: 0.055, mass: 0.12 } },
};

/** The creature in a stance with the tip of its tail towards a place of the world; the tail is straight. */
function withTail(stance: Stance, tip: (root: Vec3, long: number) => Vec3): Stance {
  const body = buildBody(stance.body);
  const [tail] = body.extras;
  if (tail === undefined) return stance;
  const { position, rotation } = poseFigure(body, poseOf(stance)).segments[tail.parent];
  const local = tail.links[0]!.at.position;
  const out = rotate(rotation, local);
  const root: Vec3 = [position[0] + out[0], position[1] + out[1], position[2] + out[2]];
  const long = tail.links.reduce((sum, { length }) => sum + length, 0);
  const target = rotate(conjugate(rotation), subtract(tip(root, long), position));
  const turn = turnTowards(tail, IDENTITY, target);
  const spec = stance.body.extras!.tail!;
  return { ...stance, body: { ...stance.body, extras: { tail: { ...spec, turn } } } };
}

/** Half the thickness of the tip: as high as its middle lies over the floor. */
const TIP = 0.012;
/** Where a tail that is let down meets the floor behind its root. */
const onFloor = ([x, y, z]: Vec3, long: number): Vec3 => [
  x,
  TIP,
  z - Math.sqrt(Math.max(0, long ** 2 - (y - TIP) ** 2)),
];
const straightOut = ([x, y, z]: Vec3, long: number): Vec3 => [x, y + long * 0.1, z - long];

const stance = (lean: number, trunk: number, head: number): Stance => ({
  body: CREATURE,
  angles: {
    lean,
    trunk,
    head: { flexion: head },
    upperArm: { flexion: 20, abduction: 22 },
    forearm: { flexion: 40 },
    thigh: { abduction: 8 },
  },
  turnOut: 18,
});

const hopper = (of: Stance, tailTip: ContactSetting) =>
  scene({
    figures: [figure('hopper', 'Reed hopper', of, { tailTip, seat: 'lifted', back: 'lifted' })],
    surfaces: [floor('Fair ground')],
  });

export const reedHopper: DemoShot = {
  code: 'HOP-0055',
  title: 'The reed hopper looks up',
  sequence: 'fair',
  rate: 24,
  frames: [1, 48],
  state: 'for-review',
  drafts: [
    {
      title: 'Back to see the banner, tail held out',
      scene: hopper(withTail(stance(-9, -14, -12), straightOut), 'lifted'),
      notes: [
        note(
          'nadja',
          { kind: 'plumb', figure: 'hopper' },
          'That head goes back and takes the line behind the heels. It has a tail: let it sit on it.',
          {
            frame: 20,
            weight: 'must',
            state: 'answered',
            replies: [
              reply(
                'bram',
                'Draft 2 puts the tip down. Three legs, and it may look as long as it likes.',
              ),
            ],
          },
        ),
      ],
    },
    {
      title: 'Tail down, a third leg',
      scene: hopper(withTail(stance(-9, -14, -12), onFloor), 'planted'),
    },
    {
      title: 'Bowing, tail out against the head',
      scene: hopper(withTail(stance(-5, 48, 8), straightOut), 'lifted'),
      notes: [
        note(
          'pell',
          { kind: 'segment', figure: 'hopper', segment: 'head' },
          'Good: the tail weighs against the head. Without it the line would be five centimetres nearer to the toes.',
          { frame: 40, weight: 'could' },
        ),
      ],
    },
  ],
};
