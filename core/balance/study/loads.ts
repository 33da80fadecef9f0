import type { Contact } from '../../contact/index.ts';
import { cross, dot, length, scale, subtract, type Vec3 } from '../../geometry/index.ts';
import { alongFoot, carryingFeet } from '../feet.ts';
import {
  buildProgram,
  likelyForces,
  middleLoads,
  type Program,
  type ReadGroup,
} from '../region/index.ts';
import { contactProgram, type Rig, whyNotAtRest } from './rig.ts';
import type { Band, ContactLoads, ContactShare, FootShare, Told } from './types.ts';
import { cannotTell, capital, contactWords, list, percent } from './words.ts';

/** The likely force at every support of the group's program, newtons; null where springs say nothing. */
export interface Likely {
  readonly read: ReadGroup;
  readonly forces_N: readonly Vec3[] | null;
}

/** Springs of a group: all contacts alike, but the two patches of one foot share by their areas. */
export function likelyOf(rig: Rig): Likely | null {
  const read = contactProgram(rig);
  if (read === null || whyNotAtRest(rig) !== null) return null;
  const forces = springForces(rig, read);
  return {
    read,
    forces_N: forces?.map((force) => scale(force, read.total_N)) ?? null,
  };
}

/** The same in shares of the total weight, for any masses of the bodies. */
export function springForces(
  { contacts, between }: Pick<Rig, 'contacts' | 'between'>,
  { spec, patches }: ReadGroup,
): readonly Vec3[] | null {
  const all = [...contacts, ...between];
  const stiffness = patches.map(({ name }) => stiffnessOf(name, all));
  const bodies = spec.bodies.map(({ weight, centre }) => ({ weight, centre: centre! }));
  return likelyForces(spec.supports, bodies, (patch) => stiffness[patch] ?? 1);
}

/** One foot is one bed of springs: sole and toes share its stiffness as they share its area. */
function stiffnessOf(id: string, contacts: readonly Contact[]): number {
  const contact = contacts.find((other) => other.id === id);
  const side = contact && footSide(contact);
  if (contact === undefined || side === null || side === undefined) return 1;
  const foot = contacts.filter((c) => c.owner === contact.owner && footSide(c) === side);
  const total = foot.reduce((sum, c) => sum + areaOf(c.outline), 0);
  if (total === 0) return 1 / foot.length;
  // A line or a point of a foot still gives way like a narrow strip of it.
  return Math.max(areaOf(contact.outline) / total, LEAST_STIFFNESS);
}

const LEAST_STIFFNESS = 0.01;

const footSide = ({ patch }: Contact): 'L' | 'R' | null =>
  /^(sole|toes)[LR]$/.test(patch) ? (patch.at(-1) as 'L' | 'R') : null;

function areaOf(outline: readonly Vec3[]): number {
  const [first, ...rest] = outline;
  let sum: Vec3 = [0, 0, 0];
  for (let i = 1; i < rest.length; i++) {
    const part = cross(subtract(rest[i - 1]!, first!), subtract(rest[i]!, first!));
    sum = [sum[0] + part[0], sum[1] + part[1], sum[2] + part[2]];
  }
  return length(sum) / 2;
}

/** Loads are known to about this share of the weight. */
const WORTH = 1e-7;
/** Ranges narrower than this share of the weight are decided by statics. */
const UNIQUE = 1e-3;

/**
 * What every contact carries: the range over all equilibria (two linear programs each, mechanics.md
 * 1.7) and the likely value of equal springs; the same for whole feet.
 */
