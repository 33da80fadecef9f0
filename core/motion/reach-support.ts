import type { Vec2 } from '../geometry/index.ts';
import { outsideSum, type Term } from './convex.ts';

/** A stretch of time with one support, or none. */
export interface Stretch {
  /** Seconds that it lasts (from now, for the first one). */
  readonly duration: number;
  /** Convex outline in plan over which the pressure may move, metres; empty in the air. */
  readonly polygon: readonly Vec2[];
  /** w of the pendulum over it, a second. */
  readonly rate: number;
}

/** How a coming support is met: shares of the way from the centre (0) to the extrapolated centre (1). */
const SHARES = [0, 0.25, 0.5, 0.75, 1];

/**
 * Whether a body that moves over the first stretches can be brought to pass over, or come to rest
 * over, the support of the one after them, wherever it lets the pressure wander on the way.
 *
 * Over a stretch with pressure p the state (x, v) of each plan axis goes to M (x, v) + k p, linear in
 * p: over a support M = [[cosh, sinh / w], [w sinh, cosh]], k = (1 - cosh, -w sinh); in the air
 * M = [[1, t], [0, 1]], k = 0 (pendulum.ts). At the coming support the body passes over a point q of it
 * if q lies between centre and extrapolated centre, q = x + s v / w with 0 <= s <= 1 (then the pendulum over
 * q moves straight across it; s = 1 comes to rest there). Written backwards this is
 *   r (x0, v0) + sum k_i p_i = q,   p_i in the support of stretch i,
 * that is: one point in a Minkowski sum of the supports. A pressure that moves during a stretch reaches
 * no more than a fixed one, since the weights of the integral add up to the same factor. The step
 * after one stretch, s = 1, is the one-step capture region of Koolen et al. 2012 (from memory).
 * @param centre now, plan, metres
 * @param velocity now, plan, metres a second
 * @param before the stretches until the support comes, in order, the present one first
 * @param coming the support that comes
 * @param near what may be missing, metres at present
 */
export function reachesSupport(
  centre: Vec2,
  velocity: Vec2,
  before: readonly Stretch[],
  coming: Stretch,
  near: number,
): boolean {
  return SHARES.some((share) => {
    let place = 1;
    let speed = share / coming.rate;
    const terms: Term[] = [{ polygon: coming.polygon, factor: 1 }];
    for (let i = before.length - 1; i >= 0; i--) {
      const { duration, polygon, rate } = before[i]!;
      if (polygon.length === 0) {
        speed += place * duration;
        continue;
      }
      const cosh = Math.cosh(rate * duration);
      const sinh = Math.sinh(rate * duration);
      terms.push({ polygon, factor: place * (cosh - 1) + speed * rate * sinh });
      [place, speed] = [place * cosh + speed * rate * sinh, (place * sinh) / rate + speed * cosh];
    }
    const point: Vec2 = [
      place * centre[0] + speed * velocity[0],
      place * centre[1] + speed * velocity[1],
    ];
    // Divided back to the present: a millimetre now is many at the end of a long stretch.
    return outsideSum(point, terms) <= near * place;
  });
}
