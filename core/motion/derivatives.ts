import type { Vec3 } from '../geometry/index.ts';
import { type FitWeights, fitWeights, samplesForFilter, smoothTrack } from './filter.ts';
import { type Exposure, exposures, heldShare } from './held-frames.ts';
import { finish } from './steps.ts';

/** Hertz; 4 to 6 are usual for walking (from memory; a biomechanics handbook's example uses 6). */
export const CUTOFF = 6;

/** Samples that a local fit takes at least: the pose itself and two on each side. */
const FIT_SAMPLES = 5;

export interface DerivativeOptions {
  /** Cut-off of the low-pass, hertz; a quarter of the rate where that is lower. Default 6. */
  readonly cutoff?: number;
  /** Frames at which a new phase starts: nothing is smoothed across them. */
  readonly breaks?: readonly number[];
}

/** How well a track of a clip is known, all as one standard deviation an axis. */
export interface Noise {
  /** Metres. */
  readonly position: number;
  /** Metres a second. */
  readonly velocity: number;
  /** Metres a second squared. */
  readonly acceleration: number;
}

/** Velocity and acceleration of a point over a clip, one entry a frame. */
export interface Derivatives {
  /** Metres a second. */
  readonly velocity: readonly Vec3[];
  /** Metres a second squared; null where a phase has fewer than three distinct poses. */
  readonly acceleration: readonly (Vec3 | null)[];
  /** Hertz, as used. */
  readonly cutoff: number;
  /** Share of frames that only repeat the frame before (0.5 on twos). */
  readonly heldShare: number;
  /**
   * From what the smoothing took away, taken as white noise: real motion above the cut-off counts as
   * noise too, so this is rather too much than too little. A clip too short to tell gives zeros.
   */
  readonly noise: Noise;
}

/**
 * Velocity and acceleration of a track of points, by phases.
 *
 * Long phases on ones go through the zero-phase low-pass; short ones, and phases with held frames,
 * through a parabola fitted to the nearest distinct poses: those of one period of the
 * cut-off, five at least. A held frame has the speed of the pose
 * it repeats, read at that pose's first frame, so that pose and speed belong together. A stop (a pose
 * shown longer than four frames at 24 a second) is a phase of its own and has no speed. A phase with
 * a single pose takes the slope to its neighbours, and has no acceleration.
 * @param rate frames a second
 * @throws RangeError for a rate or cut-off that is not positive
 */
export function differentiate(
  points: readonly Vec3[],
  rate: number,
  options: DerivativeOptions = {},
): Derivatives {
  return finish(differentiateSteps(points, rate, options, points.length));
}

/** The same in steps: yields the number of frames done after every `chunk` of them, in whole phases. */
export function* differentiateSteps(
  points: readonly Vec3[],
  rate: number,
  { cutoff: wanted = CUTOFF, breaks = [] }: DerivativeOptions,
  chunk: number,
): Generator<number, Derivatives> {
  if (!(rate > 0)) throw new RangeError(`a clip needs a positive frame rate, got ${rate}`);
  if (!(wanted > 0)) throw new RangeError(`the cut-off must be above 0 Hz, got ${wanted}`);
  const cutoff = Math.min(wanted, rate / 4);
  const runs = exposures(points, rate);
  const work: Work = {
    points,
    rate,
    cutoff,
    velocity: points.map((): Vec3 => [0, 0, 0]),
    acceleration: points.map(() => null),
    residual: { squares: 0, count: 0 },
  };
  let told = 0;
  for (const phase of phasesOf(runs, breaks)) {
    differentiatePhase(work, phase, runs);
    const done = runs[phase.to]!.to + 1;
    if (done - told < chunk) continue;
    told = done;
    yield done;
  }
  return {
    velocity: work.velocity,
    acceleration: work.acceleration,
    cutoff,
    heldShare: heldShare(runs),
    noise: noiseOf(work),
  };
}

interface Work {
  readonly points: readonly Vec3[];
  readonly rate: number;
  readonly cutoff: number;
  readonly velocity: Vec3[];
  readonly acceleration: (Vec3 | null)[];
  /** What the low-pass took away, summed over the axes. */
  readonly residual: { squares: number; count: number };
}

/** Consecutive exposures [from, to] (indices into the runs) without a break between them. */
interface Phase {
  readonly from: number;
  readonly to: number;
}

function phasesOf(runs: readonly Exposure[], breaks: readonly number[]): Phase[] {
  const starts = new Set(breaks);
  const phases: Phase[] = [];
  let from = 0;
  for (let i = 1; i <= runs.length; i++) {
    const run = runs[i];
    const parted =
      run === undefined || run.stop || runs[i - 1]!.stop || startsWithin(starts, run, runs[i - 1]!);
    if (!parted) continue;
    phases.push({ from, to: i - 1 });
    from = i;
  }
  return runs.length === 0 ? [] : phases;
}

/** Whether a phase starts with this run: a break on any of its frames, or inside the one before. */
function startsWithin(starts: ReadonlySet<number>, run: Exposure, before: Exposure): boolean {
  for (let frame = before.from + 1; frame <= run.from; frame++) if (starts.has(frame)) return true;
  return false;
}

