import { inscribedCircle, type Vec2, type Vec3 } from '../../geometry/index.ts';
import type { Load } from '../../scene/index.ts';
import { figureNode, type Group } from '../groups.ts';
import { rigidGroup } from '../joined.ts';
import { type Linkage, linkageOf, type World, weightOf } from '../linkage.ts';
import {
  buildProgram,
  centringMass,
  type LoadColumn,
  largest,
  type ProgramSpec,
  type ReadGroup,
  readGroup,
  smallest,
} from '../region/index.ts';
import { groundOf } from '../support.ts';
import { weigh } from '../weight.ts';
import { exact, type Rig } from './rig.ts';
import type {
  CentringMass,
  ImpliedAnswer,
  ImpliedWeight,
  MassBand,
  PartnerMass,
  Told,
} from './types.ts';
import { cannotTell, kilograms, massBand, percent } from './words.ts';

/** What must be so for the pose to hold: masses of loads and partners, and how far out a load may go. */

/** The group as it is but for one thing, whose weight is one more unknown of the balance. */
interface Question {
  readonly outline: ProgramSpec;
  readonly functional: ProgramSpec;
  /** Kilograms for one unit of the unknown. */
  readonly unit_kg: number;
}

/** A group with another mass of one load. */
export function withLoadMass(
  group: Group,
  world: World,
  id: string,
  mass: number,
): { group: Group; world: World } {
  const change = (load: Load): Load => (load.id === id ? { ...load, mass } : load);
  const carried = new Map(
    [...world.carried].map(([figure, loads]) => [
      figure,
      loads.map(({ load, share }) => ({ load: change(load), share })),
    ]),
  );
  return {
    group: { ...group, loads: group.loads.map(change) },
    world: { ...world, carried },
  };
}

function loadQuestion(rig: Rig, load: Load): Question | null {
  const empty = withLoadMass(rig.group, rig.world, load.id, 0);
  const at = rig.world.placed.get(load.id)!.position;
  const column = carriersOf(rig, load.id).map(({ figure, share }) => ({
    body: rig.linkage.bodyOf.get(figureNode(figure))!,
    share,
    at,
  }));
  return question(rig, linkageOf(empty.group, empty.world), column);
}

function partnerQuestion(rig: Rig, figure: string): Question | null {
  const group: Group = {
    ...rig.group,
    figures: rig.group.figures.map((other) =>
      other.id === figure ? { ...other, body: { ...other.body, mass: 0 } } : other,
    ),
  };
  const body = rig.linkage.bodyOf.get(figureNode(figure))!;
  const at = rig.world.posed.get(figure)!.centre;
  return question(rig, linkageOf(group, rig.world), [{ body, share: 1, at }]);
}

/**
 * @param lighter the group without the asked thing's weight
 * @param column where that weight hangs, in shares that sum to 1
 */
function question(
  rig: Rig,
  lighter: Linkage,
  column: readonly { readonly body: string; readonly share: number; readonly at: Vec3 }[],
): Question | null {
  const weights = lighter.bodies.map(weightOf);
  if (!weights.every((weight) => weight !== null)) return null;
  // Caps and the sense of pulls stay those of the group as it is, where that is known.
  const rigid = rig.rigid ?? rigidGroup(lighter, exact);
  if (rigid === null) return null;
  const unit_kg = rigid.outline.bodies.reduce((sum, { mass_kg }) => sum + mass_kg, 0);
  const bodies = weights.map(({ mass, centre }) => ({ weight: mass / unit_kg, centre }));
  const index = new Map(lighter.bodies.map(({ id }, i) => [id, i]));
  const loads: LoadColumn[] = column.map(({ body, share, at }) => ({
    on: index.get(body)!,
    force: [0, -share, 0],
    at,
  }));
  const specOf = ({ spec }: ReadGroup): ProgramSpec => ({ ...spec, bodies, column: loads });
  return {
    outline: specOf(readGroup(rigid.outline)),
    functional: specOf(readGroup(rigid.functional)),
    unit_kg,
  };
}

function bandOf(spec: ProgramSpec, unit_kg: number, bodyMass: number): MassBand {
  if (spec.supports.length === 0) return { kind: 'none' };
  const program = buildProgram(spec);
  const least = smallest(program, program.level);
  if (least === null) return { kind: 'none' };
  const most = largest(program, program.level)!;
  const least_kg = Math.max(0, least) * unit_kg;
  const most_kg = Number.isFinite(most) ? Math.max(0, most) * unit_kg : null;
  return {
    kind: 'range',
    least_kg,
    most_kg,
    leastShare: least_kg / bodyMass,
    mostShare: most_kg === null ? null : most_kg / bodyMass,
  };
}

interface Carrier {
  readonly figure: string;
  readonly share: number;
}

/** Who of the group carries a load, and which part. */
export function carriersOf({ group, world }: Rig, load: string): readonly Carrier[] {
  return group.figures.flatMap(({ id }) =>
    (world.carried.get(id) ?? [])
      .filter((carried) => carried.load.id === load)
      .map(({ share }) => ({ figure: id, share })),
  );
}

/** The loads of a group that someone carries. */
export const carriedLoads = (rig: Rig): readonly Load[] =>
  rig.group.loads.filter(({ id }) => carriersOf(rig, id).length > 0);

const bodyMassOf = (rig: Rig, figures: readonly string[]): number =>
  rig.group.figures.reduce(
    (sum, { id, body }) => (figures.includes(id) ? sum + body.mass : sum),
    0,
  );

/** The masses of a load with which the pose holds (mechanics.md 1.10). */
export function impliedWeight(rig: Rig, load: Load): ImpliedWeight {
  const bodyMass = bodyMassOf(
    rig,
    carriersOf(rig, load.id).map(({ figure }) => figure),
  );
  return {
    load: load.id,
    mass_kg: load.mass,
    answer: impliedAnswer(rig, load, bodyMass),
  };
}

