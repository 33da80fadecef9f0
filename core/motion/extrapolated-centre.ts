import { signedMargin, type Vec2, type Vec3 } from '../geometry/index.ts';
import { GRAVITY, pendulumRate } from './pendulum.ts';

/**
 * The extrapolated centre of mass: x + v / w0 with w0 = sqrt(g / l), the point that has to lie in
 * the base of support for a moving body to come to rest over it (Hof, Gazendam, Sinke 2005, The
 * condition for dynamic stability, J Biomech 38:1-8, doi 10.1016/j.jbiomech.2004.03.025).
 *
 * Only the level part of the velocity counts; the height stays the centre's. Holds for a nearly level
 * path within about a foot's length of the support, where the body is an inverted pendulum; crouching
 * down fast falls outside it.
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
  const rate = pendulumRate(pendulumLength, g);
  return [centre[0] + velocity[0] / rate, centre[1], centre[2] + velocity[2] / rate];
}

/**
 * Where a foot would have to be put down at once to bring the body to rest above it, in plan, metres:
 * the extrapolated centre with the centre's height above the floor as the pendulum's length (Pratt et
 * al. 2006, from memory; its derivation is the pendulum's in pendulum.ts). Errors as above.
 */
export function capturePoint(centre: Vec3, velocity: Vec3, floor = 0, g: number = GRAVITY): Vec2 {
  const [x, , z] = extrapolatedCentre(centre, velocity, centre[1] - floor, g);
  return [x, z];
}

/**
 * Margin of stability b: signed distance from the extrapolated centre to the edge of the support,
 * metres, positive inside (Hof et al. 2005). -Infinity without a support.
 */
export const marginOfStability = (extrapolated: Vec2 | Vec3, support: readonly Vec2[]): number =>
  signedMargin(
    extrapolated.length === 3 ? [extrapolated[0], extrapolated[2]] : extrapolated,
    support,
  );
