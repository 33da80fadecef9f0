import { nearestOnPolygon, signedMargin } from '../../geometry/margin.ts';
import type { Vec2, Vec3 } from '../../geometry/types.ts';
import { length, normalise } from '../../geometry/vec3.ts';
import { checkPoint, checkPositive, checkShape, fail, readContacts } from './check-input.ts';
import { DEFAULT_REACH_M, DEFAULT_TOLERANCE_M, regionOf } from './equilibrium-region.ts';
import { buildProgram, largest, type ProgramSpec, type Support, smallest } from './program.ts';
import { type Limit, pushOf, type Range, roughened } from './static-loads.ts';
import { GRAVITY } from './tipping.ts';
import type { ConeShape, ContactPoint, EquilibriumRegion, RegionOptions } from './types.ts';

/** One rigid figure or load, with its posed shape taken as stiff. */
export interface GroupBody {
  readonly id: string;
  /** Kilograms, above 0; leave massless things out. */
  readonly mass_kg: number;
  /** Mass centre, metres. */
  readonly centre: Vec3;
}

/** A contact of one body with the world, or (`against`) with another body of the group. */
export interface GroupContact extends ContactPoint {
  /** Id of the body that the normal points at. Caps and holds are in weights of this body. */
  readonly on: string;
  /** Id of the body that gets the opposite force; left out for floor, seat, wall. */
  readonly against?: string | undefined;
}

/** A hold between two bodies: any force, no moment (a two-hand hold is two grips). */
export interface Grip {
  readonly id: string;
  readonly point: Vec3;
  /** The force is given as it acts on the first; the second gets the opposite. */
  readonly between: readonly [string, string];
  /** Largest force, newtons; without limit when left out. Not together with `line`. */
  readonly limit_N?: number | undefined;
  /**
   * The force on the first body points along `direction`, with at most `across` times as much square to
   * it; left out: any direction.
   */
  readonly line?: { readonly direction: Vec3; readonly across: number } | undefined;
}

export interface Group {
  readonly bodies: readonly GroupBody[];
  readonly contacts: readonly GroupContact[];
  readonly grips: readonly Grip[];
}

export interface GroupOptions {
  /** m/s^2, default 9.81. */
  readonly gravity?: number | undefined;
  /** Default `'round'`. */
  readonly edges?: ConeShape | undefined;
}

/** What must pass through one grip, over all equilibria. Newtons, on the first body of `between`. */
export interface GripForce {
  readonly grip: string;
  readonly x_N: Range;
  readonly y_N: Range;
  readonly z_N: Range;
  /** The smallest force that does (along its line where it has one), and its direction and size. */
  readonly least_N: number;
  readonly leastForce_N: Vec3;
}

export interface GroupPatchLoad {
  readonly patch: string;
  readonly on: string;
  readonly vertical_N: Range;
  readonly normal_N: Range;
}

export type GroupBalance =
  | {
      readonly kind: 'holds';
      readonly loads: readonly GroupPatchLoad[];
      readonly grips: readonly GripForce[];
    }
  | { readonly kind: 'not held' };

/**
 * Whether bodies joined by grips and standing on each other can all be at rest, with what passes
 * through every contact and grip. Every body has its own six balance rows and every grip three free
 * force columns (mechanics.md 1.9): the hull of the joined group is necessary, not sufficient.
 * @throws RangeError on malformed input, an unknown body id, or a group without bodies
 */
export function groupBalance(group: Group, options: GroupOptions = {}): GroupBalance {
  const { spec, total_N, patches } = readGroup(group, options);
  const program = buildProgram({ ...spec, loads: true, holdForces: true });
  if (!program.simplex.feasible()) return { kind: 'not held' };
  const range = (row: number): Range => [
    smallest(program, row)! * total_N,
    largest(program, row)! * total_N,
  ];
  const loads = patches.map(({ name, on }, patch): GroupPatchLoad => {
    const row = program.loadRows[patch]!;
    return { patch: name, on, vertical_N: range(row), normal_N: range(row + 1) };
  });
  const grips = group.grips.map((grip, index): GripForce => {
    const row = program.holdRows[patches.length + index]!;
    const [x_N, y_N, z_N] = [range(row), range(row + 1), range(row + 2)];
    const least = smallest(program, row + 3)!;
    const at = (k: number): number => program.simplex.read(row + k) * total_N;
    return {
      grip: grip.id,
      x_N,
      y_N,
      z_N,
      least_N: Math.max(0, least) * total_N,
      leastForce_N: [at(0), at(1), at(2)],
    };
  });
  return { kind: 'holds', loads, grips };
}