function impliedAnswer(rig: Rig, load: Load, bodyMass: number): Told<ImpliedAnswer> {
  const what = `what ${load.name} weighs`;
  if (rig.contacts.length === 0) return cannotTell(what, 'nothing touches a surface');
  const asked = loadQuestion(rig, load);
  if (asked === null) {
    const others = rig.missing.filter((name) => name !== load.name);
    return cannotTell(what, `the mass of ${others.join(' and ')} is not set either`);
  }
  const holds = bandOf(asked.functional, asked.unit_kg, bodyMass);
  const teeters = bandOf(asked.outline, asked.unit_kg, bodyMass);
  const centring = centringOf(rig, load, bodyMass);
  return {
    kind: 'told',
    sentence: impliedSentence(load, holds, teeters, centring),
    holds,
    teeters,
    centring,
  };
}

/** The load mass that brings the common centre nearest to the middle of the functional support. */
function centringOf(rig: Rig, load: Load, bodyMass: number): CentringMass {
  const { group, world, contacts } = rig;
  const { functional } = groundOf(contacts, true).support;
  const target = inscribedCircle(functional)?.centre;
  const rest = weigh([
    ...group.figures.map(({ id, name, body }) => ({
      name,
      mass: body.mass,
      centre: world.posed.get(id)!.centre,
    })),
    ...group.loads
      .filter(({ id }) => id !== load.id)
      .map(({ id, name, mass }) => ({ name, mass, centre: world.placed.get(id)!.position })),
  ]);
  if (target === undefined || rest.centre === null || !rest.mass) return { kind: 'none' };
  const plan = ([x, , z]: Vec3): Vec2 => [x, z];
  const found = centringMass(
    rest.mass,
    plan(rest.centre),
    plan(world.placed.get(load.id)!.position),
    target,
  );
  return found.kind === 'mass' ? { ...found, share: found.mass_kg / bodyMass } : found;
}

function impliedSentence(
  { name, mass }: Load,
  holds: MassBand,
  teeters: MassBand,
  centring: CentringMass,
): string {
  if (teeters.kind === 'none') return `No weight of ${name} lets this pose stand.`;
  const set = mass === null ? '' : setWords(mass, holds, teeters);
  if (holds.kind === 'none')
    return `With ${name} at ${massBand(teeters)} this pose teeters; with no weight does it hold.${set}`;
  const middle =
    centring.kind === 'mass'
      ? ` ${kilograms(centring.mass_kg)} (${percent(centring.share)}) would centre it, a convention and no measurement.`
      : '';
  const edge = sameBand(holds, teeters)
    ? ''
    : ` It stands, if only just, with ${massBand(teeters)}.`;
  return `${name} reads as ${massBand(holds)}.${edge}${middle}${set}`;
}

/** Where the mass that is set lies against the range. */
function setWords(mass: number, holds: MassBand, teeters: MassBand): string {
  const inside = (band: MassBand): boolean =>
    band.kind === 'range' &&
    mass >= band.least_kg - SAME_KG &&
    (band.most_kg === null || mass <= band.most_kg + SAME_KG);
  if (inside(holds)) return '';
  const set = ` It is set to ${kilograms(mass)}`;
  if (inside(teeters)) return `${set}, and teeters.`;
  const light = teeters.kind === 'range' && mass < teeters.least_kg;
  return `${set}, too ${light ? 'light' : 'heavy'} for this pose.`;
}

const SAME_KG = 1e-6;

function sameBand(a: MassBand, b: MassBand): boolean {
  if (a.kind === 'none' || b.kind === 'none') return a.kind === b.kind;
  const near = (x: number | null, y: number | null): boolean =>
    x === y || (x !== null && y !== null && Math.abs(x - y) < 0.05);
  return near(a.least_kg, b.least_kg) && near(a.most_kg, b.most_kg);
}

/** In a group of several figures: the masses that each of them may have. */
export function partnerMass(rig: Rig, figure: string): PartnerMass {
  const { name, body } = rig.group.figures.find(({ id }) => id === figure)!;
  return { figure, mass_kg: body.mass, answer: partnerAnswer(rig, figure, name) };
}

function partnerAnswer(rig: Rig, figure: string, name: string): PartnerMass['answer'] {
  const what = `what ${name} may weigh`;
  if (rig.contacts.length === 0) return cannotTell(what, 'nothing touches a surface');
  const asked = partnerQuestion(rig, figure);
  if (asked === null)
    return cannotTell(what, `the mass of ${rig.missing.join(' and ')} is not set`);
  const others = rig.group.figures.map(({ id }) => id).filter((id) => id !== figure);
  const bodyMass = bodyMassOf(rig, others);
  const holds = bandOf(asked.functional, asked.unit_kg, bodyMass);
  const teeters = bandOf(asked.outline, asked.unit_kg, bodyMass);
  return { kind: 'told', sentence: partnerSentence(name, holds, teeters), holds, teeters };
}

function partnerSentence(name: string, holds: MassBand, teeters: MassBand): string {
  const words = (band: Extract<MassBand, { kind: 'range' }>): string =>
    massBand(band).replace('of the body', 'of the others');
  if (teeters.kind === 'none') return `No weight of ${name} lets the group stand like this.`;
  if (holds.kind === 'none')
    return `With ${name} at ${words(teeters)} the group teeters; with no weight does it hold.`;
  const edge = sameBand(holds, teeters) ? '' : ` It stands, if only just, with ${words(teeters)}.`;
  return `The group holds with ${name} at ${words(holds)}.${edge}`;
}
