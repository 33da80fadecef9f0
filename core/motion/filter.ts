/**
 * Smoothing of one coordinate over time, and its first two derivatives.
 *
 * Two ways, for two lengths of phase:
 * - `smoothTrack`: zero-phase low-pass for evenly timed samples. A 2nd-order Butterworth filter runs
 *   forward and then backward, so nothing is delayed. The double pass would halve the power at the
 *   corner twice; the corner of one pass is therefore raised: tan(pi f / rate) is divided by
 *   (sqrt 2 - 1)^(1/4) = 0.8022 (own derivation: two passes must give 1/sqrt 2 in amplitude at the
 *   cut-off; that a correction is due for a double pass is in Winter's textbook, from memory).
 * - `localFit`: least-squares parabola over the nearest samples (Savitzky & Golay 1964, from memory),
 *   for short phases and for samples that are not evenly timed.
 *
 * Ends: before filtering, a track is continued at both ends for PAD cut-off periods by the parabola
 * that fits its last cut-off period best. A steady acceleration (free flight, a braking swing) thus
 * runs through to the first and last sample undamped; the price is that noise at the very ends is
 * damped less than in the middle.
 */

/** (sqrt 2 - 1)^(1/4): what two passes do to the corner of one. */
export const DOUBLE_PASS = (Math.SQRT2 - 1) ** 0.25;

/** Periods of the cut-off by which a track is continued; the filter's memory has faded to 1e-7 by then. */
const PAD = 3;

/** Samples that the parabola at an end needs at least: three decide it, two more average noise. */
const FIT_LEAST = 5;

/** One coordinate, smoothed, with its derivatives; all of the length of the input. */
export interface SmoothTrack {
  readonly value: Float64Array;
  /** Per second. */
  readonly velocity: Float64Array;
  /** Per second squared. */
  readonly acceleration: Float64Array;
}

/**
 * Low-pass filtered copy of evenly timed samples, without delay.
 * @param rate samples a second
 * @param cutoff hertz: amplitude 0.707 there, nothing lost well below
 * @throws RangeError for a cut-off outside 0 .. rate / 2 (exclusive), or fewer than 3 samples
 */
export function lowPass(values: ArrayLike<number>, rate: number, cutoff: number): Float64Array {
  const { filtered, lead } = filterContinued(values, rate, cutoff);
  return filtered.slice(lead, lead + values.length);
}

/**
 * Low-pass filtered samples with velocity and acceleration by central differences (into the
 * continuation at the ends). A central difference multiplies a motion of angular frequency w by
 * sin(w dt) / (w dt) in velocity and by about 1 - (w dt)^2 / 12 in acceleration. Errors as `lowPass`.
 */
export function smoothTrack(values: ArrayLike<number>, rate: number, cutoff: number): SmoothTrack {
  const { filtered, lead } = filterContinued(values, rate, cutoff);
  const count = values.length;
  const velocity = new Float64Array(count);
  const acceleration = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const before = filtered[lead + i - 1]!;
    const here = filtered[lead + i]!;
    const after = filtered[lead + i + 1]!;
    velocity[i] = ((after - before) * rate) / 2;
    acceleration[i] = (after - 2 * here + before) * rate * rate;
  }
  return { value: filtered.slice(lead, lead + count), velocity, acceleration };
}

/** Fewest evenly timed samples for which `smoothTrack` is better than a local fit: two cut-off periods. */
export const samplesForFilter = (rate: number, cutoff: number): number =>
  Math.max(2 * FIT_LEAST, Math.ceil((2 * rate) / cutoff));

function filterContinued(
  values: ArrayLike<number>,
  rate: number,
  cutoff: number,
): { filtered: Float64Array; lead: number } {
  if (!(cutoff > 0 && cutoff < rate / 2))
    throw new RangeError(
      `a cut-off of ${cutoff} Hz does not fit ${rate} samples a second: take one above 0 and below ${rate / 2} Hz`,
    );
  if (values.length < 3)
    throw new RangeError(`filtering needs at least 3 samples, got ${values.length}`);
  const lead = Math.ceil((PAD * rate) / cutoff) + 1;
  const padded = continued(values, lead, Math.max(FIT_LEAST, Math.round(rate / cutoff)));
  const once = butterworth(padded, rate, cutoff);
  const filtered = butterworth(once.reverse(), rate, cutoff).reverse();
  return { filtered, lead };
}

