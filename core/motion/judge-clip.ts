import type { Verdict } from '../balance/index.ts';
import type { Vec2, Vec3 } from '../geometry/index.ts';
import { angularMomenta } from './angular-momentum.ts';
import { type Derivatives, differentiateSteps } from './derivatives.ts';
import { type Flight, fitFlight } from './flight.ts';
import { exposures } from './held-frames.ts';
import { GRAVITY, pendulumRate } from './pendulum.ts';
import { groundForce, pressurePoint } from './pressure.ts';
import { type Rise, riseFromSeat } from './rise-from-seat.ts';
import { jointSupport } from './sample-frame.ts';
import { finish, telling } from './steps.ts';
import { gaitOf, STEADY_FOR, type SupportSpan, supportSpans } from './support-changes.ts';
import { slowestShare } from './time-scaling.ts';
import type { ClipFrame, ClipReading, FrameSample, WeighClipOptions } from './types.ts';
import { type AheadSupport, LOOK_AHEAD, type MotionState, motionVerdict } from './verdict.ts';

/** Frames of a stretch that its common support is made from, spread over it. */
const SUPPORT_SAMPLES = 24;

/**
 * What speed makes of weighed frames: phases, velocity, extrapolated centre, pressure, flights, rises
 * from a seat and the verdict of every frame. See weighClip.
 * @param rate frames a second
 */
export function judgeClip(
  samples: readonly FrameSample[],
  rate: number,
  options: WeighClipOptions = {},
): ClipReading {
  return finish(judgeSteps(samples, rate, options, samples.length));
}

/** The same in steps: yields the number of frames judged, 0 while their speeds are found, about every `chunk` frames. */
export function* judgeSteps(
  samples: readonly FrameSample[],
  rate: number,
  options: WeighClipOptions,
  chunk: number,
): Generator<number, ClipReading> {
  const spans = supportSpans(
    samples.map(({ parts }) => parts),
    rate,
  );
  if (samples.length > chunk) yield 0;
  const centre = centresOf(samples);
  const breaks = [...breaksOf(spans, samples.length, rate), ...changesOfMembers(samples)];
  const settings = options.cutoff === undefined ? { breaks } : { breaks, cutoff: options.cutoff };
  const rates = (track: readonly Vec3[]) =>
    telling(differentiateSteps(track, rate, settings, chunk), 0);
  const moving = centre === null ? null : yield* rates(centre);
  const momentum = angularMomenta(
    samples.map(({ points }) => points),
    rate,
    centre === null ? undefined : exposures(centre, rate),
  );
  if (samples.length > chunk) yield 0;
  const turning = (yield* rates(momentum)).velocity;
  const stretches = stretchesOf(spans, samples, rate);
  const flights = flightsOf(spans, centre, rate);
  const clip = { samples, rate, spans, stretches, moving, momentum, turning, flights };

  const frames: ClipFrame[] = [];
  for (let frame = 0; frame < samples.length; frame++) {
    frames.push(frameOf(clip, frame));
    if (frames.length % chunk === 0 && frames.length < samples.length) yield frames.length;
  }
  const counts: Partial<Record<Verdict, number>> = {};
  for (const { verdict } of frames) counts[verdict] = (counts[verdict] ?? 0) + 1;
  const figure = samples[0]?.figure ?? null;
  const reading: ClipReading = {
    rate,
    frameCount: samples.length,
    frames,
    contacts: typeof options.contacts === 'object' ? options.contacts : [],
    spans,
    flights,
    rises: risesOf(clip, moving),
    gait: figure === null ? null : gaitOf(spans, figure, rate),
    cutoff: moving?.cutoff ?? 0,
    noise: moving?.noise ?? { position: 0, velocity: 0, acceleration: 0 },
    counts,
    worst: worstOf(frames),
    stopsFrom: stopsFrom(frames),
    sentences: sentencesOf(frames, moving, flights, rate),
  };
  if (!options.slowest) return reading;
  const { slowest: _, ...rest } = options;
  const fallsAt = (share: number): boolean =>
    ((share === 1 ? counts : judgeClip(samples, rate * share, rest).counts).falls ?? 0) > 0;
  return { ...reading, slowest: slowestShare(fallsAt) };
}

