import { headingOf } from '../balance/heading.ts';
import { DEAD_BAND, type Reading, type Verdict } from '../balance/index.ts';
import { inWords } from '../balance/sentence.ts';
import {
  containsPoint,
  nearestOnPolygon,
  signedMargin,
  type Vec2,
  type Vec3,
} from '../geometry/index.ts';
import { entryAlong } from './convex.ts';
import { extrapolatedCentre } from './extrapolated-centre.ts';
import { GRAVITY, pendulumRate } from './pendulum.ts';
import { reachesSupport, type Stretch } from './reach-support.ts';
import { pendulumSpeed } from './rise-from-seat.ts';
import { toppleConstant, toppleTime } from './topple.ts';

/**
 * Lean over the edge at which a body counts as toppled: 45 degrees, where no step of ordinary length
 * catches it (own choice, no source).
 */
export const TOPPLED = Math.PI / 4;

/** Below this the centre counts as still, metres a second: sway of quiet standing is about 1 cm/s. */
const STILL = 0.03;

/**
 * A body slower than this is not on its way to a step that the clip does not show, metres a second: its
 * pose decides (own choice; walking does 1 and more).
 */
const STEPPING = 0.1;

/** Supports ahead that are tried: from two feet over one foot to the next two, and the change after. */
export const LOOK_AHEAD = 4;

/** What is known of a body at one frame of a clip. */
export interface MotionState {
  /** At rest, as weighed. */
  readonly reading: Reading;
  /** Of the centre, metres a second. */
  readonly velocity: Vec3;
  /** Height of the lowest contact, metres. */
  readonly floor: number;
  /** Which way "forwards" is, a unit direction in plan. */
  readonly forward: Vec2;
  /** Heel to toe tip, metres; null without a figure. */
  readonly footLength: number | null;
  /**
   * The present support from now on, then what follows it in the clip, in order; LOOK_AHEAD of those
   * are read.
   */
  readonly ahead: readonly AheadSupport[];
  /** Seconds until the clip ends. */
  readonly left: number;
  /** Whether the seat has just let go. */
  readonly seatOff: boolean;
}

/** A support of the clip that the body is on or comes to. */
export interface AheadSupport extends Stretch {
  /** Frame at which it begins. */
  readonly frame: number;
}

/** What speed makes of a frame. */
export interface MotionReading {
  readonly verdict: Verdict;
  /** One plain sentence with numbers and units. */
  readonly sentence: string;
  /** Extrapolated centre, at the centre's height, metres; null in the air or without a centre. */
  readonly extrapolated: Vec3 | null;
  /** Signed distance from it to the edge of the support, metres; null as above. */
  readonly marginOfStability: number | null;
  /** Level speed that brings the centre over the present support, metres a second; 0 over it, null in the air. */
  readonly needed: number | null;
  /** Level speed of the centre that way, metres a second. */
  readonly has: number | null;
  /** Seconds until it would have toppled if no support came; null where it does not topple. */
  readonly topplesIn: number | null;
}

/**
 * The verdict of a moving frame. Speed decides (Hof et al. 2005), not acceleration:
 * - extrapolated centre in the support, centre too: as at rest (`holds`, `teeters`);
 * - centre outside, but fast enough towards the support: `carried`. Fast enough is w d over a distance
 *   d up to one foot length, the energy of a pendulum beyond (see rise-from-seat.ts);
 * - otherwise a coming support of the clip has to catch it before it has toppled: `carried`;
 * - if none does: `falls`; or `unknown` where the clip ends before the body would have toppled.
 * The clip's own steps count as they are drawn, in place and in time.
 */
