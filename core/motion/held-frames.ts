import type { Vec3 } from '../geometry/index.ts';

/** Two samples nearer than this on every axis are one drawn pose shown twice, metres. */
const SAME = 1e-6;

/**
 * A pose shown longer than this is a stop, not a slow exposure: four frames at 24 a second. Animation
 * on twos and threes is common, on fours the slowest in use (common practice, no source).
 */
export const LONGEST_EXPOSURE = 4 / 24;

/** A run of frames that show one and the same pose. */
export interface Exposure {
  readonly from: number;
  /** Last frame of the run. */
  readonly to: number;
  /** Whether the pose stops here: shown longer than LONGEST_EXPOSURE, so its speed is nil. */
  readonly stop: boolean;
}

/**
 * The runs of equal poses that a clip is shown in, in order; on ones every run is a single frame.
 * Recognised by the mass centre, which no pose change keeps still to a micrometre by chance.
 * @param rate frames a second
 */
export function exposures(centre: readonly Vec3[], rate: number): readonly Exposure[] {
  const runs: Exposure[] = [];
  let from = 0;
  for (let i = 1; i <= centre.length; i++) {
    if (i < centre.length && same(centre[i]!, centre[i - 1]!)) continue;
    const shown = i - from;
    runs.push({ from, to: i - 1, stop: shown > 1 && shown / rate > LONGEST_EXPOSURE + 1e-9 });
    from = i;
  }
  return runs;
}

/** Share of frames, stops left out, that repeat the frame before: 0 on ones, 0.5 on twos, 0.67 on threes. */
export function heldShare(runs: readonly Exposure[]): number {
  const moving = runs.filter(({ stop }) => !stop);
  const frames = moving.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  return frames === 0 ? 0 : 1 - moving.length / frames;
}

const same = (a: Vec3, b: Vec3): boolean =>
  Math.abs(a[0] - b[0]) <= SAME && Math.abs(a[1] - b[1]) <= SAME && Math.abs(a[2] - b[2]) <= SAME;
