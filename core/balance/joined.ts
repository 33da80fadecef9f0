import type { Contact } from '../contact/index.ts';
import { clipConvex, inscribedCircle, scale, signedMargin, type Vec2 } from '../geometry/index.ts';
import { carrierNode } from './groups.ts';
import { type Linkage, type Pin, type Stiff, weightOf } from './linkage.ts';
import { Memo } from './memo.ts';
import { pushes } from './pushes.ts';
import {
  type ContactPoint,
  type EquilibriumRegion,
  type Grip,
  type GroupContact,
  groupRegion,
  isAtRest,
  type Group as RigidGroup,
} from './region/index.ts';
import { drawn, type Ground, supportOf } from './support.ts';

/** The bodies of a group for the solver: with whole outlines, and with their functional parts. */
export interface Rigid {
  readonly outline: RigidGroup;
  readonly functional: RigidGroup;
  /** Whether they can all be at rest on the whole outlines. */
  readonly atRest: boolean;
}

/** How contacts become points of the solver. */
export type Points = (
  contacts: readonly Contact[],
  part: 'outline' | 'functional',
) => readonly ContactPoint[];

/**
 * The bodies of a group for the solver; null while a mass is unknown. Hands in hands pull; where the
 * group is at rest only if they push (two who lean against each other), they push.
 * @param known the answer to that, where it was found before
 */
export function rigidGroup(
  { bodies, bodyOf, pins }: Linkage,
  points: Points = withoutCorners,
  known: (Pick<Rigid, 'atRest'> & { readonly grips: readonly Grip[] }) | null = null,
): Rigid | null {
  const weights = bodies.map(weightOf);
  if (!weights.every((weight) => weight !== null)) return null;
  const masses = bodies.map(({ id }, i) => ({
    id,
    // A box without mass still carries what stands on it; the solver wants some weight.
    mass_kg: Math.max(weights[i]!.mass, LEAST_KG),
    centre: weights[i]!.centre,
  }));
  const onto = (part: 'outline' | 'functional') =>
    bodies.flatMap((body) => contactsOf(body, bodyOf, part, points));
  const outline = { bodies: masses, contacts: onto('outline') };
  const found =
    known === null
      ? sensesOf(outline, pins)
      : { whole: { ...outline, grips: known.grips }, atRest: known.atRest };
  const { grips } = found.whole;
  return {
    outline: found.whole,
    functional: { bodies: masses, contacts: onto('functional'), grips },
    atRest: found.atRest,
  };
}

/** The group with hands pulling or pushing, and whether it is at rest with that. */
function sensesOf(
  outline: Pick<RigidGroup, 'bodies' | 'contacts'>,
  pins: readonly Pin[],
): { whole: RigidGroup; atRest: boolean } {
  const ways = pushing(pins).map(
    (pairs): RigidGroup => ({
      ...outline,
      grips: pins.map((pin) => gripOf(pin, pairs.includes(pairOf(pin)))),
    }),
  );
  const found = ways.find((whole) => isAtRest(whole));
  return { whole: found ?? ways[0]!, atRest: found !== undefined };
}

const LEAST_KG = 1e-3;

/** Which pairs of bodies push instead of pulling, in the order in which that is tried. */
function pushing(pins: readonly Pin[]): readonly (readonly string[])[] {
  const pairs = [...new Set(pins.filter(({ line }) => line !== null).map(pairOf))];
  if (pairs.length === 0) return [[]];
  return pairs.length === 1 ? [[], pairs] : [[], pairs, ...pairs.map((pair) => [pair])];
}

const pairOf = ({ between }: Pin): string => between.join(' ');

const gripOf = ({ id, at, between, line }: Pin, push: boolean): Grip => ({
  id,
  point: at,
  between,
  line: line === null ? undefined : { direction: push ? scale(line, -1) : line, across: ACROSS },
});

/**
 * Hands in hands pull or push along the arms: square to the line from shoulder to shoulder they pass at
 * most this share. Any direction would let a partner be propped up or pressed down by the strength of
 * someone's shoulders, which nobody draws. Design value of ours, no source.
 */
const ACROSS = 0.1;

/** What the outlines of joined bodies may lose at rounded corners, metres; halves the solver's work. */
const CORNERS = 2e-3;
const withoutCorners: Points = (contacts, part) => pushes(contacts, part, CORNERS);

