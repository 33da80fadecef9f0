import type { Vec3 } from '../../geometry/types.ts';
import { checkNumber, checkPoint, checkPositive, fail } from './check-input.ts';

/** Standard gravity of the project's check cases, m/s^2. */
export const GRAVITY = 9.81;

/**
 * How far the centre must rise to pass over a tipping edge: h = |r| cos(psi) - r_y, where r runs
 * from the foot of the centre on the edge's line to the centre and cos(psi) = sqrt(1 - e_y^2) with e
 * along the edge (energy stability margin of Messuri & Klein 1985; divided by the weight: Hirose et
 * al. 2001, both from memory; formula mechanics.md 1.5). Level edge at distance d, height z:
 * sqrt(z^2 + d^2) - z. The energy is m g h; of several edges the smallest counts; a centre that is
 * outside the support needs none (0), which the caller knows.
 * @returns metres, >= 0
 * @throws RangeError on a non-finite point or an edge without length
 */
export function riseToTip(centre: Vec3, edgeStart: Vec3, edgeEnd: Vec3): number {
  checkPoint('centre', centre);
  checkPoint('edgeStart', edgeStart);
  checkPoint('edgeEnd', edgeEnd);
  const e = [
    edgeEnd[0] - edgeStart[0],
    edgeEnd[1] - edgeStart[1],
    edgeEnd[2] - edgeStart[2],
  ] as const;
  const size = Math.hypot(...e);
  if (size === 0) fail('edgeEnd', edgeEnd, 'give two different ends of the edge');
  const p = [centre[0] - edgeStart[0], centre[1] - edgeStart[1], centre[2] - edgeStart[2]] as const;
  const along = (p[0] * e[0] + p[1] * e[1] + p[2] * e[2]) / (size * size);
  const r = [p[0] - along * e[0], p[1] - along * e[1], p[2] - along * e[2]] as const;
  const steep = e[1] / size;
  return Math.max(0, Math.hypot(...r) * Math.sqrt(Math.max(0, 1 - steep * steep)) - r[1]);
}

/** Speed of the centre that just carries it over the edge, m/s (point mass): sqrt(2 g rise). */
export const speedToTip = (rise: number, gravity = GRAVITY): number =>
  Math.sqrt(2 * gravity * Math.max(0, rise));

/** Lean below which a body at rest is taken to start, radians: the time grows without end at 0. */
const LEAST_LEAN = (0.5 * Math.PI) / 180;
const PANELS = 64;

/**
 * Time for a rigid body to topple about an edge, seconds: theta'' = k sin(theta) with k = g / length
 * for a point mass at `length` (3 g / 4 r for a slender uniform block of half-diagonal r), exact
 * integral of d theta / sqrt(theta0'^2 + 2 k (cos theta0 - cos theta)), mechanics.md 4.5. An
 * estimate: from rest it depends on the first lean, which is taken as at least 0.5 degrees.
 * @param lean lean from upright over the edge at the start, radians
 * @param until lean at which it counts as fallen, radians
 * @param length distance from edge to centre, metres
 * @param options.rate lean rate at the start, rad/s, default 0; options.gravity m/s^2
 * @returns Infinity where it never gets there (a start that moves back past upright too slowly is
 *   not followed: rate must be >= 0)
 * @throws RangeError on numbers that make no sense
 */
export function toppleTime(
  lean: number,
  until: number,
  length: number,
  options: { readonly rate?: number; readonly gravity?: number } = {},
): number {
  const { rate = 0, gravity = GRAVITY } = options;
  checkNumber('lean', lean);
  checkNumber('until', until);
  checkPositive('length', length);
  checkPositive('gravity', gravity);
  if (!(rate >= 0)) fail('options.rate', rate, 'give a rate of at least 0');
  const start = rate > 0 ? Math.max(0, lean) : Math.max(LEAST_LEAN, lean);
  if (until > Math.PI) fail('until', until, 'give an angle of at most pi');
  if (until <= start) return 0;
  const k = gravity / length;
  // theta = start + u^2 takes the 1/sqrt singularity out of the start from rest; Simpson's rule.
  const end = Math.sqrt(until - start);
  const f = (u: number): number => {
    const square = rate * rate + 4 * k * Math.sin(start + (u * u) / 2) * Math.sin((u * u) / 2);
    if (square > 0) return (2 * u) / Math.sqrt(square);
    return rate > 0 ? 0 : 2 / Math.sqrt(2 * k * Math.sin(start));
  };
  let sum = f(0) + f(end);
  for (let i = 1; i < PANELS; i++) sum += (i % 2 === 1 ? 4 : 2) * f((end * i) / PANELS);
  return (sum * end) / (3 * PANELS);
}
