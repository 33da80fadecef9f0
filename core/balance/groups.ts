import type { Carrier, Contact } from '../contact/index.ts';
import type { Figure, Grip, GripEnd, Load, Scene } from '../scene/index.ts';

/**
 * Figures and loads that hang together through held or attached loads, closed grips, and standing,
 * kneeling or sitting on each other.
 */
export interface Group {
  /** The first of its figures by id, or the first of its loads where it has no figure. */
  readonly id: string;
  /** By id. */
  readonly figures: readonly Figure[];
  readonly loads: readonly Load[];
}

/** A load, and the part of its mass that one figure carries. */
export interface Carried {
  readonly load: Load;
  /** 1, or one over the number of figures that hold it. */
  readonly share: number;
}

const byId = (a: { readonly id: string }, b: { readonly id: string }): number =>
  a.id < b.id ? -1 : a.id > b.id ? 1 : 0;

// Figures and loads are two name spaces: a load may have the id of a figure.
export const figureNode = (id: string): string => `figure/${id}`;
export const loadNode = (id: string): string => `load/${id}`;
/** The figure or load that a contact belongs to. */
export const ownerNode = ({ owner, patch }: Contact): string =>
  patch === 'underside' ? loadNode(owner) : figureNode(owner);
/** The member of the scene that carries it. */
export const carrierNode = (upon: Carrier): string =>
  upon.kind === 'figure' ? figureNode(upon.figure) : loadNode(upon.load);
export const endNode = (end: GripEnd): string =>
  end.kind === 'figure' ? figureNode(end.figure) : loadNode(end.load);

/** The closed grips between things that are there; a grip on something removed holds nothing. */
export function closedGrips(scene: Scene, loads: readonly Load[]): readonly Grip[] {
  if (scene.grips.length === 0) return [];
  const there = new Set([
    ...scene.figures.map(({ id }) => figureNode(id)),
    ...loads.map(({ id }) => loadNode(id)),
  ]);
  return scene.grips.filter(
    ({ a, b, open }) => !open && there.has(endNode(a)) && there.has(endNode(b)),
  );
}

/**
 * The connected groups of a scene, sorted by id; the order of things in the scene plays no part.
 * @param loads the loads that have a place in the world
 * @param grips the closed grips
 * @param contacts everything that touches
 */
export function findGroups(
  scene: Scene,
  loads: readonly Load[],
  grips: readonly Grip[],
  contacts: readonly Contact[],
): readonly Group[] {
  const joined = join(loads, grips, contacts);
  const groups = new Map<string, { id: string; figures: Figure[]; loads: Load[] }>();
  const groupOf = (node: string, id: string) => {
    const root = joined(node);
    const known = groups.get(root) ?? { id, figures: [], loads: [] };
    groups.set(root, known);
    return known;
  };
  for (const figure of [...scene.figures].sort(byId))
    groupOf(figureNode(figure.id), figure.id).figures.push(figure);
  for (const load of [...loads].sort(byId)) groupOf(loadNode(load.id), load.id).loads.push(load);
  return [...groups.values()].sort(byId);
}

/** Union-find over figures and loads: gives the representative of a node. */
function join(
  loads: readonly Load[],
  grips: readonly Grip[],
  contacts: readonly Contact[],
): (node: string) => string {
  const parents = new Map<string, string>();
  const rootOf = (node: string): string => {
    const parent = parents.get(node);
    return parent === undefined ? node : rootOf(parent);
  };
  const unite = (a: string, b: string) => {
    const from = rootOf(a);
    const to = rootOf(b);
    if (from !== to) parents.set(from, to);
  };
  for (const { id, place } of loads)
    if (place.kind !== 'standing') unite(loadNode(id), figureNode(place.figure));
  for (const grip of grips) unite(endNode(grip.a), endNode(grip.b));
  for (const contact of contacts)
    if (contact.upon !== undefined) unite(ownerNode(contact), carrierNode(contact.upon));
  return rootOf;
}

/**
 * What each figure carries, by figure id. A load is carried by the figure that holds or wears it and
 * by every figure with a closed grip on it (or on a load gripped to it); several carriers take equal
 * shares, each at the load's own centre, because a still picture does not say who takes more. A load
 * that touches what lies beneath is carried by nobody: taken alone, a figure leaves it there.
 * @param resting ids of the loads that touch something beneath them
 */
export function findCarried(
  loads: readonly Load[],
  grips: readonly Grip[],
  resting: ReadonlySet<string>,
): ReadonlyMap<string, readonly Carried[]> {
  const carried = new Map<string, Carried[]>();
  if (loads.length === 0) return carried;
  for (const load of [...loads].sort(byId)) {
    const bundle = gripped(load.id, grips);
    if ([...bundle].some((id) => resting.has(id))) continue;
    const carriers = carriersOf(bundle, loads, grips);
    for (const figure of carriers) {
      const list = carried.get(figure) ?? [];
      list.push({ load, share: 1 / carriers.size });
      carried.set(figure, list);
    }
  }
  return carried;
}

/** A load and the loads that closed grips tie to it, however many in a row. */
function gripped(load: string, grips: readonly Grip[]): Set<string> {
  const bundle = new Set([load]);
  for (let size = 0; size !== bundle.size; ) {
    size = bundle.size;
    for (const { a, b } of grips) {
      if (a.kind !== 'load' || b.kind !== 'load') continue;
      if (bundle.has(a.load)) bundle.add(b.load);
      if (bundle.has(b.load)) bundle.add(a.load);
    }
  }
  return bundle;
}

function carriersOf(
  bundle: ReadonlySet<string>,
  loads: readonly Load[],
  grips: readonly Grip[],
): Set<string> {
  const carriers = new Set<string>();
  for (const { id, place } of loads)
    if (bundle.has(id) && place.kind !== 'standing') carriers.add(place.figure);
  for (const { a, b } of grips) {
    if (a.kind === 'load' && b.kind === 'figure' && bundle.has(a.load)) carriers.add(b.figure);
    if (b.kind === 'load' && a.kind === 'figure' && bundle.has(b.load)) carriers.add(a.figure);
  }
  return carriers;
}
