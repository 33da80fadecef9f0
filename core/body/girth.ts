import type { BodyPlan } from './plan.ts';

/** Radii of limbs over stature for drawing, proximal and distal (ours). */
const LIMBS: Readonly<Record<string, readonly [number, number]>> = {
  head: [0.034, 0.052],
  upperArm: [0.029, 0.022],
  forearm: [0.0235, 0.015],
  hand: [0.018, 0.01],
  thigh: [0.049, 0.031],
  shank: [0.031, 0.019],
  foot: [0.021, 0.016],
  toes: [0.0125, 0.008],
};

/**
 * Radii for drawing a kind of segment, as shares of stature, proximal and distal: the trunk's from
 * ANSUR breadths and depths (a circle about as large as the measured oval), the limbs' drawn to fit.
 */
export function girthShare(
  { ratios, headSize }: BodyPlan,
  kind: string,
): readonly [number, number] {
  const waist = (ratios.waistBreadth + ratios.waistDepth) * 0.245;
  const chest = (ratios.chestBreadth + ratios.chestDepth) * 0.25;
  if (kind === 'pelvis') return [ratios.hipBreadth * 0.42, waist];
  if (kind === 'abdomen') return [waist, chest];
  if (kind === 'chest') return [chest, 0.045];
  const [near, far] = LIMBS[kind] ?? [0.02, 0.02];
  return kind === 'head' ? [near * headSize, far * headSize] : [near, far];
}

/**
 * How much stouter than the table's reference group a body is drawn: girth goes with the root of mass
 * over stature cubed. Held between 0.7 and 1.6, so that wires and barrels still look like figures; the
 * masses are not touched.
 */
export const stoutness = (plan: BodyPlan, stature: number, mass: number): number =>
  Math.min(1.6, Math.max(0.7, Math.sqrt(mass / stature ** 3 / plan.build)));
