import type { Load } from '../../scene/index.ts';
import { linkageOf, weightOf } from '../linkage.ts';
import { GRAVITY, type ProgramSpec, type ReadGroup } from '../region/index.ts';
import { type Likely, springForces } from './loads.ts';
import { withLoadMass } from './masses.ts';
import { type Rig, whyNotAtRest } from './rig.ts';
import type { Growth, ImpliedWeight } from './types.ts';
import { cannotTell, contactWords, kilograms } from './words.ts';

/** Shares of the weight at which a contact has let go, and at which it plainly carried before. */
const LIFTED = 1e-3;
const CARRIED = 5e-3;

/** Masses tried between now and the fall, and halvings of the step in which a contact lets go. */
const STEPS = 6;
const HALVINGS = 7;

/**
 * What lifts first when a load grows: at the likely loads of the contacts (springs), the first that
 * stops carrying on the way from the load's mass to the one at which the pose falls.
 */
export function growthOf(
  rig: Rig,
  load: Load,
  implied: ImpliedWeight,
  likely: Likely | null,
): Growth {
  return { load: load.id, answer: growthAnswer(rig, load, implied, likely) };
}

function growthAnswer(
  rig: Rig,
  load: Load,
  { answer }: ImpliedWeight,
  likely: Likely | null,
): Growth['answer'] {
  const what = `what lifts first when ${load.name} grows`;
  const why = whyNotAtRest(rig);
  if (why !== null) return cannotTell(what, why);
  if (answer.kind !== 'told' || answer.teeters.kind === 'none' || likely === null)
    return cannotTell(what, 'no weight of it lets this pose stand');
  const falls_kg = answer.teeters.most_kg;
  const now = load.mass!;
  const reach = falls_kg ?? HEAVY * Math.max(now, rigMass(likely.read));
  const sharesAt = (mass: number): readonly number[] | null => {
    const read = atMass(rig, load, likely.read, mass);
    const forces = springForces(rig, read);
    return forces && read.patches.map((_, patch) => sumOf(read.spec, forces, patch));
  };
  const start = sharesAt(now);
  if (start === null) return cannotTell(what, 'it is at the very limit of its friction already');
  const lifted = (mass: number): readonly string[] => {
    const shares = sharesAt(mass);
    if (shares === null) return [];
    return likely.read.patches.flatMap(({ name }, i) =>
      start[i]! > CARRIED && shares[i]! < LIFTED ? [name] : [],
    );
  };
  // Just short of the fall itself, where springs no longer say anything.
  const end = now + (reach - now) * 0.999;
  let before = now;
  for (let step = 1; step <= STEPS; step++) {
    let after = now + ((end - now) * step) / STEPS;
    if (lifted(after).length === 0) {
      before = after;
      continue;
    }
    for (let i = 0; i < HALVINGS; i++) {
      const middle = (before + after) / 2;
      if (lifted(middle).length > 0) after = middle;
      else before = middle;
    }
    const lifts = lifted(after);
    return {
      kind: 'told',
      sentence: sentenceOf(rig, load, lifts, after, falls_kg),
      lifts,
      lifts_kg: after,
      falls_kg,
    };
  }
  return {
    kind: 'told',
    sentence: sentenceOf(rig, load, [], null, falls_kg),
    lifts: [],
    lifts_kg: null,
    falls_kg,
  };
}

/** How many times heavier a load is tried where no mass makes it fall. */
const HEAVY = 10;

const rigMass = ({ total_N }: ReadGroup): number => total_N / GRAVITY;

/** The program of the group with another mass of the load; caps stay the same forces. */
function atMass({ group, world }: Rig, load: Load, read: ReadGroup, mass: number): ReadGroup {
  const changed = withLoadMass(group, world, load.id, mass);
  const weights = linkageOf(changed.group, changed.world).bodies.map((body) => weightOf(body)!);
  const total = weights.reduce((sum, weight) => sum + weight.mass, 0);
  const lighter = rigMass(read) / total;
  return {
    ...read,
    total_N: total * GRAVITY,
    spec: {
      ...read.spec,
      bodies: weights.map(({ mass: own, centre }) => ({ weight: own / total, centre })),
      supports: read.spec.supports.map((s) => ({
        ...s,
        cap: s.cap * lighter,
        hold: s.hold === null ? null : s.hold * lighter,
      })),
    },
  };
}

const sumOf = (
  { supports }: ProgramSpec,
  forces: readonly (readonly [number, number, number])[],
  patch: number,
): number => supports.reduce((sum, s, i) => (s.patch === patch ? sum + forces[i]![1] : sum), 0);

function sentenceOf(
  rig: Rig,
  { name }: Load,
  lifts: readonly string[],
  lifts_kg: number | null,
  falls_kg: number | null,
): string {
  const falls = falls_kg === null ? 'it never falls' : `it falls from ${kilograms(falls_kg)} on`;
  if (lifts_kg === null) return `When ${name} grows, nothing lifts before; ${falls}.`;
  const contacts = rig.contacts.filter(({ id }) => lifts.includes(id));
  const what =
    contacts.length === 0 ? 'a contact inside the group' : contactWords(contacts, rig.owners);
  const verb = contacts.length > 1 || what.startsWith('both') ? 'lift' : 'lifts';
  return `When ${name} grows, ${what} ${verb} first, at about ${kilograms(lifts_kg)}; ${falls}.`;
}