interface Judged {
  readonly samples: readonly FrameSample[];
  readonly rate: number;
  readonly spans: readonly SupportSpan[];
  readonly stretches: readonly AheadSupport[];
  readonly moving: Derivatives | null;
  readonly momentum: readonly Vec3[];
  readonly turning: readonly Vec3[];
  readonly flights: readonly Flight[];
}

/** The centre of every frame; null while one of them has none (a load without a mass). */
function centresOf(samples: readonly FrameSample[]): readonly Vec3[] | null {
  const found = samples.flatMap(({ reading }) => (reading.centre === null ? [] : [reading.centre]));
  return found.length === samples.length ? found : null;
}

/** Where the support changes, unless that would leave a phase too short to tell speed from noise. */
function breaksOf(spans: readonly SupportSpan[], frameCount: number, rate: number): number[] {
  const shortest = Math.round(STEADY_FOR * rate);
  const breaks: number[] = [];
  for (const { from } of spans)
    if (from - (breaks.at(-1) ?? 0) >= shortest && frameCount - from >= shortest) breaks.push(from);
  return breaks;
}

/** Frames at which the group is another one than before (a load taken up, a partner let go). */
function changesOfMembers(samples: readonly FrameSample[]): number[] {
  const keys = samples.map(({ reading }) => reading.members.join(' '));
  return keys.flatMap((key, frame) => (frame > 0 && key !== keys[frame - 1] ? [frame] : []));
}

/** Every span as what it offers: its duration, the support over its whole time, its pendulum. */
function stretchesOf(
  spans: readonly SupportSpan[],
  samples: readonly FrameSample[],
  rate: number,
): readonly AheadSupport[] {
  return spans.map(({ from, to }) => {
    const step = Math.max(1, Math.floor((to - from) / SUPPORT_SAMPLES));
    const some: FrameSample[] = [];
    for (let frame = from; frame <= to; frame += step) some.push(samples[frame]!);
    const { reading, floor } = samples[from]!;
    const height = (reading.centre?.[1] ?? 1) - (floor ?? 0);
    return {
      frame: from,
      duration: (to - from + 1) / rate,
      polygon: jointSupport(some),
      rate: pendulumRate(Math.max(height, 0.05)),
    };
  });
}

function flightsOf(
  spans: readonly SupportSpan[],
  centre: readonly Vec3[] | null,
  rate: number,
): Flight[] {
  if (centre === null) return [];
  return spans.flatMap(({ parts, from, to }) => {
    const flight = parts.length > 0 ? null : fitFlight(centre, from, to, rate);
    return flight === null ? [] : [flight];
  });
}

function frameOf(clip: Judged, frame: number): ClipFrame {
  const { samples, rate, moving, momentum } = clip;
  const sample = samples[frame]!;
  const { reading } = sample;
  const base = { frame, time: frame / rate, reading, momentum: momentum[frame]! };
  if (moving === null || reading.centre === null)
    return { ...base, ...NOT_MOVING, verdict: reading.verdict, sentence: reading.sentence };
  const velocity = moving.velocity[frame]!;
  const acceleration = moving.acceleration[frame] ?? null;
  const state = stateOf(clip, frame, velocity);
  const motion = motionVerdict(state);
  const carries = reading.mass !== null && reading.mass > 0 && acceleration !== null;
  const pressure =
    carries && reading.support.polygon.length > 0
      ? pressurePoint(
          {
            mass: reading.mass,
            centre: reading.centre,
            acceleration,
            turning: clip.turning[frame]!,
          },
          reading.support.polygon,
          state.floor,
          moving.noise.acceleration,
        )
      : null;
  const ground = carries ? groundForce(reading.mass, acceleration) : null;
  return { ...base, velocity, acceleration, ...motion, pressure, ground, ...inFlight(clip, frame) };
}

const NOT_MOVING = {
  velocity: null,
  acceleration: null,
  extrapolated: null,
  marginOfStability: null,
  pressure: null,
  ground: null,
  needed: null,
  has: null,
  topplesIn: null,
} as const;