export function motionVerdict(state: MotionState, g: number = GRAVITY): MotionReading {
  const { reading, velocity, floor, footLength } = state;
  const { centre, support, verdict } = reading;
  const none = { extrapolated: null, marginOfStability: null, needed: null, has: null };
  if (centre === null || support.polygon.length === 0 || centre[1] - floor <= 0)
    return { ...none, verdict, sentence: reading.sentence, topplesIn: null };

  const height = centre[1] - floor;
  const rate = pendulumRate(height, g);
  const extrapolated = extrapolatedCentre(centre, velocity, height, g);
  const plumb: Vec2 = [centre[0], centre[2]];
  const ahead: Vec2 = [extrapolated[0], extrapolated[2]];
  const marginOfStability = signedMargin(ahead, support.polygon);
  const speed = Math.hypot(velocity[0], velocity[2]);
  const base = { extrapolated, marginOfStability };

  if (verdict === 'holds' || verdict === 'teeters' || verdict === 'held') {
    if (marginOfStability >= -DEAD_BAND) {
      const rim = verdict === 'holds' && !isHeld(ahead, support.functional);
      const still = speed < STILL;
      return {
        ...base,
        ...{ needed: 0, has: speed, topplesIn: null },
        verdict: rim && !still ? 'teeters' : verdict,
        sentence: still ? reading.sentence : tellStop(state, speed, marginOfStability, rim),
      };
    }
    return judgeAhead(state, { ...base, needed: 0, has: speed }, rate, g);
  }
  if (verdict !== 'falls')
    return {
      ...base,
      verdict,
      sentence: reading.sentence,
      ...{ needed: null, has: null, topplesIn: null },
    };

  const way = wayBack(plumb, velocity, speed, reading);
  const needed =
    footLength !== null && way.distance > footLength
      ? pendulumSpeed(way.distance, height, g)
      : rate * way.distance;
  const reading2 = { ...base, needed, has: way.has };
  if (way.meets && way.has >= needed) {
    return {
      ...reading2,
      verdict: 'carried',
      topplesIn: null,
      sentence: `Carried: ${inWords(way.distance)} short of the support, ${needs(state, way, needed)}.`,
    };
  }
  return judgeAhead(state, reading2, rate, g, way);
}

const isHeld = (point: Vec2, functional: readonly Vec2[]): boolean =>
  functional.length < 3 || containsPoint(point, functional);

/** The way from the plumb point to the support: where its speed meets it, or straight to the nearest edge. */
interface Way {
  readonly direction: Vec2;
  readonly distance: number;
  /** Speed along it. */
  readonly has: number;
  /** Whether the speed's own line meets the support. */
  readonly meets: boolean;
}

function wayBack(plumb: Vec2, velocity: Vec3, speed: number, { support }: Reading): Way {
  if (speed > 1e-9) {
    const direction: Vec2 = [velocity[0] / speed, velocity[2] / speed];
    const distance = entryAlong(plumb, direction, support.polygon, DEAD_BAND);
    if (distance !== null) return { direction, distance, has: speed, meets: true };
  }
  const nearest = nearestOnPolygon(plumb, support.polygon);
  const distance = nearest?.distance ?? 0;
  const to = nearest?.nearest ?? plumb;
  const direction: Vec2 =
    distance === 0 ? [0, 1] : [(to[0] - plumb[0]) / distance, (to[1] - plumb[1]) / distance];
  const has = velocity[0] * direction[0] + velocity[2] * direction[1];
  return { direction, distance, has, meets: false };
}

function needs({ forward, seatOff }: MotionState, way: Way, needed: number): string {
  const heading = headingOf(way.direction, forward);
  const when = seatOff ? ' at seat-off' : '';
  // Fast enough, but not that way.
  if (!way.meets && way.has >= needed)
    return `has ${way.has.toFixed(2)} m/s ${heading}${when}, past the support`;
  return `needs ${needed.toFixed(2)} m/s ${heading}${when}, has ${way.has.toFixed(2)}`;
}

function tellStop(
  { reading, velocity, forward }: MotionState,
  speed: number,
  margin: number,
  rim: boolean,
): string {
  const heading = headingOf([velocity[0], velocity[2]], forward);
  const moving = `moving ${speed.toFixed(2)} m/s ${heading}`;
  const room = inWords(Math.max(0, margin));
  if (reading.verdict === 'teeters' || rim)
    return `Teeters: ${moving} it can stop over the support only on its rim, ${room} from the edge.`;
  const held = reading.verdict === 'held' ? 'Held' : 'Holds';
  return `${held}: ${moving} it can stop here, with ${room} of room.`;
}