function differentiatePhase(work: Work, phase: Phase, runs: readonly Exposure[]): void {
  const { points, rate, cutoff } = work;
  const first = runs[phase.from]!;
  const last = runs[phase.to]!;
  if (first.stop) {
    for (let frame = first.from; frame <= first.to; frame++) {
      work.velocity[frame] = [0, 0, 0];
      work.acceleration[frame] = [0, 0, 0];
    }
    return;
  }
  const poses = phase.to - phase.from + 1;
  const onOnes = last.to - first.from + 1 === poses;
  if (onOnes && poses >= samplesForFilter(rate, cutoff)) filterPhase(work, first.from, last.to);
  else if (poses > 1) fitPhase(work, runs.slice(phase.from, phase.to + 1));
  else {
    // One pose between two breaks: the slope to whatever is beside it is the only one there is.
    const before = points[first.from - 1] ?? points[first.from]!;
    const after = points[first.to + 1] ?? points[first.to]!;
    const steps =
      (first.from > 0 ? 1 : 0) + (first.to + 1 < points.length ? first.to - first.from + 1 : 0);
    const slope = (axis: 0 | 1 | 2): number =>
      steps === 0 ? 0 : ((after[axis] - before[axis]) * rate) / steps;
    spread(work, first, [slope(0), slope(1), slope(2)], null);
  }
}

function filterPhase(work: Work, from: number, to: number): void {
  const axes = ([0, 1, 2] as const).map((axis) => {
    const values = Float64Array.from({ length: to - from + 1 }, (_, i) => {
      return work.points[from + i]![axis];
    });
    const track = smoothTrack(values, work.rate, work.cutoff);
    // The ends are continued, not measured: only the inside tells noise from motion.
    const edge = Math.ceil(work.rate / work.cutoff / 2);
    for (let i = edge; i < values.length - edge; i++) {
      work.residual.squares += (values[i]! - track.value[i]!) ** 2;
      work.residual.count++;
    }
    return track;
  });
  const [x, y, z] = axes as [(typeof axes)[0], (typeof axes)[0], (typeof axes)[0]];
  for (let i = 0; i <= to - from; i++) {
    work.velocity[from + i] = [x.velocity[i]!, y.velocity[i]!, z.velocity[i]!];
    work.acceleration[from + i] = [x.acceleration[i]!, y.acceleration[i]!, z.acceleration[i]!];
  }
}

function fitPhase(work: Work, runs: readonly Exposure[]): void {
  const { points, rate } = work;
  // As long as one period of the cut-off, so that it smooths like the filter that it stands for.
  const period = Math.round(rate / work.cutoff);
  const held = (runs.at(-1)!.to - runs[0]!.from + 1) / runs.length;
  const taken = Math.min(Math.max(FIT_SAMPLES, Math.round(period / held)), runs.length);
  // On ones all poses inside a phase have the same weights.
  const known = new Map<number, FitWeights>();
  runs.forEach((run, i) => {
    const start = Math.max(0, Math.min(i - (taken >> 1), runs.length - taken));
    const near = runs.slice(start, start + taken);
    const times = near.map(({ from }) => (from - run.from) / rate);
    const weights = (held === 1 ? known.get(i - start) : undefined) ?? fitWeights(times, 0);
    known.set(i - start, weights);
    const along = (list: Float64Array, axis: 0 | 1 | 2): number =>
      near.reduce(
        (sum, { from }, k) => sum + list[k]! * (points[from]![axis] - points[run.from]![axis]),
        0,
      );
    const { velocity: v, acceleration: a } = weights;
    spread(
      work,
      run,
      [along(v, 0), along(v, 1), along(v, 2)],
      taken < 3 ? null : [along(a, 0), along(a, 1), along(a, 2)],
    );
  });
}

/** Gives every frame of a run the same speed. */
function spread(work: Work, run: Exposure, velocity: Vec3, acceleration: Vec3 | null): void {
  for (let frame = run.from; frame <= run.to; frame++) {
    work.velocity[frame] = velocity;
    work.acceleration[frame] = acceleration;
  }
}

/**
 * White noise of standard deviation s leaves s g_v in velocity and s g_a in acceleration, with the
 * gains g read off the filter's answer to a single unit sample. The filter takes away all but
 * (2 h_0 - sum h^2) of its power, h its answer, which turns the residual back into s.
 */
function noiseOf({ rate, cutoff, residual }: Work): Noise {
  if (residual.count === 0) return { position: 0, velocity: 0, acceleration: 0 };
  const half = Math.ceil((3 * rate) / cutoff) + 5;
  const impulse = new Float64Array(2 * half + 1);
  impulse[half] = 1;
  const answer = smoothTrack(impulse, rate, cutoff);
  const power = (list: Float64Array): number => list.reduce((sum, v) => sum + v * v, 0);
  const taken = 1 - 2 * answer.value[half]! + power(answer.value);
  const position = Math.sqrt(residual.squares / residual.count / taken);
  return {
    position,
    velocity: position * Math.sqrt(power(answer.velocity)),
    acceleration: position * Math.sqrt(power(answer.acceleration)),
  };
}
