import { GRAVITY } from './pendulum.ts';

/**
 * How long a rigid body takes to tip over an edge: theta'' = k sin(theta), theta from the vertical,
 * k = m g r / I about the edge: g / l for a mass on a massless rod of length l, 3 g / (4 r) for a
 * uniform slender block with its centre at r.
 *
 * Energy gives theta'^2 = 4 k (sin^2(theta/2) - c), c constant. With sin(theta/2) = sqrt(c) cosh s (a body
 * that has a turning point) or sqrt(-c) sinh s (one that is thrown over the vertical) the time becomes
 *   t = integral ds / (sqrt(k) cos(theta/2)),
 * which has no singular start, so Simpson's rule is exact to rounding (own derivation).
 */

/** Below this lean the time grows without limit and says nothing: 0.5 degrees. */
export const LEAST_LEAN = (0.5 * Math.PI) / 180;

/** Panels of Simpson's rule: 1e-10 s for anything that ends short of the horizontal. */
const PANELS = 256;

export interface Topple {
  /**
   * Lean from the vertical about the edge, radians, above -pi; negative where it has not passed the
   * edge yet. Up to LEAST_LEAN counts as that.
   */
  readonly lean: number;
  /** Rate of the lean, radians a second; positive outwards. */
  readonly leanRate?: number;
  /** Lean at which it counts as toppled, radians, below pi. */
  readonly until: number;
  /** k, a second squared; `toppleConstant` gives it for a mass on a rod. */
  readonly k: number;
}

/** k = g / l of a point mass at `length` metres from the edge. */
export const toppleConstant = (length: number, g: number = GRAVITY): number => g / length;

/**
 * Seconds until the lean reaches `until`; 0 where it has, null where the body stays or swings back
 * inside the vertical and so never topples to this side. An estimate for figures: they are not rigid.
 * @throws RangeError for k that is not positive or an end outside 0 .. pi
 */
export function toppleTime({ lean, leanRate = 0, until, k }: Topple): number | null {
  if (!(k > 0)) throw new RangeError(`the topple constant must be positive, got ${k}`);
  if (!(until > 0 && until < Math.PI))
    throw new RangeError(`a body topples to a lean between 0 and pi, got ${until}`);
  if (lean >= until) return 0;
  const energy = (leanRate * leanRate) / (4 * k);
  if (energy > Math.sin(lean / 2) ** 2) {
    // Fast enough to pass the vertical, one way or the other.
    if (leanRate <= 0) return null;
    const root = Math.sqrt(energy - Math.sin(lean / 2) ** 2);
    return sweep(
      Math.asinh(Math.sin(lean / 2) / root),
      Math.asinh(Math.sin(until / 2) / root),
      (s) => root * Math.sinh(s),
      k,
    );
  }
  if (lean < 0) return null;
  const start = Math.max(lean, LEAST_LEAN);
  if (start >= until) return 0;
  const root = Math.sqrt(Math.sin(start / 2) ** 2 - (lean < LEAST_LEAN ? 0 : energy));
  const at = (angle: number): number => Math.acosh(Math.max(1, Math.sin(angle / 2) / root));
  // Moving inwards it first climbs to its turning point (s = 0) and comes back the same way.
  const from = leanRate < 0 ? -at(start) : at(start);
  return sweep(from, at(until), (s) => root * Math.cosh(s), k);
}

/** Integral of ds / (sqrt(k) cos(theta/2)) with sin(theta/2) given by s, by Simpson's rule. */
function sweep(from: number, to: number, sineOf: (s: number) => number, k: number): number {
  const step = (to - from) / PANELS;
  let total = 0;
  for (let i = 0; i <= PANELS; i++) {
    const sine = sineOf(from + i * step);
    const weight = i === 0 || i === PANELS ? 1 : i % 2 === 1 ? 4 : 2;
    total += weight / Math.sqrt(1 - sine * sine);
  }
  return (total * step) / 3 / Math.sqrt(k);
}