/**
 * Whether the group can be at rest at all: `groupBalance` without its numbers.
 * @throws RangeError as `groupBalance`
 */
export const isAtRest = (group: Group, options?: GroupOptions): boolean =>
  buildProgram(readGroup(group, options).spec).simplex.feasible();

/**
 * Where the centre of one body may lie while every other body and contact stays as it is.
 * @throws RangeError as `groupBalance`, and on an unknown `body`
 */
export function groupRegion(
  group: Group,
  body: string,
  options: GroupOptions & RegionOptions = {},
): EquilibriumRegion {
  const { tolerance_m = DEFAULT_TOLERANCE_M, reach_m = DEFAULT_REACH_M, ...own } = options;
  checkPositive('options.tolerance_m', tolerance_m);
  checkPositive('options.reach_m', reach_m);
  const { spec } = readGroup(group, Object.keys(own).length === 0 ? undefined : own);
  const free = indexOf(group, 'body', body);
  if (spec.supports.length === 0) return { kind: 'empty', reason: 'no contact' };
  const bodies = spec.bodies.map((b, i) => (i === free ? { ...b, centre: null } : b));
  return regionOf({ ...spec, bodies }, tolerance_m, reach_m);
}

/**
 * How far gravity may tilt towards a plan direction until some body of the group tips or slides;
 * radians, pi/2 where nothing stops it; null when the group is not held upright (mechanics.md 1.4).
 * @throws RangeError as `groupBalance`, and on a direction without length
 */
export function groupTilt(group: Group, direction: Vec2, options: GroupOptions = {}): Limit | null {
  const { spec } = readGroup(group, options);
  const size = Math.hypot(direction[0], direction[1]);
  if (!(Number.isFinite(size) && size > 0))
    fail('direction', direction, 'give a plan direction [x, z] that is not zero');
  const limit = pushOf(
    spec,
    spec.bodies.map((body, on) => ({
      on,
      force: [(body.weight * direction[0]) / size, 0, (body.weight * direction[1]) / size] as Vec3,
      at: body.centre!,
    })),
  );
  return limit && { value: Math.atan(limit.value), ends: limit.ends };
}

/** One part of a group after a grip is let go. */
export interface PartAlone {
  readonly bodies: readonly string[];
  /** `airborne`: nothing of it touches the world. */
  readonly outcome: 'holds' | 'tips' | 'slides' | 'airborne';
  /**
   * Signed distance from the part's common centre to the edge of its region taken as one stiff body,
   * metres, positive inside; null without a region. A part of several bodies may fall although this
   * is positive: each body must balance itself.
   */
  readonly margin_m: number | null;
  /** Unit plan direction in which it tips; null when it does not. */
  readonly direction: Vec2 | null;
}

/**
 * Lets grips go and weighs what is left: connected parts, each alone (mechanics.md 1.9, release).
 * @param grips ids of the grips that open
 * @throws RangeError as `groupBalance`, and on an unknown grip
 */
export function letGo(
  group: Group,
  grips: readonly string[],
  options: GroupOptions = {},
): readonly PartAlone[] {
  for (const id of grips)
    if (!group.grips.some((grip) => grip.id === id)) fail('grips', id, 'name grips of the group');
  readGroup(group, options);
  const rest: Group = { ...group, grips: group.grips.filter((grip) => !grips.includes(grip.id)) };
  return partsOf(rest).map((ids) => weighPart(rest, ids, options));
}