/** What becomes of a body that cannot stop over its present support. */
function judgeAhead(
  state: MotionState,
  base: Omit<MotionReading, 'verdict' | 'sentence' | 'topplesIn'>,
  rate: number,
  g: number,
  way: Way | null = null,
): MotionReading {
  const { reading, velocity, left, forward } = state;
  const centre = reading.centre as Vec3;
  const [ex, , ez] = base.extrapolated as Vec3;
  const out = outOf(centre, [ex, ez], reading.support.polygon);
  const topplesIn = timeToTopple(centre, velocity, state.floor, out, g);
  const heading = headingOf(out.direction, forward);

  const moving = `moving ${Math.hypot(velocity[0], velocity[2]).toFixed(2)} m/s ${headingOf([velocity[0], velocity[2]], forward)}`;
  const catching = findCatch(state, topplesIn);
  if (catching !== null) {
    const inTime = `the support that comes in ${catching.after.toFixed(2)} s (frame ${catching.frame}) catches it`;
    const without =
      topplesIn === null ? '' : `; without it, it would have toppled in ${topplesIn.toFixed(2)} s`;
    return {
      ...base,
      topplesIn,
      verdict: 'carried',
      sentence: `Carried: ${moving}, ${inTime}${without}.`,
    };
  }
  if (way === null && topplesIn === null) {
    // The rod about the edge has a little less than it needs, the straight rule a little more.
    const sentence = `Teeters: ${moving} it can only just stop over the support.`;
    return { ...base, topplesIn, verdict: 'teeters', sentence };
  }
  const seen = topplesIn !== null && left >= topplesIn;
  const why =
    way === null
      ? `${moving} it can stop here from ${bearable(state, out, rate).toFixed(2)} m/s at most`
      : needs(state, way, base.needed ?? 0);
  if (!seen && Math.hypot(velocity[0], velocity[2]) > STEPPING) {
    const when = topplesIn === null ? '' : ` (${topplesIn.toFixed(2)} s)`;
    const sentence = `Cannot tell: ${why}; the clip ends in ${left.toFixed(2)} s, before it would have toppled${when}.`;
    return { ...base, topplesIn, verdict: 'unknown', sentence };
  }
  const end =
    topplesIn === null
      ? 'no support comes in time'
      : `it topples in ${topplesIn.toFixed(2)} s and no support comes in time`;
  return {
    ...base,
    topplesIn,
    verdict: 'falls',
    sentence: `Falls ${heading}: ${why}; ${end}.`,
  };
}

/** The edge over which it goes: nearest to the extrapolated centre, and the way out over it. */
interface WayOut {
  readonly edge: Vec2;
  readonly direction: Vec2;
}

function outOf(centre: Vec3, extrapolated: Vec2, polygon: readonly Vec2[]): WayOut {
  const edge = nearestOnPolygon(extrapolated, polygon)?.nearest ?? extrapolated;
  const x = extrapolated[0] - edge[0];
  const z = extrapolated[1] - edge[1];
  const size = Math.hypot(x, z);
  if (size > 1e-9) return { edge, direction: [x / size, z / size] };
  const cx = centre[0] - edge[0];
  const cz = centre[2] - edge[1];
  const away = Math.hypot(cx, cz);
  return { edge, direction: away > 1e-9 ? [cx / away, cz / away] : [0, 1] };
}

/** Exact time for a mass on a rod from the edge to lean TOPPLED over it. */
function timeToTopple(
  centre: Vec3,
  velocity: Vec3,
  floor: number,
  { edge, direction }: WayOut,
  g: number,
): number | null {
  const out = (centre[0] - edge[0]) * direction[0] + (centre[2] - edge[1]) * direction[1];
  const speed = velocity[0] * direction[0] + velocity[2] * direction[1];
  const height = centre[1] - floor;
  const square = out * out + height * height;
  return toppleTime({
    lean: Math.atan2(out, height),
    // The part of the speed across the rod turns it.
    leanRate: (speed * height - velocity[1] * out) / square,
    until: TOPPLED,
    k: toppleConstant(Math.sqrt(square), g),
  });
}

/** Speed towards the edge from which it could just stop, metres a second. */
function bearable({ reading }: MotionState, { edge, direction }: WayOut, rate: number): number {
  const centre = reading.centre as Vec3;
  const inside = (edge[0] - centre[0]) * direction[0] + (edge[1] - centre[2]) * direction[1];
  return Math.max(0, inside * rate);
}

/** The first coming support that takes the body over before it has toppled. */
function findCatch(
  { reading, velocity, ahead }: MotionState,
  topplesIn: number | null,
): { after: number; frame: number } | null {
  const centre = reading.centre as Vec3;
  let after = ahead[0]?.duration ?? 0;
  for (let i = 1; i < ahead.length && i <= LOOK_AHEAD; i++) {
    const coming = ahead[i]!;
    if (topplesIn !== null && after > topplesIn) return null;
    const reached =
      coming.polygon.length > 0 &&
      reachesSupport(
        [centre[0], centre[2]],
        [velocity[0], velocity[2]],
        ahead.slice(0, i),
        coming,
        DEAD_BAND,
      );
    if (reached) return { after, frame: coming.frame };
    after += coming.duration;
  }
  return null;
}