function contactsOf(
  { id, contacts }: Stiff,
  bodyOf: ReadonlyMap<string, string>,
  part: 'outline' | 'functional',
  points: Points,
): GroupContact[] {
  const carriers = new Map<string, Contact[]>();
  for (const contact of contacts) {
    const carrier = contact.upon === undefined ? '' : bodyOf.get(carrierNode(contact.upon));
    // On something of its own body it is an inner force.
    if (carrier === undefined || carrier === id) continue;
    const list = carriers.get(carrier) ?? [];
    carriers.set(carrier, list);
    list.push(contact);
  }
  return [...carriers].flatMap(([carrier, touching]) =>
    points(touching, part).map((point) => ({
      ...point,
      on: id,
      ...(carrier === '' ? {} : { against: carrier }),
    })),
  );
}

/** A region of one of several bodies is known this well, metres; the common centre moves less. */
const TOLERANCE = 4e-3;

const regions = new Memo<EquilibriumRegion>(16);

/**
 * Where the common centre of several bodies may lie when one of them moves and the others stay, in
 * plan: the overlap of that for every body. Each body balances itself with its own contacts and what
 * passes through grips (mechanics.md 1.9), so this lies inside the outline round all contacts, and the
 * plumb point lies in it exactly when the group can be at rest. Where it cannot, the region of the one
 * body that has least far to go.
 * @param whole the outline of all contacts together, with the plumb point inside
 */
export function groundOfJoined(linkage: Linkage, plumb: Vec2, whole: Ground): Ground {
  const rigid = rigidGroup(linkage);
  const outline = rigid === null ? [] : overlap(rigid.outline, plumb);
  // Where the whole outlines do not carry it, no part of them does.
  const functional = rigid?.atRest === true ? overlap(rigid.functional, plumb) : [];
  const { level, support } = whole;
  return {
    support: supportOf(outline, functional, support.contacts, 'region', false),
    radius: outline.length > 2 ? (inscribedCircle(outline)?.radius ?? 0) : 0,
    level,
    slips: false,
    joined: true,
    points: null,
    open: [],
    functionalOpen: [],
  };
}

function overlap(group: RigidGroup, plumb: Vec2): readonly Vec2[] {
  const total = group.bodies.reduce((sum, { mass_kg }) => sum + mass_kg, 0);
  const parts = group.bodies.flatMap(({ mass_kg, centre }, index) => {
    if (mass_kg < NEGLIGIBLE * total) return [];
    const { vertices } = drawn(memoRegion(group, index));
    const share = mass_kg / total;
    const polygon = vertices.map(
      ([x, z]): Vec2 => [plumb[0] + share * (x - centre[0]), plumb[1] + share * (z - centre[2])],
    );
    return polygon.length === 0 ? [] : [{ polygon, margin: signedMargin(plumb, polygon) }];
  });
  parts.sort((a, b) => b.margin - a.margin);
  const [nearest, ...rest] = parts;
  if (nearest === undefined) return [];
  // A line or a point has no inside, so the first of them is the answer as it stands.
  const flat = parts.find(({ polygon }) => polygon.length < 3);
  if (flat !== undefined) return flat.polygon;
  if (nearest.margin < 0) return nearest.polygon;
  const common = rest.reduce<readonly Vec2[]>(
    (left, { polygon }) => clipConvex(left, polygon),
    nearest.polygon,
  );
  return common.length > 2 ? common : nearest.polygon;
}

/** Bodies lighter than this share of the group do not move its centre by anything that is told. */
const NEGLIGIBLE = 1e-3;

function memoRegion(group: RigidGroup, index: number): EquilibriumRegion {
  const free = group.bodies[index]!;
  return regions.get(keyOf(group, index), () =>
    groupRegion(group, free.id, { tolerance_m: TOLERANCE }),
  );
}

/** Everything that the region of one body hangs on: all but its own centre. */
function keyOf({ bodies, contacts, grips }: RigidGroup, index: number): number[] {
  const number = new Map(bodies.map(({ id }, i) => [id, i]));
  const patches = new Map<string, number>();
  const key: number[] = [index, bodies.length, contacts.length];
  bodies.forEach(({ mass_kg, centre }, i) => {
    key.push(mass_kg);
    if (i !== index) key.push(centre[0], centre[1], centre[2]);
  });
  contacts.forEach(({ on, against, point, normal, friction, cap, hold, patch }, i) => {
    const name = patch ?? `#${i}`;
    if (!patches.has(name)) patches.set(name, patches.size);
    key.push(number.get(on)!, against === undefined ? -1 : number.get(against)!);
    key.push(point[0], point[1], point[2], normal[0], normal[1], normal[2]);
    key.push(friction, cap ?? -1, hold ?? -1, patches.get(name)!);
  });
  for (const { point, between, line } of grips) {
    key.push(...point, ...(line?.direction ?? [0, 0, 0]));
    key.push(number.get(between[0])!, number.get(between[1])!);
  }
  return key;
}
