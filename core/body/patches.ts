import type { Vec3 } from '../geometry/types.ts';
import { FUNCTIONAL_FOOT } from './functional-foot.ts';
import type { BodyPlan } from './plan.ts';
import { ANKLE_FROM_HEEL } from './tables/proportions.ts';
import type { Patch, PatchName } from './types.ts';

/** Sizes of one foot, metres. */
export interface FootSize {
  readonly length: number;
  readonly breadth: number;
  readonly heelBreadth: number;
  readonly malleolarBreadth: number;
  readonly ankleHeight: number;
  /** Joint of the toes ahead of the ankle and above the sole. */
  readonly ballAhead: number;
  readonly ballHeight: number;
}

/** How far the rest of the patches reach, metres: each by what it rests on. */
export interface PatchSizes {
  readonly left: FootSize;
  readonly right: FootSize;
  readonly stature: number;
  readonly handScale: number;
  /** Seat below the hip joints. */
  readonly seatDrop: number;
  readonly chestLength: number;
  readonly chestDepth: number;
  readonly forearmLength: number;
  readonly forearmGirth: number;
  readonly kneeGirth: number;
}

/**
 * Outline of a sole in shares: sideways from the foot's middle line (0.5 = half of the breadth named),
 * lengthwise from the heel (0) to the toe tip (1). Drawn by us round three published breadths: heel,
 * ball (the foot breadth) and the tip of the second toe; King's and de Leva's data have no outlines.
 */
const SOLE: readonly (readonly [half: 'heel' | 'ball', side: number, along: number])[] = [
  ['heel', -0.27, 0],
  ['heel', 0.27, 0],
  ['heel', 0.44, 0.035],
  ['heel', 0.5, 0.1],
  ['ball', 0.5, 0.6],
  ['ball', 0.5, -1],
  ['ball', -0.5, -1],
  ['ball', -0.5, 0.6],
  ['heel', -0.5, 0.1],
  ['heel', -0.44, 0.035],
];

/** From the ball to the tip: [side / foot breadth (positive: towards the body's middle), along from the ball to the tip]. */
const TOES: readonly (readonly [medial: number, along: number])[] = [
  [-0.5, 0],
  [0.5, 0],
  [0.47, 0.55],
  [0.33, 0.9],
  [0.14, 1],
  [-0.02, 1],
  [-0.3, 0.78],
  [-0.46, 0.45],
];

/**
 * The areas of a body that can carry weight, each a convex outline in its segment's frame. Feet and
 * palms as measured; knees, forearms, seat and back are simple shapes of ours on measured breadths.
 *
 * sole: heel to ball, frame of the foot (origin at the ankle). toes: ball to tip, frame of the toes.
 * palm: faces the thigh at rest. knee: front of the shank's top. forearm: its little-finger side,
 * which faces back at rest and down once the elbow is bent. seat: under the pelvis. back: behind the chest.
 */
export function buildPatches(plan: BodyPlan, s: PatchSizes): Readonly<Record<PatchName, Patch>> {
  const patch = (
    name: PatchName,
    segment: Patch['segment'],
    normal: Vec3,
    outline: readonly Vec3[],
    functional: readonly Vec3[] | null = null,
  ): Patch => ({ name, segment, normal, outline, functional });
  const H = s.stature;
  const palmLength = plan.ratios.palmLength * H * s.handScale;
  const palmHalf = (plan.ratios.handBreadth * H * s.handScale) / 2;
  const palm = (side: 1 | -1): readonly Vec3[] => {
    const x = -side * PALM_DEPTH * H * s.handScale;
    return rectangle((a, b) => [x, -palmLength * (a + 0.5), palmHalf * 2 * b]);
  };
  const knee = rectangle((a, b) => [0.05 * H * a, -0.075 * H * (b + 0.5), s.kneeGirth]);
  const forearm = rectangle((a, b) => [
    0.03 * H * a,
    -s.forearmLength * (b + 0.5),
    -s.forearmGirth,
  ]);
  const seat = rectangle((a, b) => [
    0.85 * plan.ratios.hipBreadth * H * a,
    -s.seatDrop,
    0.12 * H * b,
  ]);
  const back = rectangle((a, b) => [
    0.8 * plan.ratios.chestBreadth * H * a,
    s.chestLength * (0.45 + 0.7 * b),
    -s.chestDepth / 2,
  ]);
  return {
    soleL: patch('soleL', 'footL', DOWN, sole(s.left, 1), functional(s.left, 1)),
    toesL: patch('toesL', 'toesL', DOWN, toes(s.left, 1)),
    soleR: patch('soleR', 'footR', DOWN, sole(s.right, -1), functional(s.right, -1)),
    toesR: patch('toesR', 'toesR', DOWN, toes(s.right, -1)),
    palmL: patch('palmL', 'handL', [-1, 0, 0], palm(1)),
    palmR: patch('palmR', 'handR', [1, 0, 0], palm(-1)),
    kneeL: patch('kneeL', 'shankL', [0, 0, 1], knee),
    kneeR: patch('kneeR', 'shankR', [0, 0, 1], knee),
    forearmL: patch('forearmL', 'forearmL', [0, 0, -1], forearm),
    forearmR: patch('forearmR', 'forearmR', [0, 0, -1], forearm),
    seat: patch('seat', 'pelvis', DOWN, seat),
    back: patch('back', 'chest', [0, 0, -1], back),
  };
}

const DOWN: Vec3 = [0, -1, 0];

/** Half the thickness of a hand over stature (drawn, no source). */
const PALM_DEPTH = 0.008;

/** Four corners in order, for a and b of ±0.5. */
const rectangle = (at: (a: number, b: number) => Vec3): readonly Vec3[] => [
  at(-0.5, -0.5),
  at(0.5, -0.5),
  at(0.5, 0.5),
  at(-0.5, 0.5),
];

// `side` is +1 for the left foot, whose outer side is +x.
function sole(foot: FootSize, side: 1 | -1): readonly Vec3[] {
  const ball = foot.ballAhead;
  return SOLE.map(([half, across, along]) => [
    side * across * (half === 'heel' ? foot.heelBreadth : foot.breadth),
    -foot.ankleHeight,
    along < 0 ? ball : (along - ANKLE_FROM_HEEL) * foot.length,
  ]);
}

function toes(foot: FootSize, side: 1 | -1): readonly Vec3[] {
  const length = (1 - ANKLE_FROM_HEEL) * foot.length - foot.ballAhead;
  return TOES.map(([medial, along]) => [
    -side * medial * foot.breadth,
    -foot.ballHeight,
    along * length,
  ]);
}

function functional(foot: FootSize, side: 1 | -1): readonly Vec3[] {
  const width = (foot.breadth + foot.malleolarBreadth) / 2;
  return FUNCTIONAL_FOOT.map(([medial, forward]) => [
    -side * medial * width,
    -foot.ankleHeight,
    forward * foot.length,
  ]);
}
