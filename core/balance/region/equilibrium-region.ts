import { convexHull } from '../../geometry/hull.ts';
import { polygonArea } from '../../geometry/polygon.ts';
import type { Vec2 } from '../../geometry/types.ts';
import { checkPositive, checkShape, readContacts } from './check-input.ts';
import { buildProgram, type Program, type ProgramSpec, type Support } from './program.ts';
import { type Farthest, type Oracle, project, reachBeyond } from './projection.ts';
import type {
  ContactPoint,
  EmptyReason,
  EquilibriumRegion,
  RegionOptions,
  UnboundedRegion,
} from './types.ts';

export const DEFAULT_TOLERANCE_M = 1e-3;
/** Share of the tolerance that the programs may leave per unit of force; the rest is for the polygon. */
const PROGRAM_SHARE = 1e-3;
export const DEFAULT_REACH_M = 5;
/** Heights within this count as one plane, metres: rounding of a posed scene, not of a ruler. */
const COPLANAR_M = 1e-6;
/** Slack on angles of cones that just touch their limit. */
const ANGLE = 1e-12;

/**
 * Every place of the mass centre, in plan, at which a body at rest can be held by these contacts:
 * contact forces exist that push (never pull) within their friction cones and balance weight and
 * moments. The true region, also where contacts lie at different heights or face different ways.
 *
 * Coplanar contacts on which friction suffices take the hull, which is then exact (mechanics.md 1.2).
 * All others: support function by linear programs (mechanics.md 2-3), polygon by iterative projection
 * (Bretl & Lall 2008, IEEE T-RO 24(4) 794-807, doi 10.1109/TRO.2008.2001360). Departure from that
 * paper and from mechanics.md 2.3: by default the friction cones are round, not pyramids; the best
 * generator of a round cone is known in closed form, so it costs no more and the wedged cases, which
 * a pyramid misses by up to 10 cm at 16 edges, come out to `tolerance_m`.
 *
 * The region is the same for every weight; caps are in body weights. It answers "does some set of
 * forces exist"; that the body would really squeeze that hard is not said, hence the caps
 * (mechanics.md 2.4).
 *
 * @param contacts in world metres, y up; the order does not matter
 * @throws RangeError on malformed contacts or options (place and mend in the message)
 */
export function equilibriumRegion(
  contacts: readonly ContactPoint[],
  options: RegionOptions = {},
): EquilibriumRegion {
  const shape = options.edges ?? 'round';
  const tolerance = options.tolerance_m ?? DEFAULT_TOLERANCE_M;
  const reach = options.reach_m ?? DEFAULT_REACH_M;
  checkShape(shape);
  checkPositive('options.tolerance_m', tolerance);
  checkPositive('options.reach_m', reach);
  const supports = readContacts(contacts);
  if (supports.length === 0) return { kind: 'empty', reason: 'no contact' };
  if (isHullExact(supports)) {
    const vertices = convexHull(supports.map(({ point }): Vec2 => [point[0], point[2]])).vertices;
    return { kind: 'region', vertices, area_m2: polygonArea(vertices), exact: true, error_m: 0 };
  }
  return regionOf({ bodies: [{ weight: 1, centre: null }], supports, shape }, tolerance, reach);
}

/**
 * The region of the one body of `spec` whose centre is free; the other bodies stay where they are.
 * @param tolerance metres
 * @param reach metres about the contacts' mean, for the drawn part of an unbounded region
 */
export function regionOf(spec: ProgramSpec, tolerance: number, reach: number): EquilibriumRegion {
  const worth = PROGRAM_SHARE * tolerance;
  const program = buildProgram({ ...spec, worth });
  if (!program.simplex.feasible()) return { kind: 'empty', reason: whyEmpty(spec) };
  const free = spec.bodies.findIndex((body) => body.centre === null);
  const weight = spec.bodies[free]!.weight;
  const found = project(oracleOf(program, weight), tolerance);
  if (found === null) return unbounded(spec, weight, tolerance, reach);
  let error = found.error;
  if (spec.shape !== 'round') {
    // What the pyramids lost: the round cones' own reach in the directions of the polygon's edges.
    const round = buildProgram({ ...spec, shape: 'round', worth });
    error = Math.max(error, reachBeyond(oracleOf(round, weight), found.vertices));
  }
  return {
    kind: 'region',
    vertices: found.vertices,
    area_m2: polygonArea(found.vertices),
    exact: false,
    error_m: error,
  };
}

/** Farthest place of the free centre in a plan direction: c_x = M_z / w, c_z = -M_x / w. */
export function oracleOf(program: Program, weight: number): Oracle {
  const { simplex, objective, momentX, momentZ, reference, unit } = program;
  const metres = unit / weight;
  return (ux, uz): Farthest | null => {
    objective[momentZ] = ux;
    objective[momentX] = -uz;
    if (simplex.maximise(objective) !== 'optimal') return null;
    const point: Vec2 = [
      reference[0] + metres * simplex.read(momentZ),
      reference[2] - metres * simplex.read(momentX),
    ];
    return { point, shortfall: metres * simplex.shortfall() };
  };
}

/**
 * Whether the hull in plan is the exact region (own proof, mechanics.md 1.2): all points in one plane
 * whose normal is the first contact's and points up; the vertical inside every cone; every cone on
 * the upper side of the plane. A cap of one body weight or more cannot bind then.
 */
