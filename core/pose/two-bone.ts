import type { Body, SegmentName } from '../body/types.ts';
import { between, conjugate, multiply, normaliseQuat, rotate } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { add, dot, length, subtract } from '../geometry/vec3.ts';

/**
 * A limb of two bones: the upper one turns freely at its joint, the lower one bends about the upper
 * one's x axis. What else the lower joint does (a forearm's twist) stays as it is.
 */
export interface Limb {
  readonly upper: SegmentName;
  readonly lower: SegmentName;
}

export interface LimbGoal {
  /** Placement of the segment that the limb hangs on. */
  readonly parent: Transform;
  /** World turn of the upper bone before: the limb's swivel is kept from it. */
  readonly upperWorld: Quat;
  /** Turn of the lower bone against the upper one before. */
  readonly lowerTurn: Quat;
  /** The point to bring to the target, in the lower bone's frame, metres. */
  readonly tip: Vec3;
  /** World target, metres. */
  readonly target: Vec3;
}

export interface LimbTurns {
  readonly upperTurn: Quat;
  readonly lowerTurn: Quat;
  readonly upperWorld: Quat;
  readonly lowerWorld: Quat;
}

const aboutX = (radians: number): Quat => [Math.sin(radians / 2), 0, 0, Math.cos(radians / 2)];

/** Bend of a turn about x: q = aboutX(bend) · rest. */
export const bendOf = (q: Quat): number => wrap(2 * Math.atan2(q[0], q[3]));

const wrap = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle));

/** Bend range of a limb's middle joint, widened so that the bend it has now is inside. */
function bendRange(body: Body, limb: Limb, now: number): readonly [number, number] {
  const [low, high] = body.segments[limb.lower].limits.x;
  return [Math.min(low, now), Math.max(high, now)];
}

/**
 * Distance between the upper joint and the tip for a bend. With e the lower joint in the upper frame
 * (straight down, length a) and u the tip turned by the bend: |e + u|² = a² + |u|² - 2 a u_y.
 */
function spanAt(bone: number, tip: Vec3, bend: number): number {
  const u = rotate(aboutX(bend), tip);
  return Math.sqrt(Math.max(0, bone * bone + dot(u, u) - 2 * bone * u[1]));
}

/** Shortest and longest span of a limb whose tip and turn are as given, metres. */
export function spanRange(
  body: Body,
  limb: Limb,
  lowerTurn: Quat,
  tip: Vec3,
): readonly [shortest: number, longest: number] {
  const bone = -body.segments[limb.lower].offset[1];
  const now = bendOf(lowerTurn);
  const v = rotate(multiply(aboutX(-now), lowerTurn), tip);
  const range = bendRange(body, limb, now);
  const spans = range.map((bend) => spanAt(bone, v, bend));
  // Straight in between (u_y lowest) when the range holds it.
  const straight = wrap(Math.PI - Math.atan2(v[2], v[1]));
  if (straight >= range[0] && straight <= range[1]) spans.push(spanAt(bone, v, straight));
  return [Math.min(...spans), Math.max(...spans)];
}

/**
 * Bends the limb to the target's distance and swings it there by the shortest way from its old
 * direction, so that elbow and knee neither flip nor swivel. Out of reach it stretches (or folds)
 * towards the target. Exact to rounding within reach.
 */
export function solveLimb(body: Body, limb: Limb, goal: LimbGoal): LimbTurns {
  const bone = -body.segments[limb.lower].offset[1];
  const joint = add(
    goal.parent.position,
    rotate(goal.parent.rotation, body.segments[limb.upper].offset),
  );
  const toTarget = subtract(goal.target, joint);
  const now = bendOf(goal.lowerTurn);
  const rest = multiply(aboutX(-now), goal.lowerTurn);
  const v = rotate(rest, goal.tip);
  const bend = bendFor(bone, v, length(toTarget), now, bendRange(body, limb, now));
  const lowerTurn = normaliseQuat(multiply(aboutX(bend), rest));
  const tip = add([0, -bone, 0], rotate(aboutX(bend), v));
  const swing = between(rotate(goal.upperWorld, tip), toTarget);
  const upperWorld = normaliseQuat(multiply(swing, goal.upperWorld));
  return {
    upperTurn: multiply(conjugate(goal.parent.rotation), upperWorld),
    lowerTurn,
    upperWorld,
    lowerWorld: multiply(upperWorld, lowerTurn),
  };
}

/** Bend with which the tip is `span` from the upper joint: u_y = ρ cos(bend + ψ), two answers. */
function bendFor(
  bone: number,
  v: Vec3,
  span: number,
  now: number,
  [low, high]: readonly [number, number],
): number {
  const radius = Math.hypot(v[1], v[2]);
  const phase = Math.atan2(v[2], v[1]);
  const uy = (bone * bone + dot(v, v) - span * span) / (2 * bone);
  const half = Math.acos(Math.min(1, Math.max(-1, uy / radius)));
  const within = [half - phase, -half - phase]
    .map(wrap)
    .filter((bend) => bend >= low - 1e-7 && bend <= high + 1e-7)
    .map((bend) => Math.min(high, Math.max(low, bend)));
  // Of two bends that fit, the one nearer to the present one; a limb so never snaps through.
  if (within.length > 0) {
    return within.reduce((a, b) => (Math.abs(b - now) < Math.abs(a - now) ? b : a));
  }
  const miss = (bend: number): number => Math.abs(spanAt(bone, v, bend) - span);
  const straight = Math.min(high, Math.max(low, wrap(Math.PI - phase)));
  return [low, high, straight].reduce((a, b) => (miss(b) < miss(a) ? b : a));
}
