import type { Contact } from '../../contact/index.ts';
import type { Vec2 } from '../../geometry/index.ts';
import { type Figure, facing, type Scene } from '../../scene/index.ts';
import { lookAt, readGroup as readingOfGroup } from '../assess.ts';
import { figureNode, type Group, loadNode } from '../groups.ts';
import { type Points, type Rigid, rigidGroup } from '../joined.ts';
import { type Linkage, linkageOf, type World } from '../linkage.ts';
import { pointsOf, pushes } from '../pushes.ts';
import { type ReadGroup, readGroup } from '../region/index.ts';
import type { Reading } from '../types.ts';

/** One connected group made ready to be studied. */
export interface Rig {
  readonly scene: Scene;
  readonly world: World;
  readonly group: Group;
  readonly reading: Reading;
  readonly linkage: Linkage;
  /** Contacts of the group with what is outside it, in the order of the report. */
  readonly contacts: readonly Contact[];
  /** Contacts of members on other members. */
  readonly between: readonly Contact[];
  /** Null while a mass is unknown. */
  readonly rigid: Rigid | null;
  /** Names by node (`figure/id`, `load/id`). */
  readonly names: ReadonlyMap<string, string>;
  /** The same where more than one thing rests on the ground, so that contacts need their owner's name. */
  readonly owners: ReadonlyMap<string, string> | null;
  /** Loads whose mass is not set, by name. */
  readonly missing: readonly string[];
  /** Which way "forwards" is: the facing of the heaviest figure; +z without one. */
  readonly forward: Vec2;
}

/** Contacts with nothing cut off. */
export const exact: Points = (contacts, part) => pushes(contacts, part);
const oneByOne: Points = (contacts, part) => pointsOf(contacts, part);

/** Every connected group of a scene, made ready. */
export function rigsOf(scene: Scene): readonly Rig[] {
  const { world, groups } = lookAt(scene);
  return groups.map((group) => rigOf(scene, world, group));
}

export function rigOf(scene: Scene, world: World, group: Group): Rig {
  const linkage = linkageOf(group, world);
  const mine = linkage.bodies.flatMap(({ contacts }) => contacts);
  const order = new Map(world.contacts.map(({ id }, i) => [id, i]));
  mine.sort((a, b) => order.get(a.id)! - order.get(b.id)!);
  const contacts = mine.filter(({ upon }) => upon === undefined);
  const names = new Map([
    ...group.figures.map(({ id, name }) => [figureNode(id), name] as const),
    ...group.loads.map(({ id, name }) => [loadNode(id), name] as const),
  ]);
  const several = new Set(contacts.map(({ owner, patch }) => `${patch === 'underside'} ${owner}`));
  return {
    scene,
    world,
    group,
    linkage,
    reading: readingOfGroup(group, world),
    contacts,
    between: mine.filter(({ upon }) => upon !== undefined),
    rigid: rigidGroup(linkage, exact),
    names,
    owners: several.size > 1 ? names : null,
    missing: group.loads.filter(({ mass }) => mass === null).map(({ name }) => name),
    forward: forwardOf(group.figures, world),
  };
}

/** The group as a program contact by contact; null as `rigid`. */
export function contactProgram({ linkage, rigid }: Rig): ReadGroup | null {
  if (rigid === null) return null;
  const known = { grips: rigid.outline.grips, atRest: rigid.atRest };
  return readGroup(rigidGroup(linkage, oneByOne, known)!.outline);
}

/** Why nothing can be said about the group at rest; null where it is at rest. */
export function whyNotAtRest({ missing, rigid, contacts, reading }: Rig): string | null {
  if (missing.length > 0) return `the mass of ${missing.join(' and ')} is not set`;
  if (rigid === null || reading.mass === 0) return 'nothing here has a mass';
  if (contacts.length === 0) return 'nothing touches a surface';
  if (rigid.atRest) return null;
  return reading.verdict === 'teeters'
    ? 'the plumb line only just misses the one line or point that carries everything'
    : 'it falls, so nothing here is at rest';
}

export const massOf = ({ group }: Rig): number =>
  group.figures.reduce((sum, { body }) => sum + body.mass, 0);

function forwardOf(figures: readonly Figure[], { posed }: World): Vec2 {
  const guide = figures.reduce<Figure | null>(
    (best, figure) => (best === null || figure.body.mass > best.body.mass ? figure : best),
    null,
  );
  return guide === null ? [0, 1] : facing(posed.get(guide.id)!.segments.pelvis.rotation);
}
