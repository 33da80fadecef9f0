import type { Vec2, Vec3 } from '../../geometry/types.ts';
import { add, dot, length, scale, subtract } from '../../geometry/vec3.ts';
import {
  checkPoint,
  checkPositive,
  checkShape,
  patchKey,
  patchName,
  planDirection,
  readContacts,
} from './check-input.ts';
import { likelyForces } from './likely-forces.ts';
import {
  buildProgram,
  type LoadColumn,
  largest,
  middleLoads,
  type Program,
  type ProgramSpec,
  type Support,
  smallest,
} from './program.ts';
import type { ConeShape, ContactPoint } from './types.ts';

/** Smallest and largest value over all equilibria; equal where statics decides. May be infinite. */
export type Range = readonly [min: number, max: number];

/** What one contact (all points of one patch) carries. Newtons. */
export interface ContactLoad {
  /** The points' patch name, or the contact's index as text where it has none. */
  readonly patch: string;
  /** Upward force on the body; negative where the contact pulls down by friction. */
  readonly vertical_N: Range;
  /** Sum of normal forces; for a hold: force along its given normal. */
  readonly normal_N: Range;
  /** True where the vertical load is decided by statics (range under 0.1 % of the weight). */
  readonly unique: boolean;
  /** The equal-spring value; a convention, see likely-forces.ts. Sums to the weight over contacts. */
  readonly likely_N: number;
  /**
   * Friction used of friction available at the likely forces, over the patch as a whole: 0 none, 1
   * about to slip. Null where it carries nothing, has no friction, or is a hold.
   */
  readonly frictionUsed: number | null;
}

export interface HeldStill {
  readonly kind: 'holds';
  readonly loads: readonly ContactLoad[];
  /**
   * Likely force on the body at every contact point, newtons, in the order of the contacts; null
   * where the body is at the very limit of its friction, so that springs say nothing.
   */
  readonly likelyForces_N: readonly Vec3[] | null;
}

export interface NotHeld {
  readonly kind: 'not held';
}

export interface StaticOptions {
  /** Default `'round'`. */
  readonly edges?: ConeShape | undefined;
  /** False spares finding out what ends a limit, half of its time: any end is then told as `tips`. */
  readonly ends?: boolean | undefined;
}

/**
 * What every contact carries when a body of this weight is at rest with its centre here: for each
 * contact the range of its vertical and normal load over all equilibria (two linear programs each)
 * and the equal-spring value (mechanics.md 1.7). Contacts at different heights with friction are
 * redundant even in pairs: their ranges include any squeeze that friction and caps allow (2.4).
 *
 * @param centre mass centre, metres, y up
 * @param weight_N m g, newtons
 * @throws RangeError on malformed input
 */
export function staticLoads(
  contacts: readonly ContactPoint[],
  centre: Vec3,
  weight_N: number,
  options: StaticOptions = {},
): HeldStill | NotHeld {
  checkPositive('weight_N', weight_N);
  const spec = standing(contacts, centre, options);
  const program = buildProgram({ ...spec, loads: true, worth: LOAD_WORTH });
  if (contacts.length === 0 || !program.simplex.feasible()) return { kind: 'not held' };
  const forces = likelyForces(spec.supports, [{ weight: 1, centre }]);
  const names = patchNames(contacts);
  const extremes = names.map((_, patch) => rangesOf(program, patch, spec.supports));
  const fallback = forces === null ? middleLoads(program) : null;
  const loads = names.map((name, patch): ContactLoad => {
    const { vertical, normal } = extremes[patch]!;
    const likely = forces ? verticalOf(forces, spec.supports, patch) : fallback![patch]!;
    return {
      patch: name,
      vertical_N: [vertical[0] * weight_N, vertical[1] * weight_N],
      normal_N: [normal[0] * weight_N, normal[1] * weight_N],
      unique: vertical[1] - vertical[0] < 1e-3,
      likely_N: likely * weight_N,
      frictionUsed: forces ? frictionUsed(forces, spec.supports, patch) : null,
    };
  });
  const likelyForces_N =
    forces?.map((f): Vec3 => [f[0] * weight_N, f[1] * weight_N, f[2] * weight_N]) ?? null;
  return { kind: 'holds', loads, likelyForces_N };
}

