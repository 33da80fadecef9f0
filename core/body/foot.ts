import { convexHull } from '../geometry/hull.ts';
import type { Vec3 } from '../geometry/types.ts';
import { FUNCTIONAL_FOOT } from './functional-foot.ts';
import type { BodyPlan } from './plan.ts';
import { ANKLE_FROM_HEEL } from './tables/proportions.ts';
import type { FootForm } from './types.ts';

/** Sizes of one foot, metres. */
export interface FootSize {
  readonly form: FootForm;
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

/**
 * Outline of a sole in shares: sideways from the foot's middle line (0.5 = half of the breadth named),
 * lengthwise from the heel (0) to the ball (1). Drawn by us round two published breadths, the heel's
 * and the ball's (the foot breadth); the sources have no outlines.
 */
type Sole = readonly (readonly [breadth: 'heel' | 'ball', side: number, along: number])[];
/** From the ball to the tip: [side / foot breadth (positive: towards the body's middle), along from the ball to the tip]. */
type Toes = readonly (readonly [medial: number, along: number])[];

interface Form {
  /** Over a foot's. */
  readonly length: number;
  readonly breadth: number;
  readonly heelBreadth: number;
  /** Ankle joint ahead of the rearmost point, over the length. */
  readonly ankle: number;
  readonly sole: Sole;
  readonly toes: Toes;
}

/** A person's foot, and two of ours without source: a broad paw, and a round hoof under the ankle. */
const FORMS: Readonly<Record<FootForm, Form>> = {
  foot: {
    length: 1,
    breadth: 1,
    heelBreadth: 1,
    ankle: ANKLE_FROM_HEEL,
    sole: [
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
    ],
    toes: [
      [-0.5, 0],
      [0.5, 0],
      [0.47, 0.55],
      [0.33, 0.9],
      [0.14, 1],
      [-0.02, 1],
      [-0.3, 0.78],
      [-0.46, 0.45],
    ],
  },
  paw: {
    length: 0.85,
    breadth: 1.55,
    heelBreadth: 1.35,
    ankle: 0.27,
    sole: [
      ['heel', -0.25, 0],
      ['heel', 0.25, 0],
      ['heel', 0.43, 0.06],
      ['heel', 0.5, 0.18],
      ['ball', 0.5, 0.8],
      ['ball', 0.5, 1],
      ['ball', -0.5, 1],
      ['ball', -0.5, 0.8],
      ['heel', -0.5, 0.18],
      ['heel', -0.43, 0.06],
    ],
    toes: [
      [-0.5, 0],
      [0.5, 0],
      [0.48, 0.5],
      [0.34, 0.88],
      [0.12, 1],
      [-0.12, 1],
      [-0.34, 0.88],
      [-0.48, 0.5],
    ],
  },
  hoof: {
    length: 0.5,
    breadth: 1.25,
    heelBreadth: 1.5,
    ankle: 0.42,
    sole: [
      ['heel', -0.4, 0],
      ['heel', 0.4, 0],
      ['ball', 0.46, 0.2],
      ['ball', 0.5, 0.5],
      ['ball', 0.5, 1],
      ['ball', -0.5, 1],
      ['ball', -0.5, 0.5],
      ['ball', -0.46, 0.2],
    ],
    toes: [
      [-0.5, 0],
      [0.5, 0],
      [0.44, 0.42],
      [0.28, 0.8],
      [0, 1],
      [-0.28, 0.8],
      [-0.44, 0.42],
    ],
  },
};

/** A foot for a scale in metres a share of stature; `toes` lengthens the toes only, `wide` all breadths. */
export function footSize(
  plan: BodyPlan,
  scale: number,
  toes: number,
  wide: number,
  name: FootForm = 'foot',
): FootSize {
  const form = FORMS[name];
  const plain = plan.footLength * scale * form.length;
  const heelBehind = form.ankle * plain;
  const toeLength = (1 - plan.ratios.ballOverFoot) * plain * toes;
  // The table's centre along the foot, seen from where this form has its ankle.
  const centre = plan.footCentre / plan.footLength + ANKLE_FROM_HEEL - form.ankle;
  return {
    form: name,
    length: plan.ratios.ballOverFoot * plain + toeLength,
    breadth: plan.footBreadth * scale * wide * form.breadth,
    heelBreadth: plan.ratios.heelBreadth * scale * wide * form.heelBreadth,
    malleolarBreadth: plan.ratios.malleolarBreadth * scale * wide,
    ankleHeight: plan.ankleHeight * scale,
    heelBehind,
    ballAhead: plan.ratios.ballOverFoot * plain - heelBehind,
    ballHeight: BALL_HEIGHT * plan.ankleHeight * scale,
    toeLength,
    centreAhead: name === 'foot' ? plan.footCentre * scale : centre * plain,
  };
}

/** +1 for the left foot, whose outer side is +x; -1 for the right one. */
export type SideSign = 1 | -1;

/** Heel to ball, frame of the foot (origin at the ankle). */
export function soleOutline(foot: FootSize, side: SideSign): readonly Vec3[] {
  const length = foot.heelBehind + foot.ballAhead;
  return FORMS[foot.form].sole.map(([breadth, across, along]) => [
    side * across * (breadth === 'heel' ? foot.heelBreadth : foot.breadth),
    -foot.ankleHeight,
    along * length - foot.heelBehind,
  ]);
}

/** Ball to tip, frame of the toes (origin at their joint). */
export const toesOutline = (foot: FootSize, side: SideSign): readonly Vec3[] =>
  FORMS[foot.form].toes.map(([medial, along]) => [
    -side * medial * foot.breadth,
    -foot.ballHeight,
    along * foot.toeLength,
  ]);

/**
 * The functional foot scaled to this one, frame of the foot; a published left foot, so mirrored for the
 * right. Nothing is published for paws and hooves: the whole of them counts.
 * @param holdable factors along and across about its middle, see BodyPlan
 */
export function functionalOutline(
  foot: FootSize,
  side: SideSign,
  [along, across]: BodyPlan['holdable'] = [1, 1],
): readonly Vec3[] {
  if (foot.form !== 'foot') return wholeOutline(foot, side);
  const width = (foot.breadth + foot.malleolarBreadth) / 2;
  const [midMedial, midForward] = MIDDLE;
  return FUNCTIONAL_FOOT.map(([medial, forward]) => [
    -side * (midMedial + (medial - midMedial) * across) * width,
    -foot.ankleHeight,
    (midForward + (forward - midForward) * along) * foot.length,
  ]);
}

/** Middle of the functional foot's extents. */
const MIDDLE = ([0, 1] as const).map((axis) => {
  const values = FUNCTIONAL_FOOT.map((point) => point[axis]);
  return (Math.min(...values) + Math.max(...values)) / 2;
}) as unknown as readonly [medial: number, forward: number];

function wholeOutline(foot: FootSize, side: SideSign): readonly Vec3[] {
  const ahead = toesOutline(foot, side).map(([x, , z]) => [x, z + foot.ballAhead] as const);
  const all = [...soleOutline(foot, side).map(([x, , z]) => [x, z] as const), ...ahead];
  return convexHull(all).vertices.map(([x, z]) => [x, -foot.ankleHeight, z]);
}