export function contactLoads(rig: Rig, likely: Likely | null): Told<ContactLoads> {
  const what = 'what each contact carries';
  const why = whyNotAtRest(rig);
  if (why !== null || likely === null) return cannotTell(what, why ?? 'nothing here has a mass');
  const { read, forces_N } = likely;
  const { spec, patches, total_N } = read;
  const program = buildProgram({ ...spec, loads: true, worth: WORTH });
  if (!program.simplex.feasible()) return cannotTell(what, 'it falls, so nothing here is at rest');

  const numbers = new Map(patches.map(({ name }, i) => [name, i]));
  const ranges = new Map(patches.map(({ name }, i) => [name, verticalBand(program, [i])]));
  const middle = forces_N === null ? middleLoads(program) : null;
  const pressingOn = (some: readonly number[]): readonly Pressing[] =>
    spec.supports.flatMap((support, i) =>
      some.includes(support.patch) && forces_N !== null ? [{ support, force: forces_N[i]! }] : [],
    );
  const shareOf = (contact: Contact): ContactShare => {
    const patch = numbers.get(contact.id)!;
    const share = ranges.get(contact.id)!;
    const mine = pressingOn([patch]);
    const likely_N =
      middle === null
        ? mine.reduce((sum, { force }) => sum + force[1], 0)
        : middle[patch]! * total_N;
    return {
      contact: contact.id,
      owner: contact.owner,
      patch: contact.patch,
      vertical_N: times(share, total_N),
      share,
      unique: isUnique(share),
      likely_N,
      likelyShare: likely_N / total_N,
      ...sumOf(mine, total_N),
    };
  };
  const shares = rig.contacts.map(shareOf);
  const feet = footShares(rig, shares, total_N, (ids) => {
    const mine = ids.map((id) => numbers.get(id)!);
    const { frictionUsed } = sumOf(pressingOn(mine), total_N);
    return { share: verticalBand(program, mine), frictionUsed };
  });
  return {
    kind: 'told',
    sentence: sentenceOf(rig, shares, feet),
    weight_N: total_N,
    contacts: shares,
    feet,
    between: rig.between.map(shareOf),
    springs: forces_N !== null,
  };
}

/** Range of the sum of the vertical loads of some patches, shares of the weight. */
function verticalBand({ simplex, objective, loadRows }: Program, patches: readonly number[]): Band {
  const end = (sign: 1 | -1): number | null => {
    objective.fill(0);
    for (const patch of patches) objective[loadRows[patch]!] = sign;
    if (simplex.maximise(objective) !== 'optimal') return null;
    return patches.reduce((sum, patch) => sum + simplex.read(loadRows[patch]!), 0);
  };
  return { least: end(-1), most: end(1) };
}

const times = ({ least, most }: Band, factor: number): Band => ({
  least: least === null ? null : least * factor,
  most: most === null ? null : most * factor,
});

const isUnique = ({ least, most }: Band): boolean =>
  least !== null && most !== null && most - least < UNIQUE;

/** Below this share of the weight a contact carries nothing. */
const CARRIES = 1e-6;

/** A point that presses, and the likely force there. */
interface Pressing {
  readonly support: {
    readonly point: Vec3;
    readonly normal: Vec3;
    readonly friction: number;
    readonly hold: number | null;
  };
  readonly force: Vec3;
}

/** The likely force of a contact, or of several together, as one arrow, and the friction that it uses. */
function sumOf(
  parts: readonly Pressing[],
  total_N: number,
): Pick<ContactShare, 'frictionUsed' | 'arrow'> {
  let borne = 0;
  let available = 0;
  let at: Vec3 = [0, 0, 0];
  let force: Vec3 = [0, 0, 0];
  let slide: Vec3 = [0, 0, 0];
  for (const { support, force: f } of parts) {
    const n = dot(support.normal, f);
    const held = support.hold !== null;
    // A closed hand bears any way, also where it presses nothing.
    const size = held ? length(f) : n;
    borne += size;
    at = plus(at, scale(support.point, size));
    force = plus(force, f);
    if (held) continue;
    available += support.friction * n;
    slide = plus(slide, subtract(f, scale(support.normal, n)));
  }
  if (borne < CARRIES * total_N) return { frictionUsed: null, arrow: null };
  return {
    frictionUsed: available > 0 ? length(slide) / available : null,
    arrow: { at: scale(at, 1 / borne), force_N: force },
  };
}