function isHullExact(supports: readonly Support[]): boolean {
  const { point: p, normal: n } = supports[0]!;
  if (n[1] <= 0) return false;
  return supports.every((s) => {
    const height =
      n[0] * (s.point[0] - p[0]) + n[1] * (s.point[1] - p[1]) + n[2] * (s.point[2] - p[2]);
    const facing = n[0] * s.normal[0] + n[1] * s.normal[1] + n[2] * s.normal[2];
    return (
      s.hold === null &&
      s.cap >= 1 &&
      Math.abs(height) <= COPLANAR_M &&
      sine(s.normal[1]) <= s.friction * s.normal[1] + ANGLE &&
      facing >= s.friction * sine(facing) - ANGLE
    );
  });
}

/** Sine of an angle from its cosine, without NaN where rounding left the cosine above 1. */
const sine = (cosine: number): number => Math.sqrt(Math.max(0, 1 - cosine * cosine));

/** Metres per body weight of squeeze; the ends of a wedge of directions are known about this well. */
const PATTERN_TOLERANCE = 1e-4;

/** Friction that stands for "as much as one likes". */
const ROUGH = 1e3;

function whyEmpty(spec: ProgramSpec): EmptyReason {
  const without = (change: (s: Support) => Support): boolean =>
    buildProgram({ ...spec, supports: spec.supports.map(change) }).simplex.feasible();
  const uncapped = (s: Support): Support => ({
    ...s,
    cap: Number.POSITIVE_INFINITY,
    hold: s.hold === null || s.hold === 0 ? s.hold : Number.POSITIVE_INFINITY,
  });
  if (without(uncapped)) return 'caps too low';
  const rough = (s: Support): Support =>
    s.grip === true ? s : { ...s, friction: Math.max(s.friction, ROUGH) };
  if (without(rough)) return 'too slippery';
  return without((s) => rough(uncapped(s))) ? 'caps too low' : 'nothing carries';
}

/**
 * Where the region has no end: force patterns that cancel in every row but move the centre. They form
 * a cone; those of total force <= 1 are a bounded set, projected like a region.
 */
function unbounded(
  spec: ProgramSpec,
  weight: number,
  tolerance: number,
  reach: number,
): UnboundedRegion {
  // A capped contact cannot take part in a pattern that grows without end.
  const supports = spec.supports.filter((s) =>
    s.hold === null ? s.cap === Number.POSITIVE_INFINITY : s.hold === Number.POSITIVE_INFINITY,
  );
  const cancelling = buildProgram({
    ...spec,
    supports,
    cancelling: true,
    worth: PROGRAM_SHARE * PATTERN_TOLERANCE,
  });
  const { reference } = cancelling;
  const patterns = project(oracleOf(cancelling, weight), PATTERN_TOLERANCE);
  const offsets = (patterns?.vertices ?? [])
    .map((v): Vec2 => [v[0] - reference[0], v[1] - reference[2]])
    .filter((v) => Math.hypot(v[0], v[1]) > 1e-5);
  const boxed = buildProgram({ ...spec, reach, worth: PROGRAM_SHARE * tolerance });
  const part = boxed.simplex.feasible() ? project(oracleOf(boxed, weight), tolerance) : null;
  const vertices = part?.vertices ?? [];
  return {
    kind: 'unbounded',
    ...spanOf(offsets),
    within: {
      reach_m: reach,
      about: [boxed.reference[0], boxed.reference[2]],
      vertices,
      area_m2: polygonArea(vertices),
    },
  };
}

/** Smallest cone of directions that holds all offsets of a convex set about 0. */
function spanOf(offsets: readonly Vec2[]): Pick<UnboundedRegion, 'directions' | 'shape'> {
  const angles = offsets.map((v) => Math.atan2(v[1], v[0])).sort((a, b) => a - b);
  const n = angles.length;
  // Only a pattern at the very limit of a cone has no clear direction; nothing is excluded then.
  if (n === 0) return { directions: [], shape: 'plane' };
  let gap = 0;
  let after = 0;
  angles.forEach((angle, i) => {
    const next = i + 1 < n ? angles[i + 1]! : angles[0]! + 2 * Math.PI;
    if (next - angle > gap) {
      gap = next - angle;
      after = (i + 1) % n;
    }
  });
  const unit = (angle: number): Vec2 => [Math.cos(angle), Math.sin(angle)];
  const from = unit(angles[after]!);
  const to = unit(angles[(after + n - 1) % n]!);
  const width = 2 * Math.PI - gap;
  const close = 1e-4;
  if (width < close) return { directions: [from], shape: 'ray' };
  if (gap < Math.PI - close) return { directions: [], shape: 'plane' };
  if (width < Math.PI - close) return { directions: [from, to], shape: 'wedge' };
  const alongBorder = (v: Vec2): boolean => Math.abs(v[0] * from[1] - v[1] * from[0]) < close;
  const shape = offsets.every((v) => alongBorder(scaled(v))) ? 'line' : 'half-plane';
  return { directions: [from, to], shape };
}

const scaled = (v: Vec2): Vec2 => {
  const size = Math.hypot(v[0], v[1]);
  return [v[0] / size, v[1] / size];
};