function weighPart(group: Group, ids: readonly string[], options: GroupOptions): PartAlone {
  const part: Group = {
    bodies: group.bodies.filter((body) => ids.includes(body.id)),
    contacts: group.contacts.filter((contact) => ids.includes(contact.on)),
    grips: group.grips.filter((grip) => ids.includes(grip.between[0])),
  };
  const onWorld = part.contacts.filter((contact) => contact.against === undefined);
  if (onWorld.length === 0)
    return { bodies: ids, outcome: 'airborne', margin_m: null, direction: null };
  const { spec } = readGroup(part, options);
  const holds = buildProgram(spec).simplex.feasible();
  const { plumb, region } = asOneBody(part, onWorld, options);
  const margin_m = region && region.length > 0 ? signedMargin(plumb, region) : null;
  if (holds) return { bodies: ids, outcome: 'holds', margin_m, direction: null };
  const slides = buildProgram({ ...spec, supports: roughened(spec.supports) }).simplex.feasible();
  if (slides) return { bodies: ids, outcome: 'slides', margin_m, direction: null };
  return { bodies: ids, outcome: 'tips', margin_m, direction: region && tipping(plumb, region) };
}

/** The part's common centre in plan and its region as one stiff body; null where it has no end. */
function asOneBody(
  part: Group,
  onWorld: readonly GroupContact[],
  options: GroupOptions,
): { plumb: Vec2; region: readonly Vec2[] | null } {
  const mass = part.bodies.reduce((sum, body) => sum + body.mass_kg, 0);
  const mean = (axis: 0 | 2): number =>
    part.bodies.reduce((sum, body) => sum + body.mass_kg * body.centre[axis], 0) / mass;
  const plumb: Vec2 = [mean(0), mean(2)];
  const stiff: Group = {
    bodies: [{ id: '', mass_kg: mass, centre: [plumb[0], 0, plumb[1]] }],
    contacts: onWorld.map((contact) => {
      // Caps stay the same force, now counted in weights of the whole part.
      const own = part.bodies.find((body) => body.id === contact.on)!.mass_kg / mass;
      return {
        ...contact,
        on: '',
        patch: contact.patch === undefined ? undefined : `${contact.on}/${contact.patch}`,
        cap: contact.cap === undefined ? undefined : contact.cap * own,
        hold: contact.hold === undefined ? undefined : contact.hold * own,
      };
    }),
    grips: [],
  };
  const region = groupRegion(stiff, '', options);
  return { plumb, region: region.kind === 'region' ? region.vertices : null };
}

function tipping(plumb: Vec2, region: readonly Vec2[]): Vec2 | null {
  const nearest = nearestOnPolygon(plumb, region);
  if (nearest === null || nearest.distance < 1e-9) return null;
  const sign = signedMargin(plumb, region) > 0 ? 1 : -1;
  // Rounding aside, so that a straight direction reads 0.
  const part = (k: 0 | 1): number => {
    const share = (sign * (nearest.nearest[k] - plumb[k])) / nearest.distance;
    return Math.abs(share) < 1e-12 ? 0 : share;
  };
  return [part(0), part(1)];
}

/** Bodies connected by grips or by contacts between them, as lists of ids. */
function partsOf(group: Group): readonly (readonly string[])[] {
  const partOf = new Map(group.bodies.map((body) => [body.id, body.id]));
  const join = (a: string, b: string) => {
    const [from, to] = [partOf.get(a)!, partOf.get(b)!];
    for (const [id, part] of partOf) if (part === from) partOf.set(id, to);
  };
  for (const grip of group.grips) join(grip.between[0], grip.between[1]);
  for (const { on, against } of group.contacts) if (against !== undefined) join(on, against);
  const parts = [...new Set(partOf.values())];
  return parts.map((part) => [...partOf].filter(([, p]) => p === part).map(([id]) => id));
}

/** A group as a program. */
export interface ReadGroup {
  readonly spec: ProgramSpec;
  readonly total_N: number;
  /** Contacts by patch, in the order of the program; grips follow them. */
  readonly patches: readonly { readonly name: string; readonly on: string }[];
}

