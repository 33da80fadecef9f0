import type { Vec3 } from '../geometry/types.ts';
import { FUNCTIONAL_FOOT } from './functional-foot.ts';
import type { BodyPlan } from './plan.ts';
import { ANKLE_FROM_HEEL } from './tables/proportions.ts';

/** Sizes of one foot, metres. */
export interface FootSize {
  readonly length: number;
  readonly breadth: number;
  readonly heelBreadth: number;
  readonly malleolarBreadth: number;
  readonly ankleHeight: number;
  /** Rearmost point of the heel behind the ankle. */
  readonly heelBehind: number;
  /** Joint of the toes ahead of the ankle and above the sole. */
  readonly ballAhead: number;
  readonly ballHeight: number;
  /** From the ball to the toe tip. */
  readonly toeLength: number;
  /** Mass centre ahead of the ankle. */
  readonly centreAhead: number;
}

/** Joint of the toes above the sole, over ankle height (drawn; a metatarsal head is about 0.013 m high in Winter's example). */
const BALL_HEIGHT = 0.3;

/** A foot for a scale in metres a share of stature; `toes` lengthens the toes only, `wide` all breadths. */
export function footSize(plan: BodyPlan, scale: number, toes: number, wide: number): FootSize {
  const plain = plan.footLength * scale;
  const heelBehind = ANKLE_FROM_HEEL * plain;
  const toeLength = (1 - plan.ratios.ballOverFoot) * plain * toes;
  return {
    length: plan.ratios.ballOverFoot * plain + toeLength,
    breadth: plan.footBreadth * scale * wide,
    heelBreadth: plan.ratios.heelBreadth * scale * wide,
    malleolarBreadth: plan.ratios.malleolarBreadth * scale * wide,
    ankleHeight: plan.ankleHeight * scale,
    heelBehind,
    ballAhead: plan.ratios.ballOverFoot * plain - heelBehind,
    ballHeight: BALL_HEIGHT * plan.ankleHeight * scale,
    toeLength,
    centreAhead: plan.footCentre * scale,
  };
}

/**
 * Outline of a sole in shares: sideways from the foot's middle line (0.5 = half of the breadth named),
 * lengthwise from the heel (0) to the ball (1). Drawn by us round two published breadths, the heel's
 * and the ball's (the foot breadth); the sources have no outlines.
 */
const SOLE: readonly (readonly [breadth: 'heel' | 'ball', side: number, along: number])[] = [
  ['heel', -0.27, 0],
  ['heel', 0.27, 0],
  ['heel', 0.44, 0.047],
  ['heel', 0.5, 0.135],
  ['ball', 0.5, 0.81],
  ['ball', 0.5, 1],
  ['ball', -0.5, 1],
  ['ball', -0.5, 0.81],
  ['heel', -0.5, 0.135],
  ['heel', -0.44, 0.047],
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

/** +1 for the left foot, whose outer side is +x; -1 for the right one. */
export type SideSign = 1 | -1;

/** Heel to ball, frame of the foot (origin at the ankle). */
export function soleOutline(foot: FootSize, side: SideSign): readonly Vec3[] {
  const length = foot.heelBehind + foot.ballAhead;
  return SOLE.map(([breadth, across, along]) => [
    side * across * (breadth === 'heel' ? foot.heelBreadth : foot.breadth),
    -foot.ankleHeight,
    along * length - foot.heelBehind,
  ]);
}

/** Ball to tip, frame of the toes (origin at their joint). */
export const toesOutline = (foot: FootSize, side: SideSign): readonly Vec3[] =>
  TOES.map(([medial, along]) => [
    -side * medial * foot.breadth,
    -foot.ballHeight,
    along * foot.toeLength,
  ]);

/** The functional foot scaled to this one, frame of the foot; a published left foot, so mirrored for the right. */
export function functionalOutline(foot: FootSize, side: SideSign): readonly Vec3[] {
  const width = (foot.breadth + foot.malleolarBreadth) / 2;
  return FUNCTIONAL_FOOT.map(([medial, forward]) => [
    -side * medial * width,
    -foot.ankleHeight,
    forward * foot.length,
  ]);
}
