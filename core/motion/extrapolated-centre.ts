import type { Vec3 } from '../geometry/index.ts';

/** Standard fall of the earth used throughout, metres per second squared. */
export const GRAVITY = 9.81;

/**
 * The extrapolated centre of mass: x + v / w0 with w0 = sqrt(g / l), the point that has to lie in
 * the base of support for a moving body to come to rest over it (Hof, Gazendam, Sinke 2005, The
 * condition for dynamic stability, J Biomech 38:1-8, doi 10.1016/j.jbiomech.2004.03.025).
 *
 * Only the level part of the velocity counts; the height stays the centre's. Holds for a nearly level
 * path within about a foot's length of the support, where the body is an inverted pendulum.
 * @param centre mass centre, metres
 * @param velocity of the centre, metres per second
 * @param pendulumLength l, metres: for drawn characters of any proportions the height of the centre
 *   over the support (Hof takes leg length times 1.2 to 1.34)
 * @param g metres per second squared
 * @throws RangeError unless pendulumLength and g are positive
 */
export function extrapolatedCentre(
  centre: Vec3,
  velocity: Vec3,
  pendulumLength: number,
  g: number = GRAVITY,
): Vec3 {
  if (!(pendulumLength > 0))
    throw new RangeError(`Pendulum length must be > 0 m, got ${pendulumLength}`);
  if (!(g > 0)) throw new RangeError(`g must be > 0 m/s2, got ${g}`);
  const seconds = Math.sqrt(pendulumLength / g);
  return [centre[0] + velocity[0] * seconds, centre[1], centre[2] + velocity[2] * seconds];
}
