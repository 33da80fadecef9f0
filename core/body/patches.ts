import { rotate } from '../geometry/quat.ts';
import type { Vec3 } from '../geometry/types.ts';
import { add, cross, normalise, scale } from '../geometry/vec3.ts';
import { tipOf } from './extras.ts';
import {
  type FootSize,
  functionalOutline,
  type SideSign,
  soleOutline,
  toesOutline,
} from './foot.ts';
import type { BodyPlan } from './plan.ts';
import type { Extra, Patch, PatchName } from './types.ts';

/** What the patches of one side are cut to, metres. */
export interface SideSizes {
  readonly foot: FootSize;
  /** Scale of the hand: metres a share of stature. */
  readonly hand: number;
  readonly forearmLength: number;
  readonly forearmGirth: number;
  readonly shankLength: number;
  readonly kneeGirth: number;
}

export interface PatchSizes {
  readonly L: SideSizes;
  readonly R: SideSizes;
  /** Scale of pelvis and of chest: metres a share of stature. */
  readonly pelvis: number;
  readonly chest: number;
  /** Seat below the hip joints. */
  readonly seatDrop: number;
  readonly chestLength: number;
}

const DOWN: Vec3 = [0, -1, 0];

/** Half the thickness of a hand over stature (drawn, no source). */
const PALM_DEPTH = 0.008;

/**
 * The areas of a body that can carry weight, each a convex outline in its segment's frame. Feet and
 * palms as measured; knees, forearms, seat and back are simple shapes of ours on measured breadths.
 *
 * sole: heel to ball, frame of the foot (origin at the ankle). toes: ball to tip, frame of the toes.
 * palm: faces the thigh at rest. knee: front of the shank's top. forearm: its little-finger side,
 * which faces back at rest and down once the elbow is bent. seat: under the pelvis. back: behind the chest.
 * tailTip: the round end of the first tail, in the frame of what it grows on; empty without one.
 */
export function buildPatches(
  plan: BodyPlan,
  sizes: PatchSizes,
  extras: readonly Extra[],
): Readonly<Record<PatchName, Patch>> {
  const { ratios } = plan;
  const left = sidePatches(plan, sizes.L, 1);
  const right = sidePatches(plan, sizes.R, -1);
  const seat = rectangle((a, b) => [
    0.85 * ratios.hipBreadth * sizes.pelvis * a,
    -sizes.seatDrop,
    0.12 * sizes.pelvis * b,
  ]);
  const back = rectangle((a, b) => [
    0.8 * ratios.chestBreadth * sizes.chest * a,
    sizes.chestLength * (0.45 + 0.7 * b),
    (-ratios.chestDepth * sizes.chest) / 2,
  ]);
  const body = (
    name: PatchName,
    segment: Patch['segment'],
    normal: Vec3,
    outline: readonly Vec3[],
    functional: readonly Vec3[] | null = null,
  ): Patch => ({ name, segment, normal, outline, functional });
  return {
    soleL: body('soleL', 'footL', DOWN, left.sole, left.functional),
    toesL: body('toesL', 'toesL', DOWN, left.toes),
    soleR: body('soleR', 'footR', DOWN, right.sole, right.functional),
    toesR: body('toesR', 'toesR', DOWN, right.toes),
    palmL: body('palmL', 'handL', [-1, 0, 0], left.palm),
    palmR: body('palmR', 'handR', [1, 0, 0], right.palm),
    kneeL: body('kneeL', 'shankL', [0, 0, 1], left.knee),
    kneeR: body('kneeR', 'shankR', [0, 0, 1], right.knee),
    forearmL: body('forearmL', 'forearmL', [0, 0, -1], left.forearm),
    forearmR: body('forearmR', 'forearmR', [0, 0, -1], right.forearm),
    seat: body('seat', 'pelvis', DOWN, seat),
    back: body('back', 'chest', [0, 0, -1], back),
    tailTip: tailTip(extras),
  };
}

/** The end of the first tail. Being round, it looks along the tail and down: it rests on what is under either. */
function tailTip(extras: readonly Extra[]): Patch {
  const tail = extras.find(({ kind }) => kind === 'tail');
  if (tail === undefined)
    return { name: 'tailTip', segment: 'pelvis', normal: DOWN, outline: [], functional: null };
  const last = tail.links.at(-1)!;
  const along = rotate(last.at.rotation, [0, 1, 0]);
  const normal = normalise(add(along, DOWN), along);
  const radius = last.girth[1];
  const aside = normalise(cross(normal, Math.abs(normal[0]) < 0.9 ? [1, 0, 0] : [0, 0, 1]));
  const other = cross(normal, aside);
  const middle = add(tipOf(tail), scale(normal, radius));
  const outline = Array.from({ length: 8 }, (_, k): Vec3 => {
    const [c, s] = [Math.cos((k * Math.PI) / 4), Math.sin((k * Math.PI) / 4)];
    return add(middle, add(scale(aside, c * radius), scale(other, s * radius)));
  });
  return { name: 'tailTip', segment: tail.parent, normal, outline, functional: null };
}

function sidePatches({ ratios, holdable }: BodyPlan, s: SideSizes, side: SideSign) {
  const palmLength = ratios.palmLength * s.hand;
  const palmX = -side * PALM_DEPTH * s.hand;
  return {
    sole: soleOutline(s.foot, side),
    toes: toesOutline(s.foot, side),
    functional: functionalOutline(s.foot, side, holdable),
    palm: rectangle((a, b) => [palmX, -palmLength * (a + 0.5), ratios.handBreadth * s.hand * b]),
    // From the kneecap down a third of the shank, as wide as the knee.
    knee: rectangle((a, b) => [
      1.6 * s.kneeGirth * a,
      (-s.shankLength / 3) * (b + 0.5),
      s.kneeGirth,
    ]),
    forearm: rectangle((a, b) => [
      2 * s.forearmGirth * a,
      -s.forearmLength * (b + 0.5),
      -s.forearmGirth,
    ]),
  };
}

/** Four corners in order, for a and b of ±0.5. */
const rectangle = (at: (a: number, b: number) => Vec3): readonly Vec3[] => [
  at(-0.5, -0.5),
  at(0.5, -0.5),
  at(0.5, 0.5),
  at(-0.5, 0.5),
];
