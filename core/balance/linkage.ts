import type { Contact } from '../contact/index.ts';
import { length, lerp, scale, subtract, type Transform, type Vec3 } from '../geometry/index.ts';
import { type PosedFigure, palmCentre, pointOn } from '../pose/index.ts';
import type { GripEnd, Grip as SceneGrip } from '../scene/index.ts';
import { type Carried, endNode, figureNode, type Group, loadNode, ownerNode } from './groups.ts';
import { type Part, weigh } from './weight.ts';

/** What a group is made of in the world; made once for a scene. */
export interface World {
  readonly posed: ReadonlyMap<string, PosedFigure>;
  readonly placed: ReadonlyMap<string, Transform>;
  readonly contacts: readonly Contact[];
  readonly grips: readonly SceneGrip[];
  /** What each figure carries, by its id. */
  readonly carried: ReadonlyMap<string, readonly Carried[]>;
}

/** Where figures and loads are in the world, by id. */
export type Placed = Pick<World, 'posed' | 'placed'>;

/** One stiff body of a group: a figure with all that it carries, or a load that stands by itself. */
export interface Stiff {
  /** The first of its members, as a node (`figure/id` or `load/id`). */
  readonly id: string;
  readonly members: readonly string[];
  /** Everything in it with weight. */
  readonly parts: readonly Part[];
  /** Contacts of its members, also those on other members of the group. */
  readonly contacts: readonly Contact[];
}

/** A place where two bodies hold on to each other: any force, no moment. */
export interface Pin {
  /** Id of the grip; of the load that several share, or that lies in the hands and touches. */
  readonly id: string;
  readonly kind: 'grip' | 'shared load' | 'held load';
  readonly at: Vec3;
  /** Bodies, by id. */
  readonly between: readonly [string, string];
  /**
   * Of hands in hands: from the shoulder of the first to that of the second, the line along which they
   * pull or push; null for a grip that holds any way (round a waist, on a load).
   */
  readonly line: Vec3 | null;
}

/** A grip inside one stiff body: it carries one end whole. */
export interface Inner {
  readonly grip: string;
  readonly at: Vec3;
  readonly between: readonly [string, string];
}

export interface Linkage {
  /** By id. */
  readonly bodies: readonly Stiff[];
  readonly pins: readonly Pin[];
  readonly inner: readonly Inner[];
  /** Body of every figure and load, by node. */
  readonly bodyOf: ReadonlyMap<string, string>;
}

/**
 * Cuts a connected group into stiff bodies and the pins between them (mechanics.md 1.9).
 *
 * Stiff together: a figure with the loads that it alone carries; loads gripped to each other; a load
 * worn on a segment, also when it touches something; a figure that touches nothing and hangs on one
 * body alone (carried in arms, on the back): one may be lifted stiffly by another, as a load is, and
 * what moment the hold must take is told in the study. Pinned: closed grips between bodies; a load in
 * the hands that touches something (it rests there partly, the hands take the rest); a load that
 * several carry, which each takes an equal share of, with a pin between them at its centre so that any
 * other sharing is found as well.
 */