/** A frame in the air tells of its flight. */
function inFlight({ flights, samples }: Judged, frame: number): { sentence?: string } {
  if (samples[frame]!.reading.verdict !== 'airborne') return {};
  const flight = flights.find(({ from, to }) => from <= frame && frame <= to);
  return flight === undefined ? {} : { sentence: `Airborne: ${lower(flight.sentence)}` };
}

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function stateOf(clip: Judged, frame: number, velocity: Vec3): MotionState {
  const { samples, rate, spans, stretches } = clip;
  const sample = samples[frame]!;
  const at = spanAt(spans, frame);
  const ahead = stretches.slice(at, at + LOOK_AHEAD + 1);
  const present = ahead[0]!;
  const span = spans[at]!;
  return {
    reading: sample.reading,
    velocity,
    floor: sample.floor ?? 0,
    forward: sample.forward,
    footLength: sample.footLength,
    ahead: [{ ...present, duration: (span.to + 1 - frame) / rate }, ...ahead.slice(1)],
    left: (samples.length - 1 - frame) / rate,
    seatOff: frame === span.from && at > 0 && leavesSeat(spans[at - 1]!, span),
  };
}

const leavesSeat = (before: SupportSpan, after: SupportSpan): boolean =>
  before.parts.some((part) => part.endsWith('/seat')) &&
  after.parts.length > 0 &&
  !after.parts.some((part) => part.endsWith('/seat'));

/** Index of the span that holds a frame, by halving. */
function spanAt(spans: readonly SupportSpan[], frame: number): number {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (spans[middle]!.from <= frame) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The moments at which a seat lets go while the feet carry, read along the way the figure faces. */
function risesOf(
  { samples, spans }: Judged,
  moving: Derivatives | null,
): (Rise & { readonly frame: number })[] {
  if (moving === null) return [];
  return spans.flatMap((span, i) => {
    const sample = samples[span.from]!;
    const { reading, forward, footLength, stature, floor } = sample;
    if (i === 0 || !leavesSeat(spans[i - 1]!, span)) return [];
    if (reading.centre === null || footLength === null || floor === null) return [];
    const along = ([x, z]: Vec2): number => x * forward[0] + z * forward[1];
    const places = reading.support.polygon.map(along);
    const heel = Math.min(...places);
    const [vx, , vz] = moving.velocity[span.from]!;
    const rise = riseFromSeat({
      behindHeel: heel - along([reading.centre[0], reading.centre[2]]),
      // Feet drawn back one behind the other make one long foot.
      footLength: Math.max(footLength, Math.max(...places) - heel),
      height: reading.centre[1] - floor,
      stature,
      speed: along([vx, vz]),
    });
    return [{ ...rise, frame: span.from }];
  });
}

function worstOf(frames: readonly ClipFrame[]): number | null {
  const falling = frames.filter(({ verdict }) => verdict === 'falls');
  let worst: ClipFrame | null = null;
  for (const frame of falling.length > 0 ? falling : frames) {
    if (frame.marginOfStability === null) continue;
    if (worst === null || frame.marginOfStability < (worst.marginOfStability ?? 0)) worst = frame;
  }
  return worst?.frame ?? falling[0]?.frame ?? null;
}

function stopsFrom(frames: readonly ClipFrame[]): number | null {
  let from: number | null = null;
  for (let i = frames.length - 1; i >= 0; i--) {
    const { verdict } = frames[i]!;
    if (verdict !== 'holds' && verdict !== 'teeters' && verdict !== 'held') break;
    from = i;
  }
  return from;
}

function sentencesOf(
  frames: readonly ClipFrame[],
  moving: Derivatives | null,
  flights: readonly Flight[],
  rate: number,
): readonly string[] {
  if (moving === null)
    return [
      'The clip holds a load without a mass: it has no centre, so nothing is said of its motion.',
    ];
  const { cutoff, heldShare, noise } = moving;
  const said = [
    `Speeds from a zero-phase low-pass at ${cutoff.toFixed(1)} Hz at ${rate.toFixed(2)} frames a second, split where the support changes; short stretches from parabolas over a period of it.`,
  ];
  if (heldShare > 0.3)
    said.push(
      `${Math.round(heldShare * 100)} % of the moving frames repeat the pose before: speeds are taken between distinct poses.`,
    );
  const heights = frames.flatMap(({ reading }) => reading.centre?.[1] ?? []);
  const height = heights.reduce((sum, h) => sum + h, 0) / Math.max(1, heights.length);
  const spread = (noise.acceleration * height) / GRAVITY;
  said.push(
    `The centre is known to about ${(noise.position * 1000).toFixed(1)} mm; that moves the pressure by ${(spread * 100).toFixed(1)} cm, so the extrapolated centre decides. Segments count as point masses.`,
  );
  for (const flight of flights)
    if (flight.kind === 'floats' || flight.kind === 'dives') said.push(flight.sentence);
  return said;
}
