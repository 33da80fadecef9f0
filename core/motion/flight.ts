import type { Vec3 } from '../geometry/index.ts';
import { fitWeights } from './filter.ts';
import { GRAVITY } from './pendulum.ts';

/** Residual against free fall beyond this share of the rise reads as floating (mechanics note, no source). */
export const FLOATING = 0.02;

/** A fitted fall that is known no better than this says nothing, metres a second squared. */
const UNCLEAR = 1;

/** Frames that a flight needs to be judged: three decide a parabola, one more shows whether it is one. */
export const LEAST_FLIGHT = 4;

/** What a stretch without contact says about the clip. */
export interface Flight {
  /** First and last frame without contact. */
  readonly from: number;
  readonly to: number;
  /** Seconds between them. */
  readonly duration: number;
  /** Fall that fits the path of the centre, metres a second squared, downwards positive. */
  readonly gravity: number;
  /** One standard deviation of it, from how far the path strays from its own parabola. */
  readonly gravityNoise: number;
  /**
   * gravity / 9.81: what the clip's size must be divided by (or its time multiplied by the root of) for
   * it to fall as on earth.
   */
  readonly scale: number;
  /** Highest minus lowest centre, metres. */
  readonly rise: number;
  /** Root mean square distance of the height from the best parabola at 9.81, metres. */
  readonly residual: number;
  /** residual / rise; null for a path without rise. */
  readonly residualShare: number | null;
  /**
   * `flies`: falls as on earth; `floats`: hangs or sinks slower; `dives`: falls faster; `unclear`: too
   * short or too noisy to tell.
   */
  readonly kind: 'flies' | 'floats' | 'dives' | 'unclear';
  readonly sentence: string;
}

/**
 * Fits free fall to a stretch without contact. With nothing to push on, the centre must follow a
 * parabola at 9.81 m/s2 whatever the limbs do; if the fitted fall differs, the clip's scale or timing
 * does. Null for fewer than LEAST_FLIGHT frames.
 * @param centre mass centre of every frame of the clip, metres
 * @param from first frame without contact
 * @param to last frame without contact
 * @param rate frames a second
 */
export function fitFlight(
  centre: readonly Vec3[],
  from: number,
  to: number,
  rate: number,
  g: number = GRAVITY,
): Flight | null {
  const count = to - from + 1;
  if (count < LEAST_FLIGHT) return null;
  const times = Array.from({ length: count }, (_, i) => i / rate);
  const heights = times.map((_, i) => centre[from + i]![1]);
  const { acceleration: weights } = fitWeights(times, 0);
  const gravity = -heights.reduce((sum, y, i) => sum + weights[i]! * y, 0);
  const own = residualOf(times, heights, gravity);
  const residual = residualOf(times, heights, g);
  const gain = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0));
  // Three of the samples are used up by the parabola itself.
  const gravityNoise = own * Math.sqrt(count / (count - 3)) * gain;
  const rise = Math.max(...heights) - Math.min(...heights);
  const residualShare = rise > 0 ? residual / rise : null;
  const differs =
    residualShare !== null && residualShare > FLOATING && Math.abs(gravity - g) > 3 * gravityNoise;
  const kind =
    gravityNoise > UNCLEAR ? 'unclear' : !differs ? 'flies' : gravity < g ? 'floats' : 'dives';
  const flight = { from, to, duration: (count - 1) / rate, gravity, gravityNoise };
  return {
    ...flight,
    ...{ scale: gravity / g, rise, residual, residualShare, kind },
    sentence: sentenceOf(kind, flight, g),
  };
}

/** RMS distance of heights from the best parabola of a given fall (line fitted, curvature fixed). */
function residualOf(times: readonly number[], heights: readonly number[], fall: number): number {
  const straight = heights.map((y, i) => y + (fall * times[i]! ** 2) / 2);
  const count = times.length;
  const meanT = times.reduce((a, b) => a + b, 0) / count;
  const meanY = straight.reduce((a, b) => a + b, 0) / count;
  let across = 0;
  let along = 0;
  times.forEach((t, i) => {
    across += (t - meanT) * (straight[i]! - meanY);
    along += (t - meanT) ** 2;
  });
  const slope = across / along;
  const squares = straight.reduce(
    (sum, y, i) => sum + (y - meanY - slope * (times[i]! - meanT)) ** 2,
    0,
  );
  return Math.sqrt(squares / count);
}

function sentenceOf(
  kind: Flight['kind'],
  {
    from,
    to,
    gravity,
    gravityNoise,
  }: { from: number; to: number; gravity: number; gravityNoise: number },
  g: number,
): string {
  const fall = `${gravity.toFixed(2)} m/s² (± ${gravityNoise.toFixed(2)})`;
  const span = `In the air from frame ${from} to ${to} the centre falls at ${fall}`;
  if (kind === 'unclear') return `${span}: too short or too noisy to tell more.`;
  if (kind === 'flies') return `${span}, as it should on earth.`;
  if (gravity <= 0)
    return `${span}: it does not fall at all, so it hangs, or something carries it that does not touch.`;
  const size = (gravity / g).toFixed(2);
  const how = kind === 'floats' ? 'slower' : 'faster';
  return `${span}, ${how} than ${g} m/s²: the clip's scale is off by a factor of ${size}, its timing by ${Math.sqrt(g / gravity).toFixed(2)}, or something carries it that does not touch.`;
}
