import { type Contact, findContacts } from '../contact/index.ts';
import type { Transform, Vec3 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import { type Load, loadTransforms, posedFigures, type Scene } from '../scene/index.ts';
import { type Carried, closedGrips, findCarried, findGroups, type Group } from './groups.ts';
import { readingOf, type Someone } from './reading.ts';
import { tellHeld } from './sentence.ts';
import type { BalanceReport, FigureReading, GroupReading, Reading } from './types.ts';
import type { Part } from './weight.ts';

/**
 * Weighs a scene at rest: one reading per connected group (figures and loads joined by holds and
 * closed grips, taken as one stiff body) and one per figure alone with what it carries.
 *
 * Pure and deterministic; the order of figures, loads, surfaces and grips plays no part: groups and
 * figures come out sorted by id. Metres, kilograms, radians. Throws RangeError for a body that cannot
 * be built (stature or mass out of range).
 */
export function assess(scene: Scene): BalanceReport {
  const posed = posedFigures(scene);
  const placed = loadTransforms(scene, posed);
  const contacts = findContacts(scene, posed, placed);
  const loads = scene.loads.filter(({ id }) => placed.has(id));
  const grips = closedGrips(scene, loads);
  const resting = new Set(contacts.filter(isUnderside).map(({ owner }) => owner));
  const carried = findCarried(loads, grips, resting);
  const world: World = { posed, placed, contacts, carried };

  const groups: GroupReading[] = [];
  const figures: FigureReading[] = [];
  for (const group of findGroups(scene, loads, grips)) {
    const reading = readGroup(group, world);
    groups.push(groupReading(group, reading));
    for (const figure of group.figures)
      figures.push(readFigure({ figure, posed: posed.get(figure.id)! }, group, reading, world));
  }
  figures.sort((a, b) => (a.figure < b.figure ? -1 : 1));
  const centres: Record<string, { centre: Vec3 }> = {};
  for (const [id, { position }] of placed) centres[id] = { centre: position };
  return { groups, figures, contacts, loads: centres };
}

interface World {
  readonly posed: ReadonlyMap<string, PosedFigure>;
  readonly placed: ReadonlyMap<string, Transform>;
  readonly contacts: readonly Contact[];
  readonly carried: ReadonlyMap<string, readonly Carried[]>;
}

const isUnderside = ({ patch }: Contact): boolean => patch === 'underside';

const membersOf = ({ figures, loads }: Group): readonly string[] => [
  ...figures.map(({ id }) => id),
  ...loads.map(({ id }) => id),
];

function readGroup(group: Group, world: World): Reading {
  const people = group.figures.map((figure) => ({ figure, posed: world.posed.get(figure.id)! }));
  const members = new Set(group.figures.map(({ id }) => id));
  const standing = new Set(group.loads.map(({ id }) => id));
  return readingOf({
    people,
    parts: [...people.map(bodyPart), ...group.loads.map((load) => loadPart(load, 1, world))],
    contacts: world.contacts.filter((contact) =>
      (isUnderside(contact) ? standing : members).has(contact.owner),
    ),
  });
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
  const alone = readingOf({
    people: [someone],
    parts: [bodyPart(someone), ...carried.map(({ load, share }) => loadPart(load, share, world))],
    contacts: world.contacts.filter((contact) => !isUnderside(contact) && contact.owner === id),
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