export function linkageOf(group: Group, world: World): Linkage {
  const nodes = [
    ...group.figures.map(({ id }) => figureNode(id)),
    ...group.loads.map(({ id }) => loadNode(id)),
  ];
  const union = new Union(nodes);
  const carriers = carriersByLoad(group, world);
  const shared = new Set<string>();
  const links: Link[] = [];
  const link = (
    id: string,
    kind: Pin['kind'],
    at: Vec3,
    ends: readonly [string, string],
    line: Vec3 | null = null,
  ) => links.push({ id, kind, at, ends, line });

  for (const { id, place } of group.loads) {
    const node = loadNode(id);
    const by = carriers.get(id) ?? [];
    if (by.length === 1) union.join(figureNode(by[0]!), node);
    else if (by.length > 1) {
      shared.add(node);
      const centre = world.placed.get(id)!.position;
      by.slice(1).forEach((next, i) => {
        link(id, 'shared load', centre, [figureNode(by[i]!), figureNode(next)]);
      });
    } else if (place.kind === 'attached') union.join(figureNode(place.figure), node);
    else if (place.kind === 'held')
      for (const palm of palmsOf(place.figure, place.hands, world))
        link(id, 'held load', palm, [figureNode(place.figure), node]);
  }
  for (const grip of world.grips) {
    const [a, b] = [endNode(grip.a), endNode(grip.b)];
    if (!union.has(a) || !union.has(b) || shared.has(a) || shared.has(b)) continue;
    if (grip.a.kind === 'load' && grip.b.kind === 'load') union.join(a, b);
    link(grip.id, 'grip', gripPoint(grip, world), [a, b], armsLine(grip, world));
  }
  const mine = world.contacts.filter((contact) => union.has(ownerNode(contact)));
  carryWhole(
    union,
    nodes.filter((node) => !shared.has(node)),
    new Set(mine.map(ownerNode)),
    links.map(({ ends }) => ends),
  );

  const bodyOf = new Map<string, string>();
  const members = new Map<string, string[]>();
  for (const node of nodes) {
    if (shared.has(node)) continue;
    const root = union.rootOf(node);
    const list = members.get(root) ?? [];
    members.set(root, list);
    list.push(node);
    bodyOf.set(node, list[0]!);
  }
  const bodies = [...members.values()].map(
    (list): Stiff => ({
      id: list[0]!,
      members: list,
      parts: list.flatMap((node) => partsOf(node, group, world, carriers)),
      contacts: mine.filter((contact) => bodyOf.get(ownerNode(contact)) === list[0]),
    }),
  );
  const pins: Pin[] = [];
  const inner: Inner[] = [];
  for (const { id, kind, at, ends, line } of links) {
    const between = [bodyOf.get(ends[0])!, bodyOf.get(ends[1])!] as const;
    if (between[0] !== between[1]) pins.push({ id, kind, at, between, line });
    else if (kind === 'grip') inner.push({ grip: id, at, between: ends });
  }
  return { bodies, pins, inner, bodyOf };
}

/** A pin before it is known which bodies its ends belong to. */
interface Link extends Pick<Pin, 'id' | 'kind' | 'at' | 'line'> {
  readonly ends: readonly [string, string];
}

/** Joins bodies that touch nothing to the one body that they hang on, until nothing changes. */
function carryWhole(
  union: Union,
  nodes: readonly string[],
  touching: ReadonlySet<string>,
  links: readonly (readonly [string, string])[],
): void {
  for (let changed = true; changed; ) {
    changed = false;
    const grounded = new Set([...touching].map((node) => union.rootOf(node)));
    for (const node of nodes) {
      const root = union.rootOf(node);
      if (grounded.has(root)) continue;
      const others = new Set<string>();
      for (const [a, b] of links) {
        const [from, to] = [union.rootOf(a), union.rootOf(b)];
        if (from === root && to !== root) others.add(to);
        if (to === root && from !== root) others.add(from);
      }
      const [only] = others;
      if (others.size !== 1 || only === undefined) continue;
      union.join(only, root);
      changed = true;
      break;
    }
  }
}

function partsOf(
  node: string,
  group: Group,
  world: World,
  carriers: ReadonlyMap<string, readonly string[]>,
): Part[] {
  const figure = group.figures.find(({ id }) => figureNode(id) === node);
  if (figure !== undefined) {
    const { centre } = world.posed.get(figure.id)!;
    const own: Part = { name: figure.name, mass: figure.body.mass, centre };
    const shares = (world.carried.get(figure.id) ?? []).filter(({ share }) => share < 1);
    return [
      own,
      ...shares.map(({ load, share }) => ({
        name: load.name,
        mass: load.mass === null ? null : load.mass * share,
        centre: world.placed.get(load.id)!.position,
      })),
    ];
  }
  const load = group.loads.find(({ id }) => loadNode(id) === node)!;
  if ((carriers.get(load.id) ?? []).length > 1) return [];
  return [{ name: load.name, mass: load.mass, centre: world.placed.get(load.id)!.position }];
}

