import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { armOf, legOf, placed, type Stance, settle, type Unknown, type Wish } from '../poses.ts';
import { block, figure, floor, heldAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.74, mass: 67 } as const;
const FOOT = buildBody(body).footLength;
const TOP = 0.5;
const BEAM = block('beam', 'Mooring beam', 'beam', [0, TOP, 0], [0.095, 0.14, 3]);
const WIRE = block('wire', 'Line between the boats', 'beam', [0, TOP, 0], [0.02, 0.02, 3]);
const sole = -(buildBody(body).patches.soleL.outline[0] as Vec3)[1];

/** Both ankles at a place on the beam; the soles are turned level. */
const feetAt = (left: readonly [number, number], right: readonly [number, number]): Wish[] => [
  placed('footL', [0, 0, 0], [left[0], TOP + sole, left[1]]),
  placed('footR', [0, 0, 0], [right[0], TOP + sole, right[1]]),
];

interface Walk {
  readonly left: readonly [x: number, z: number];
  readonly right: readonly [x: number, z: number];
  readonly bag?: boolean;
  /** Where the hips are to the side, metres. */
  readonly hips?: number;
}

/** Arms out; with the bag in the left hand, 30 cm from the middle. */
function walking(
  { left, right, bag = false, hips = 0 }: Walk,
  on: Scene['surfaces'][number],
): Scene {
  const bagCentre: Vec3 = [0.3, TOP + 0.7, 0.02];
  const legs: Unknown[] = [...legOf('L'), ...legOf('R')];
  const start: Stance = {
    body,
    angles: {
      thighL: { flexion: 8 + 60 * left[1], abduction: -4 },
      thighR: { flexion: 8 + 60 * right[1], abduction: -4 },
      shank: { flexion: 16 },
      head: { flexion: 8 },
      upperArm: { abduction: 74, flexion: 8 },
      forearm: { flexion: 12 },
    },
    at: [(left[0] + right[0]) / 2, TOP, (left[1] + right[1]) / 2],
  };
  const hipsOver: Wish = (posed) => [posed.segments.pelvis.position[0] - hips];
  const free = settle(start, legs, ...feetAt(left, right), hipsOver);
  const stance = bag
    ? settle(carry(free), armOf('L'), placed('handL', [0, -0.058, 0], [0.3, TOP + 0.85, 0.02]))
    : free;
  return scene({
    figures: [figure('walker', 'Line walker', stance)],
    loads: bag
      ? [
          heldAt(
            'bag',
            'Bag of nails',
            6,
            { kind: 'box', size: [0.1, 0.24, 0.2] },
            stance,
            'walker',
            'left',
            bagCentre,
          ),
        ]
      : [],
    surfaces: [floor('Water, low'), on],
  });
}

const carry = (stance: Stance): Stance => ({
  ...stance,
  angles: {
    ...stance.angles,
    upperArm: { abduction: 14, flexion: 4 },
    forearmL: { flexion: 12 },
  },
});

/** Heel to toe, the right foot before the left. */
const tandem = { left: [0, -FOOT / 2], right: [0, FOOT / 2] } as const;
const together = { left: [0.046, 0], right: [-0.046, 0] } as const;

export const lineWalker: DemoShot = {
  code: 'LIN-0090',
  title: 'The line walker',
  sequence: 'fair',
  rate: 24,
  frames: [1, 80],
  state: 'in-work',
  drafts: [
    {
      title: 'On the beam, feet side by side',
      scene: walking(together, BEAM),
      notes: [
        note(
          'tove',
          { kind: 'contact', contact: 'walker/soleR' },
          'Heel to toe, or the wire is a plank.',
          { frame: 5, weight: 'must', state: 'answered', replies: [reply('lio', 'Draft 2.')] },
        ),
      ],
    },
    { title: 'Heel to toe', scene: walking(tandem, BEAM) },
    {
      title: 'With the bag, on the beam',
      scene: walking({ ...tandem, bag: true }, BEAM),
      notes: [
        note(
          'nadja',
          { kind: 'load', load: 'bag' },
          'Bag is unpaid: the line goes 2.5 cm to it and nothing in him answers.',
          { frame: 24 },
        ),
      ],
    },
    {
      title: 'The same on the wire',
      scene: walking({ ...tandem, bag: true }, WIRE),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'walker' },
          'On the wire there is 1 cm. He is off it. Hips the other way.',
          {
            frame: 24,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Draft 5, 2.5 cm.')],
          },
        ),
        note(
          'pell',
          { kind: 'shot' },
          'From the side this cannot be told at all. Judge it from the front.',
          { frame: 24, weight: 'could', state: 'settled' },
        ),
      ],
    },
    {
      title: 'Hips pay for the bag',
      scene: walking({ ...tandem, bag: true, hips: -0.025 }, WIRE),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'walker', segment: 'handR' },
          'Would a pole make it stand?',
          {
            frame: 24,
            weight: 'could',
            replies: [reply('nadja', 'Slower, and lower if the ends droop. It is not magic.')],
          },
        ),
      ],
    },
  ],
};
