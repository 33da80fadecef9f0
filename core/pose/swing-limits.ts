import type { JointLimits } from '../body/types.ts';

/**
 * Swings of a joint are bounded by four quarter ellipses whose half axes are its ranges: a thigh that is
 * lifted half its range may spread 87 % (√3/2) of its own, and nothing at the very end. (Cones with
 * elliptical or spherical-polygon base: Korein 1985; Wilhelms & Van Gelder 2001; from memory. The shape
 * between the measured ends is ours; checks.md section 10 gives the ends.)
 *
 * How far out a swing is: 0 at rest, 1 on the edge; infinite in a direction without range.
 */
export function swingShare(x: number, z: number, limits: JointLimits): number {
  const [a, b] = [shareOf(x, limits.x), shareOf(z, limits.z)];
  return limits.apart ? Math.max(a, b) : Math.hypot(a, b);
}

function shareOf(value: number, [low, high]: readonly [number, number]): number {
  if (Math.abs(value) < TINY) return 0;
  return value > 0 ? value / Math.max(high, 0) : value / Math.min(low, 0);
}

/** Angles below this are no swing: what rounding leaves in a joint that cannot go that way, radians. */
const TINY = 1e-9;

/** How much of its range is left to one angle of a swing beside the other one, `of`. */
export const shareBeside = (other: number, of: 'x' | 'z', limits: JointLimits): number =>
  limits.apart ? 1 : Math.sqrt(Math.max(0, 1 - shareOf(other, limits[of]) ** 2));
