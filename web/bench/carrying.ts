import { takeHold } from '../../core/balance/index.ts';
import {
  add,
  fromAxisAngle,
  multiply,
  rotate,
  scale,
  type Vec3,
} from '../../core/geometry/index.ts';
import {
  type Lock,
  type Pose,
  type PoseAngles,
  poseFigure,
  poseFromAngles,
} from '../../core/pose/index.ts';
import { bodyOf, type Figure, facing, type GripEnd, headingTurn } from '../../core/scene/index.ts';
import { gripEntries } from './grip-edit.ts';
import { type Patch, poseEntries } from './movables.ts';

/** Ways one figure carries another. */
export const CARRIES = { back: 'on the back', arms: 'in the arms' } as const;
export type Carry = keyof typeof CARRIES;

const ON_BACK: PoseAngles = {
  thigh: { flexion: 70, abduction: 32 },
  shank: { flexion: 75 },
  upperArm: { flexion: 75, abduction: -8 },
  forearm: { flexion: 60 },
  chest: { flexion: 12 },
};
const IN_ARMS: PoseAngles = {
  thigh: { flexion: 65 },
  shank: { flexion: 75 },
  upperArm: { flexion: 30 },
  forearm: { flexion: 60 },
  abdomen: { flexion: 14 },
  chest: { flexion: 14 },
  head: { flexion: 12 },
};
const STOOP: PoseAngles = { trunk: 16 };
const LEAN_BACK: PoseAngles = { trunk: -6 };

/** What stays while the arms reach round the other body. */
const STILL: readonly Lock[] = [
  ...(['hips-place', 'hips-turn', 'abdomen', 'chest', 'head'] as const),
  ...(['thighL', 'thighR', 'shankL', 'shankR', 'footL', 'footR'] as const),
];

/** Lying across the carrier's arms: the carried one's up is the carrier's left, its front is up. */
const ACROSS = fromAxisAngle(
  [1, 1, 1].map((c) => c / Math.sqrt(3)) as unknown as Vec3,
  (-2 * Math.PI) / 3,
);

/**
 * The entries that put one figure on another's back or into its arms: both poses, and the grips that
 * carry the weight (hands under the thighs and chest to chest; hands under chest and thighs). Sizes are
 * those of the two bodies; a start to pose on from.
 */
export function carryEntries(carrier: Figure, carried: Figure, how: Carry): Patch {
  const below = bodyOf(carrier.body);
  const above = bodyOf(carried.body);
  const { position, rotation } = carrier.pose;
  const heading = headingTurn(facing(rotation));
  const stood = poseFromAngles(how === 'back' ? STOOP : LEAN_BACK, below);
  let pose: Pose = {
    position: [position[0], stood.position[1], position[2]],
    rotation: multiply(heading, stood.rotation),
    joints: stood.joints,
  };
  const chest = poseFigure(below, pose).segments.chest;
  const [angles, turn] =
    how === 'back'
      ? ([ON_BACK, chest.rotation] as const)
      : ([IN_ARMS, multiply(heading, ACROSS)] as const);
  const loose: Pose = { ...poseFromAngles(angles), rotation: turn };
  const middle = poseFigure(above, loose);
  const depth = (body: typeof below): number => -(body.patches.back.outline[0]?.[2] ?? -0.1);
  const room = depth(below) + depth(above) + above.segments.abdomen.girth[0] * 0.3;
  // Back: hips level with the carrier's waist, right behind it. Arms: the mass centre before the chest.
  const place: Vec3 =
    how === 'back'
      ? add(
          chest.position,
          rotate(chest.rotation, [0, -below.segments.abdomen.end[1] * 0.9, -room]),
        )
      : add(
          add(chest.position, rotate(heading, [0, below.segments.chest.end[1] * 0.1, room + 0.06])),
          scale(middle.centre, -1),
        );
  const lying: Pose = { ...loose, position: place };
  const held = poseFigure(above, lying).segments;
  const under = (segment: 'thighL' | 'thighR' | 'chest', share: number): Vec3 => {
    const { end, girth } = above.segments[segment];
    const at = add(held[segment].position, rotate(held[segment].rotation, scale(end, share)));
    return [at[0], at[1] - girth[0] * 0.9, at[2]];
  };
  const targets =
    how === 'back'
      ? ({ handL: under('thighL', 0.55), handR: under('thighR', 0.55) } as const)
      : ({ handL: under('chest', 0.6), handR: under('thighR', 0.6) } as const);
  for (const part of ['handL', 'handR'] as const) {
    const alone = { figures: [{ ...carrier, pose }], loads: [], surfaces: [], grips: [] };
    const reaching = takeHold(
      alone,
      { kind: 'part', figure: carrier.id, part },
      {
        locks: { [carrier.id]: STILL },
      },
    );
    pose = reaching?.to(targets[part]).changes.poses[carrier.id] ?? pose;
  }
  const end = (
    figure: Figure,
    segment: Extract<GripEnd, { kind: 'figure' }>['segment'],
  ): GripEnd => ({
    kind: 'figure',
    figure: figure.id,
    segment,
  });
  const pairs =
    how === 'back'
      ? ([
          ['handL', 'thighL'],
          ['handR', 'thighR'],
          ['chest', 'chest'],
        ] as const)
      : ([
          ['handL', 'chest'],
          ['handR', 'thighR'],
          ['forearmR', 'thighL'],
        ] as const);
  return {
    ...poseEntries(carrier.id, carrier.pose, pose),
    ...poseEntries(carried.id, carried.pose, lying),
    ...Object.assign({}, ...pairs.map(([a, b]) => gripEntries(end(carrier, a), end(carried, b)))),
  };
}