/** One pass of the 2nd-order Butterworth low-pass (bilinear transform), started as if at rest before. */
function butterworth(values: Float64Array, rate: number, cutoff: number): Float64Array {
  const k = Math.tan((Math.PI * cutoff) / rate) / DOUBLE_PASS;
  const norm = 1 / (1 + Math.SQRT2 * k + k * k);
  const b = k * k * norm;
  const a1 = 2 * (k * k - 1) * norm;
  const a2 = (1 - Math.SQRT2 * k + k * k) * norm;
  const out = new Float64Array(values.length);
  const start = values[0]!;
  let [x1, x2, y1, y2] = [start, start, start, start];
  for (let i = 0; i < values.length; i++) {
    const x = values[i]!;
    const y = b * (x + 2 * x1 + x2) - a1 * y1 - a2 * y2;
    out[i] = y;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
  }
  return out;
}

/** The samples with `lead` more at each end, on the parabola through the outer `span` samples. */
function continued(values: ArrayLike<number>, lead: number, span: number): Float64Array {
  const count = values.length;
  const taken = Math.min(span, count);
  const out = new Float64Array(count + 2 * lead);
  const times = Float64Array.from({ length: taken }, (_, i) => i);
  const first = Float64Array.from({ length: taken }, (_, i) => values[i]!);
  const last = Float64Array.from({ length: taken }, (_, i) => values[count - taken + i]!);
  const start = localFit(times, first, 0);
  const end = localFit(times, last, taken - 1);
  for (let i = 0; i < count; i++) out[lead + i] = values[i]!;
  for (let i = 1; i <= lead; i++) {
    out[lead - i] = start.value - start.velocity * i + (start.acceleration * i * i) / 2;
    out[lead + count - 1 + i] = end.value + end.velocity * i + (end.acceleration * i * i) / 2;
  }
  return out;
}

/** Value and derivatives of a fitted parabola at one time. */
export interface LocalFit {
  readonly value: number;
  readonly velocity: number;
  /** 0 where only two samples were given: a line has none. */
  readonly acceleration: number;
}

/**
 * Least-squares parabola through samples at given times (a line through two, a constant through
 * one), read at time `at`.
 * @throws RangeError without samples
 */
export function localFit(
  times: ArrayLike<number>,
  values: ArrayLike<number>,
  at: number,
): LocalFit {
  const weights = fitWeights(times, at);
  let value = 0;
  let velocity = 0;
  let acceleration = 0;
  // Relative to the first sample: a track far from the origin keeps its digits.
  const origin = values[0]!;
  for (let i = 0; i < times.length; i++) {
    const v = values[i]! - origin;
    value += weights.value[i]! * v;
    velocity += weights.velocity[i]! * v;
    acceleration += weights.acceleration[i]! * v;
  }
  return { value: origin + value, velocity, acceleration };
}

/** What each sample contributes to the fitted value, velocity and acceleration. */
export interface FitWeights {
  readonly value: Float64Array;
  readonly velocity: Float64Array;
  readonly acceleration: Float64Array;
}

/**
 * The weights behind `localFit`: they depend on the times only, so one set serves x, y and z, and the
 * root of their squared sum is the noise gain.
 * @throws RangeError without samples
 */
export function fitWeights(times: ArrayLike<number>, at: number): FitWeights {
  const count = times.length;
  if (count === 0) throw new RangeError('a local fit needs at least one sample');
  // Polynomials square to each other over the samples (Gram-Schmidt on 1, s, s^2): no equations to solve.
  const mean = sum(times) / count;
  const s = Float64Array.from({ length: count }, (_, i) => times[i]! - mean);
  const here = at - mean;
  const s2 = s.reduce((total, v) => total + v * v, 0);
  const s3 = s.reduce((total, v) => total + v ** 3, 0);
  const skew = s2 > 0 ? s3 / s2 : 0;
  const q = s.map((v) => v * v - skew * v - s2 / count);
  const q2 = q.reduce((total, v) => total + v * v, 0);
  const slope = count > 1 && s2 > 0;
  const curve = count > 2 && q2 > 1e-12 * s2 * s2;
  const hereQ = here * here - skew * here - s2 / count;
  const value = new Float64Array(count).fill(1 / count);
  const velocity = new Float64Array(count);
  const acceleration = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    if (slope) {
      value[i]! += (s[i]! * here) / s2;
      velocity[i]! += s[i]! / s2;
    }
    if (curve) {
      value[i]! += (q[i]! * hereQ) / q2;
      velocity[i]! += (q[i]! * (2 * here - skew)) / q2;
      acceleration[i]! += (2 * q[i]!) / q2;
    }
  }
  return { value, velocity, acceleration };
}

function sum(values: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < values.length; i++) total += values[i]!;
  return total;
}