/**
 * The smallest factor on every friction coefficient with which the body can still be held: 0 needs
 * no friction at all; above 1 it slides as it is; null: no friction would do (it tips), or nothing
 * touches. Demand is factor * friction, reserve 1 / factor (mechanics.md 1.8). Bisection to 1e-6.
 * @throws RangeError on malformed input
 */
export function frictionScale(
  contacts: readonly ContactPoint[],
  centre: Vec3,
  options: StaticOptions = {},
): number | null {
  const spec = standing(contacts, centre, options);
  return contacts.length === 0
    ? null
    : leastFriction(spec, (s, factor) => s.friction * factor, 1e-6);
}

/**
 * The smallest value of one number that sets every coefficient with which all bodies can be at rest, by
 * bisection; 0: none needed; null: no friction would do.
 * @param friction coefficient of a contact for a value; grips stay as they are
 * @param precision share of the value to which it is found
 */
export function leastFriction(
  spec: ProgramSpec,
  friction: (support: Support, value: number) => number,
  precision: number,
): number | null {
  const holds = (value: number): boolean =>
    buildProgram({
      ...spec,
      supports: withFriction(spec.supports, (s) => friction(s, value)),
    }).simplex.feasible();
  if (holds(0)) return 0;
  let low = 0;
  let high = 1;
  while (!holds(high)) {
    low = high;
    high *= 2;
    if (high > MOST_FRICTION) return null;
  }
  while (high - low > precision * high) {
    const middle = (low + high) / 2;
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** Other coefficients at the contacts; a grip's line is no friction. */
export const withFriction = (
  supports: readonly Support[],
  friction: (support: Support) => number,
): readonly Support[] =>
  supports.map((s) => (s.grip === true ? s : { ...s, friction: friction(s) }));

/** As much friction as one likes. */
export const roughened = (supports: readonly Support[]): readonly Support[] =>
  withFriction(supports, (s) => Math.max(s.friction, ROUGH));

/** Loads are known to about this share of the weight. */
const LOAD_WORTH = 1e-7;
/** Factors beyond this change nothing any more: the cones are half-spaces. */
const MOST_FRICTION = 4096;
/** Friction that stands for "as much as one likes". */
const ROUGH = 1e3;

/** How far something can go on before a body tips or slides. */
export interface Limit {
  /** The largest value; Infinity where nothing stops it. */
  readonly value: number;
  /** What happens beyond it; with `slides`, more friction would have held at least 1 % longer. */
  readonly ends: 'tips' | 'slides' | 'never';
}

/**
 * How far gravity may tilt towards a plan direction (or the whole scene be tilted away from it, or
 * be pushed off by a steady acceleration) until the body tips or slides: the gravity-tilt program of
 * mechanics.md 1.4, valid for contacts at any height. `value` is the angle in radians; pi/2 where
 * nothing stops it. On a floor: atan(min(mu, distance to the edge / height of the centre)).
 * @param direction plan [x, z], any length but 0
 * @returns null when the body is not held even upright
 * @throws RangeError on malformed input
 */
export function tiltAngle(
  contacts: readonly ContactPoint[],
  centre: Vec3,
  direction: Vec2,
  options: StaticOptions = {},
): (Limit & { /** Tangent of the angle: acceleration in g. */ readonly tangent: number }) | null {
  const u = planDirection('direction', direction);
  const column = [{ on: 0, force: u, at: centre }];
  const limit = pushOf(standing(contacts, centre, options), column, options.ends);
  return limit && { value: Math.atan(limit.value), ends: limit.ends, tangent: limit.value };
}

/**
 * The largest steady level push at a given point that the body takes before it tips or slides,
 * newtons. On a block: min(mu W, W d / y) for a push at height y, d from the edge (mechanics.md 5.10).
 * @param at where it is pushed, metres
 * @param direction plan [x, z] of the push
 * @returns null when the body is not held even without a push
 * @throws RangeError on malformed input
 */
export function pushLimit(
  contacts: readonly ContactPoint[],
  centre: Vec3,
  weight_N: number,
  at: Vec3,
  direction: Vec2,
  options: StaticOptions = {},
): Limit | null {
  checkPositive('weight_N', weight_N);
  checkPoint('at', at);
  const u = planDirection('direction', direction);
  const limit = pushOf(standing(contacts, centre, options), [{ on: 0, force: u, at }]);
  return limit && { value: limit.value * weight_N, ends: limit.ends };
}

/** More friction must carry this much farther to be what was missing: where both end at once, it tips. */
const WORTH_FRICTION = 0.01;

/** Largest level of an extra load, and whether more friction would have allowed more. */
export function pushOf(
  spec: ProgramSpec,
  column: readonly LoadColumn[],
  askEnds = true,
): Limit | null {
  const most = (supports: readonly Support[]): number | null => {
    const program = buildProgram({ ...spec, supports, column });
    const value = supports.length === 0 ? null : largest(program, program.level);
    return value === null ? null : Math.max(0, value);
  };
  const value = most(spec.supports);
  if (value === null) return null;
  if (value === Number.POSITIVE_INFINITY) return { value, ends: 'never' };
  if (!askEnds) return { value, ends: 'tips' };
  const rough = most(roughened(spec.supports));
  const slides = rough !== null && rough > value * (1 + WORTH_FRICTION) + 1e-7;
  return { value, ends: slides ? 'slides' : 'tips' };
}

/** One body of weight 1 with a known centre. */
export function standing(
  contacts: readonly ContactPoint[],
  centre: Vec3,
  options: StaticOptions,
): ProgramSpec {
  checkPoint('centre', centre);
  const shape = options.edges ?? 'round';
  checkShape(shape);
  return { bodies: [{ weight: 1, centre }], supports: readContacts(contacts), shape };
}

function patchNames(contacts: readonly ContactPoint[]): readonly string[] {
  const names = new Map<string, string>();
  contacts.forEach((contact, index) => {
    const key = patchKey(contact, index);
    if (!names.has(key)) names.set(key, patchName(contact, index));
  });
  return [...names.values()];
}

function rangesOf(
  program: Program,
  patch: number,
  supports: readonly Support[],
): { vertical: Range; normal: Range } {
  const row = program.loadRows[patch]!;
  const range = (r: number): Range => [smallest(program, r)!, largest(program, r)!];
  const vertical = range(row);
  const level = supports.every((s) => s.patch !== patch || s.normal[1] === 1);
  return { vertical, normal: level ? vertical : range(row + 1) };
}

function verticalOf(forces: readonly Vec3[], supports: readonly Support[], patch: number): number {
  return supports.reduce((sum, s, i) => (s.patch === patch ? sum + forces[i]![1] : sum), 0);
}

/** Normal force below which nothing is said about friction, shares of the weight. */
const CARRIES = 1e-6;

function frictionUsed(
  forces: readonly Vec3[],
  supports: readonly Support[],
  patch: number,
): number | null {
  let available = 0;
  let carried = 0;
  let slide: Vec3 = [0, 0, 0];
  supports.forEach((s, i) => {
    if (s.patch !== patch || s.hold !== null) return;
    const n = dot(s.normal, forces[i]!);
    carried += n;
    available += s.friction * n;
    slide = add(slide, subtract(forces[i]!, scale(s.normal, n)));
  });
  return carried > CARRIES && available > 0 ? length(slide) / available : null;
}
