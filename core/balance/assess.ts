import { type Contact, findContacts } from '../contact/index.ts';
import type { Vec3 } from '../geometry/index.ts';
import {
  type Load,
  loadTransforms,
  posedFigures,
  type Scene,
  weightTransforms,
} from '../scene/index.ts';
import { type Carried, closedGrips, findCarried, findGroups, type Group } from './groups.ts';
import { linkageOf, type World } from './linkage.ts';
import { readingOf, type Someone } from './reading.ts';
import { tellHeld } from './sentence.ts';
import type { BalanceReport, FigureReading, GroupReading, Reading } from './types.ts';
import type { Part } from './weight.ts';

/**
 * Weighs a scene at rest: one reading per connected group (figures and loads joined by holds, closed
 * grips and standing on each other) and one per figure alone with what it carries.
 *
 * A group of several bodies holds only when each of them balances itself with its own contacts and what
 * passes through grips (mechanics.md 1.9): the outline round all of them is not enough. A figure that
 * touches nothing and hangs on one other counts as one stiff body with it, like a load. A load in the
 * hands that touches what lies beneath rests there partly: the group takes any sharing between floor and
 * hands, the figure alone leaves it there whole.
 *
 * Pure and deterministic; the order of figures, loads, surfaces and grips plays no part: groups and
 * figures come out sorted by id. Metres, kilograms, radians. The supports of the last few calls are kept
 * (`groundOf`), so that a drag that leaves the contacts where they are finds none again. Throws RangeError
 * for a body that cannot be built (stature or mass out of range).
 */
export function assess(scene: Scene): BalanceReport {
  const { world, groups: found } = lookAt(scene);
  const groups: GroupReading[] = [];
  const figures: FigureReading[] = [];
  for (const group of found) {
    const reading = readGroup(group, world);
    groups.push(groupReading(group, reading));
    for (const figure of group.figures)
      figures.push(
        readFigure({ figure, posed: world.posed.get(figure.id)! }, group, reading, world),
      );
  }
  figures.sort((a, b) => (a.figure < b.figure ? -1 : 1));
  const centres: Record<string, { centre: Vec3 }> = {};
  for (const [id, { position }] of world.placed) centres[id] = { centre: position };
  return { groups, figures, contacts: world.contacts, loads: centres };
}

/** A scene in the world and its connected groups. */
export function lookAt(scene: Scene): { world: World; groups: readonly Group[] } {
  const posed = posedFigures(scene);
  const placed = loadTransforms(scene, posed);
  const contacts = findContacts(scene, posed, placed);
  const loads = scene.loads.filter(({ id }) => placed.has(id));
  const grips = closedGrips(scene, loads);
  const resting = new Set(contacts.filter(isUnderside).map(({ owner }) => owner));
  for (const { id, place } of loads) if (place.kind === 'attached') resting.delete(id);
  const carried = findCarried(loads, grips, resting);
  return {
    world: { posed, placed: weightTransforms(scene, placed), contacts, grips, carried },
    groups: findGroups(scene, loads, grips, contacts),
  };
}

const isUnderside = ({ patch }: Contact): boolean => patch === 'underside';

const membersOf = ({ figures, loads }: Group): readonly string[] => [
  ...figures.map(({ id }) => id),
  ...loads.map(({ id }) => id),
];

/** The reading of a group together. */
export function readGroup(group: Group, world: World): Reading {
  const people = group.figures.map((figure) => ({ figure, posed: world.posed.get(figure.id)! }));
  const parts = [...people.map(bodyPart), ...group.loads.map((load) => loadPart(load, 1, world))];
  const contacts = contactsOf(group, world).filter(({ upon }) => upon === undefined);
  const linkage = isOneBody(group, world) ? null : linkageOf(group, world);
  return linkage === null || linkage.bodies.length < 2
    ? readingOf({ people, parts, contacts })
    : readingOf({ people, parts, contacts, linkage });
}

/** A load by itself, or a figure with no more than it carries: nothing to cut. */
const isOneBody = ({ figures, loads }: Group, { carried }: World): boolean =>
  figures.length + loads.length === 1 ||
  (figures.length === 1 && (carried.get(figures[0]!.id) ?? []).length === loads.length);

/** Everything that a member of the group touches. */
function contactsOf(group: Group, { contacts }: World): readonly Contact[] {
  const members = new Set(group.figures.map(({ id }) => id));
  const standing = new Set(group.loads.map(({ id }) => id));
  return contacts.filter((contact) =>
    (isUnderside(contact) ? standing : members).has(contact.owner),
  );
}

function readFigure(
  someone: Someone,
  group: Group,
  together: Reading,
  world: World,
): FigureReading {
  const { id } = someone.figure;
  const carried = world.carried.get(id) ?? [];
  // Alone with everything of its group, a figure is its group.
  if (group.figures.length === 1 && carried.length === group.loads.length)
    return figureReading(someone, group, together, together, carried);
  const worn = new Set(
    carried.flatMap(({ load }) => (load.place.kind === 'attached' ? [load.id] : [])),
  );
  const alone = readingOf({
    people: [someone],
    parts: [bodyPart(someone), ...carried.map(({ load, share }) => loadPart(load, share, world))],
    contacts: world.contacts.filter((contact) =>
      isUnderside(contact) ? worn.has(contact.owner) : contact.owner === id,
    ),
  });
  const lost = alone.verdict === 'falls' || alone.verdict === 'airborne';
  const saved = together.verdict === 'holds' || together.verdict === 'teeters';
  if (!lost || !saved) return figureReading(someone, group, together, alone, carried);
  const sentence = tellHeld(alone, together.verdict);
  return figureReading(someone, group, together, { ...alone, verdict: 'held', sentence }, carried);
}

// Written out field by field: spreading a reading takes as long as all of its geometry (measured with
// tests/bench/assess.bench.ts).
const groupReading = (group: Group, reading: Reading): GroupReading => ({
  id: group.id,
  members: membersOf(group),
  mass: reading.mass,
  centre: reading.centre,
  plumb: reading.plumb,
  support: reading.support,
  margin: reading.margin,
  footPosition: reading.footPosition,
  verdict: reading.verdict,
  sentence: reading.sentence,
});

const figureReading = (
  { figure, posed }: Someone,
  group: Group,
  together: Reading,
  reading: Reading,
  carried: readonly Carried[],
): FigureReading => ({
  figure: figure.id,
  group: group.id,
  groupVerdict: together.verdict,
  carries: carried.map(({ load, share }) => ({ load: load.id, share })),
  bodyCentre: posed.centre,
  mass: reading.mass,
  centre: reading.centre,
  plumb: reading.plumb,
  support: reading.support,
  margin: reading.margin,
  footPosition: reading.footPosition,
  verdict: reading.verdict,
  sentence: reading.sentence,
});

const bodyPart = ({ figure, posed }: Someone): Part => ({
  name: figure.name,
  mass: figure.body.mass,
  centre: posed.centre,
});

function loadPart({ id, name, mass }: Load, share: number, { placed }: World): Part {
  return {
    name,
    mass: mass === null ? null : mass * share,
    centre: placed.get(id)!.position,
  };
}
