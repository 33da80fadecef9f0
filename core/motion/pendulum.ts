/**
 * The linear inverted pendulum: a mass centre at a steady height l over a fixed centre of pressure p,
 *   x'' = w^2 (x - p),  w = sqrt(g / l),
 *   x(t) = p + (x0 - p) cosh wt + (v0 / w) sinh wt,
 * and the extrapolated centre xi = x + v / w runs away from p as xi(t) = p + (xi0 - p) e^(wt)
 * (Hof, Gazendam & Sinke 2005, Journal of Biomechanics 38:1-8; the solution as in a reader's notes on
 * the paper and by substitution). One axis; both plan axes obey it separately.
 */

/** Standard gravity as used throughout, metres a second squared. */
export const GRAVITY = 9.81;

/** w = sqrt(g / l), a second; throws RangeError for a length or gravity that is not positive. */
export function pendulumRate(length: number, g: number = GRAVITY): number {
  if (!(length > 0 && g > 0))
    throw new RangeError(`a pendulum needs a positive length and gravity, got ${length} m, ${g}`);
  return Math.sqrt(g / length);
}

/** Where the centre is along one axis, and how it moves. */
export interface PendulumState {
  /** Metres. */
  readonly position: number;
  /** Metres a second. */
  readonly velocity: number;
}

/**
 * The state after `time` seconds over a fixed pressure.
 * @param pressure place of the centre of pressure, metres
 * @param rate w, a second
 */
export function pendulumAfter(
  { position, velocity }: PendulumState,
  pressure: number,
  rate: number,
  time: number,
): PendulumState {
  const cosh = Math.cosh(rate * time);
  const sinh = Math.sinh(rate * time);
  const lean = position - pressure;
  return {
    position: pressure + lean * cosh + (velocity / rate) * sinh,
    velocity: lean * rate * sinh + velocity * cosh,
  };
}

/**
 * Seconds until the centre first reaches `edge` over a fixed pressure; 0 when it is there, null when
 * it never comes there. The root of A y^2 - (edge - p) y + B = 0 in y = e^(wt), with A = (xi0 - p) / 2
 * and B = (x0 - p - v0 / w) / 2.
 */
export function timeToReach(
  { position, velocity }: PendulumState,
  pressure: number,
  rate: number,
  edge: number,
): number | null {
  if (position === edge) return 0;
  const a = (position - pressure + velocity / rate) / 2;
  const b = (position - pressure - velocity / rate) / 2;
  const e = edge - pressure;
  if (a === 0) return e !== 0 && b / e >= 1 ? Math.log(b / e) / rate : null;
  const square = e * e - 4 * a * b;
  if (square < 0) return null;
  const root = Math.sqrt(square);
  const times = [(e - root) / (2 * a), (e + root) / (2 * a)]
    .filter((y) => y >= 1)
    .map((y) => Math.log(y) / rate);
  return times.length === 0 ? null : Math.min(...times);
}

/**
 * Seconds until the extrapolated centre reaches `edge` over a fixed pressure: ln((e - p) / (xi0 - p)) / w
 * where both lie on one side of the pressure and it has not passed; null when it never does.
 */
export function timeForExtrapolated(
  extrapolated: number,
  pressure: number,
  rate: number,
  edge: number,
): number | null {
  const growth = (edge - pressure) / (extrapolated - pressure);
  return growth >= 1 && Number.isFinite(growth) ? Math.log(growth) / rate : null;
}