const plus = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];

/**
 * Where a foot bears by the lever rule: the middle of the heel's pad and the ball's joint, along the
 * foot from the heel. The pad lies about an eighth of the foot ahead of its end (no source); the ball
 * at 0.74 (ANSUR II, reference/checks.md 7).
 */
const HEEL_AT = 0.125;
const BALL_AT = 0.74;

function footShares(
  { group, world, contacts }: Rig,
  shares: readonly ContactShare[],
  total_N: number,
  together: (ids: readonly string[]) => Pick<FootShare, 'share' | 'frictionUsed'>,
): FootShare[] {
  return group.figures.flatMap((figure) => {
    const lines = carryingFeet(figure.id, world.posed.get(figure.id)!, contacts);
    return lines.map((line): FootShare => {
      const patches = [`sole${line.side}`, `toes${line.side}`];
      const mine = shares.filter((s) => s.owner === figure.id && patches.includes(s.patch));
      const { share, frictionUsed } = together(mine.map(({ contact }) => contact));
      const likelyShare = mine.reduce((sum, s) => sum + s.likelyShare, 0);
      const ball = likelyShare * ballPart(mine, line);
      return {
        figure: figure.id,
        side: line.side,
        vertical_N: times(share, total_N),
        share,
        unique: isUnique(share),
        likely_N: likelyShare * total_N,
        likelyShare,
        heelShare: likelyShare - ball,
        ballShare: ball,
        frictionUsed,
      };
    });
  });
}

/** The part of a foot's load on its ball and toes, by where its centre of pressure lies. */
function ballPart(shares: readonly ContactShare[], line: Parameters<typeof alongFoot>[1]): number {
  let pressed = 0;
  let x = 0;
  let z = 0;
  for (const { arrow } of shares) {
    if (arrow === null) continue;
    const weight = Math.max(arrow.force_N[1], 0);
    pressed += weight;
    x += weight * arrow.at[0];
    z += weight * arrow.at[2];
  }
  const along = pressed === 0 ? null : alongFoot([x / pressed, z / pressed], line);
  if (along === null) return 0.5;
  return Math.min(1, Math.max(0, (along - HEEL_AT) / (BALL_AT - HEEL_AT)));
}

function sentenceOf(rig: Rig, shares: readonly ContactShare[], feet: readonly FootShare[]): string {
  const several = rig.owners !== null;
  const footItems = feet.map((foot) => {
    const name = `the ${foot.side === 'L' ? 'left' : 'right'} foot`;
    const owner = rig.names.get(`figure/${foot.figure}`)!;
    return { name: several ? `${name} of ${owner}` : name, ...foot };
  });
  const others = shares
    .filter(({ patch }) => !/^(sole|toes)/.test(patch))
    .map((share) => ({
      name: contactWords(
        rig.contacts.filter(({ id }) => id === share.contact),
        rig.owners,
      ),
      ...share,
    }));
  const items = [...footItems, ...others];
  if (items.length === 0) return 'Nothing carries any weight.';
  if (items.length === 1) return `${capital(items[0]!.name)} carries all of the weight.`;
  const unique = items.every((item) => item.unique);
  const said = list(
    items.map(
      ({ name, likelyShare }, i) => `${name} ${i === 0 ? 'carries ' : ''}${percent(likelyShare)}`,
    ),
  );
  if (unique) return `${capital(said)} of the weight.`;
  const open = items.find((item) => !item.unique)!;
  return `Likely ${said} of the weight; statics alone leaves ${open.name} ${shareBand(open.share)}.`;
}

function shareBand({ least, most }: Band): string {
  if (least === null || most === null) return 'anything';
  return `${Math.round(least * 100)} to ${percent(most)}`;
}