/**
 * Checks a group and brings it into the form of a program: weights, caps and limits in shares of the
 * total weight; patches of contacts first, then one per grip.
 * @throws RangeError as `groupBalance`
 */
export function readGroup(group: Group, options?: GroupOptions): ReadGroup {
  if (options !== undefined) return readAnew(group, options);
  const known = readBefore.get(group) ?? readAnew(group, {});
  readBefore.set(group, known);
  return known;
}

/** Groups are never changed once made, and both regions and a study ask for the same one many times. */
const readBefore = new WeakMap<Group, ReadGroup>();

function readAnew(group: Group, options: GroupOptions): ReadGroup {
  const gravity = options.gravity ?? GRAVITY;
  const shape = options.edges ?? 'round';
  checkPositive('options.gravity', gravity);
  checkShape(shape);
  if (group.bodies.length === 0) fail('bodies', [], 'give at least one body');
  group.bodies.forEach((body, i) => {
    checkPositive(`bodies[${i}].mass_kg`, body.mass_kg);
    checkPoint(`bodies[${i}].centre`, body.centre);
    if (group.bodies.findIndex((other) => other.id === body.id) !== i)
      fail(`bodies[${i}].id`, body.id, 'give every body its own id');
  });
  const total = group.bodies.reduce((sum, body) => sum + body.mass_kg, 0);
  const share = (body: number): number => group.bodies[body]!.mass_kg / total;

  // A patch belongs to one pair of bodies, whatever its name.
  const numbers = new Map(group.bodies.map(({ id }, i) => [id, i]));
  const keyOf = ({ on, against, patch }: GroupContact, i: number): string =>
    `${numbers.get(on)}/${against === undefined ? '' : numbers.get(against)}/${patch === undefined ? `#${i}` : `=${patch}`}`;
  const patches: { name: string; on: string }[] = [];
  const contacts = readContacts(group.contacts, keyOf).map((s, i): Support => {
    const { on, against, patch } = group.contacts[i]!;
    const index = indexOf(group, `contacts[${i}].on`, on);
    patches[s.patch] ??= { name: patch ?? String(i), on };
    return {
      ...s,
      cap: s.cap * share(index),
      hold: s.hold === null ? null : s.hold * share(index),
      on: index,
      against: against === undefined ? null : indexOf(group, `contacts[${i}].against`, against),
    };
  });
  const grips = group.grips.map((grip, i): Support => {
    checkPoint(`grips[${i}].point`, grip.point);
    if (grip.limit_N !== undefined && !(grip.limit_N >= 0))
      fail(`grips[${i}].limit_N`, grip.limit_N, 'give newtons of at least 0, or leave it out');
    const [a, b] = grip.between.map((id) => indexOf(group, `grips[${i}].between`, id));
    if (a === b) fail(`grips[${i}].between`, grip.between, 'name two different bodies');
    const hold: Support = {
      point: grip.point,
      normal: [0, 1, 0],
      friction: 0,
      cap: Number.POSITIVE_INFINITY,
      hold: (grip.limit_N ?? Number.POSITIVE_INFINITY) / (total * gravity),
      patch: patches.length + i,
      on: a!,
      against: b!,
    };
    if (grip.line === undefined) return hold;
    const { direction, across } = grip.line;
    checkPoint(`grips[${i}].line.direction`, direction);
    if (!(length(direction) > 1e-12))
      fail(`grips[${i}].line.direction`, direction, 'give a direction that is not zero');
    if (!(Number.isFinite(across) && across >= 0))
      fail(`grips[${i}].line.across`, across, 'give a finite share of at least 0');
    return { ...hold, hold: null, grip: true, normal: normalise(direction), friction: across };
  });
  return {
    spec: {
      bodies: group.bodies.map((body, i) => ({ weight: share(i), centre: body.centre })),
      supports: [...contacts, ...grips],
      shape,
    },
    total_N: total * gravity,
    patches,
  };
}

function indexOf(group: Group, place: string, id: string): number {
  const index = group.bodies.findIndex((body) => body.id === id);
  if (index < 0) fail(place, id, 'name a body of the group');
  return index;
}