function carriersByLoad(group: Group, world: World): ReadonlyMap<string, readonly string[]> {
  const carriers = new Map<string, string[]>();
  for (const { id } of group.figures)
    for (const { load } of world.carried.get(id) ?? []) {
      const list = carriers.get(load.id) ?? [];
      carriers.set(load.id, list);
      list.push(id);
    }
  return carriers;
}

function palmsOf(figure: string, hands: 'both' | 'left' | 'right', { posed }: World): Vec3[] {
  const body = posed.get(figure)!;
  if (hands === 'both') return [palmCentre(body, 'L'), palmCentre(body, 'R')];
  return [palmCentre(body, hands === 'left' ? 'L' : 'R')];
}

/**
 * Where a grip acts: in the palm of the hand that holds; half-way between the palms of two hands;
 * half-way along the segments where no hand takes part.
 */
export function gripPoint({ a, b }: Pick<SceneGrip, 'a' | 'b'>, world: Placed): Vec3 {
  const [from, to] = [endPoint(a, world), endPoint(b, world)];
  if (isHand(a) === isHand(b)) return lerp(from, to, 0.5);
  return isHand(a) ? from : to;
}

/** From shoulder to shoulder of two figures who hold hands. */
function armsLine({ a, b }: SceneGrip, { posed }: World): Vec3 | null {
  if (a.kind !== 'figure' || b.kind !== 'figure' || !isHand(a) || !isHand(b)) return null;
  const shoulder = ({ figure, segment }: typeof a): Vec3 =>
    posed.get(figure)!.segments[segment === 'handL' ? 'upperArmL' : 'upperArmR'].position;
  const line = subtract(shoulder(b), shoulder(a));
  return length(line) > NO_LINE ? line : null;
}

/** Shoulders nearer to each other than this give no line to pull along, metres. */
const NO_LINE = 0.05;

const isHand = (end: GripEnd): boolean =>
  end.kind === 'figure' && (end.segment === 'handL' || end.segment === 'handR');

/** Where one end of a grip is in the world, metres: a palm, the middle of another segment or of a load. */
export function endPoint(end: GripEnd, { posed, placed }: Placed): Vec3 {
  if (end.kind === 'load') return placed.get(end.load)!.position;
  const figure = posed.get(end.figure)!;
  if (end.segment === 'handL') return palmCentre(figure, 'L');
  if (end.segment === 'handR') return palmCentre(figure, 'R');
  return pointOn(figure, end.segment, scale(figure.body.segments[end.segment].end, 0.5));
}

/**
 * Mass and mass centre of a body; null while a mass is unknown. One without mass has its first part's
 * place for a centre, where its nothing of a weight acts.
 */
export function weightOf({ parts }: Stiff): { mass: number; centre: Vec3 } | null {
  const { mass, centre } = weigh(parts);
  if (mass === null) return null;
  return { mass, centre: centre ?? parts[0]?.centre ?? [0, 0, 0] };
}

/** Union-find over nodes. */
class Union {
  readonly #parents = new Map<string, string>();

  constructor(nodes: readonly string[]) {
    for (const node of nodes) this.#parents.set(node, node);
  }

  has(node: string): boolean {
    return this.#parents.has(node);
  }

  rootOf(node: string): string {
    const parent = this.#parents.get(node)!;
    return parent === node ? node : this.rootOf(parent);
  }

  /** Puts the body of `b` into that of `a`. */
  join(a: string, b: string): void {
    const [to, from] = [this.rootOf(a), this.rootOf(b)];
    if (to !== from) this.#parents.set(from, to);
  }
}
