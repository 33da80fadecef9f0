import { type BodySpec, type TableName, tableInfo } from '../../body/index.ts';
import { applyTransform, length, scale, type Vec2, type Vec3 } from '../../geometry/index.ts';
import type { PosedFigure } from '../../pose/index.ts';
import { bodyOf } from '../../scene/index.ts';
import { readGroup } from '../assess.ts';
import { inWords } from '../sentence.ts';
import type { Reading } from '../types.ts';
import type { Rig } from './rig.ts';
import type { Sturdiness, Told, UnderTable } from './types.ts';
import { cannotTell } from './words.ts';

/** By how much a segment's share may be off in the worst case, and the directions in which it is tried. */
const OFF = 0.1;
const DIRECTIONS = 8;
/** Tables that speak of the same people; a child is weighed by its own in every row. */
const COMPARED: readonly TableName[] = ['deleva-female', 'deleva-male', 'dempster-winter'];

/**
 * The verdict under other shares of body mass: the same drawn skeleton with the mass shares and relative
 * centres of the published tables of adults, and with each segment's mass a tenth too large or too small in the
 * way that shifts the centre most, in eight directions (two for joined bodies).
 */
export function sturdinessOf(rig: Rig): Told<Sturdiness> {
  const what = 'how sturdy the verdict is';
  if (rig.missing.length > 0)
    return cannotTell(what, `the mass of ${rig.missing.join(' and ')} is not set`);
  if (rig.group.figures.length === 0) return cannotTell(what, 'there is no body in it');
  if (rig.contacts.length === 0) return cannotTell(what, 'nothing touches a surface');
  const { verdict } = rig.reading;
  const under = [
    ...COMPARED.map((table) =>
      underTable(tableInfo(table).name, verdict, [
        weighed(rig, (posed) => centreUnder(posed, table)),
      ]),
    ),
    underTable(
      'segment masses 10 % off',
      verdict,
      directionsOf(rig).map((u) => weighed(rig, (posed) => farthestCentre(posed, u))),
    ),
  ];
  const other = under.find((row) => row.verdict !== verdict);
  return {
    kind: 'told',
    sentence: sentenceOf(verdict, under, other),
    sturdy: other === undefined,
    under,
  };
}

/** Directions all round; of joined bodies, which take long, only to and from the nearest edge. */
function directionsOf({ linkage, reading }: Rig): readonly Vec2[] {
  const nearest = reading.margin?.direction;
  if (linkage.bodies.length > 1 && nearest !== undefined)
    return [nearest, [0 - nearest[0], 0 - nearest[1]]];
  return Array.from({ length: DIRECTIONS }, (_, i): Vec2 => {
    const turn = (2 * Math.PI * i) / DIRECTIONS;
    return [Math.cos(turn), Math.sin(turn)];
  });
}

/** The group's reading with every figure's centre found anew. */
function weighed({ group, world }: Rig, centreOf: (posed: PosedFigure) => Vec3): Reading {
  const mine = new Set(group.figures.map(({ id }) => id));
  const posed = new Map(
    [...world.posed].map(([id, figure]) => [
      id,
      mine.has(id) ? { ...figure, centre: centreOf(figure) } : figure,
    ]),
  );
  return readGroup(group, { ...world, posed });
}

/** Of some readings the one that speaks most against the verdict: another one, or the nearest to an edge. */
function underTable(
  name: string,
  verdict: Reading['verdict'],
  readings: readonly Reading[],
): UnderTable {
  const distance = ({ margin }: Reading): number =>
    margin === null ? Number.POSITIVE_INFINITY : Math.abs(margin.distance);
  const nearest = (a: Reading, b: Reading): Reading => (distance(b) < distance(a) ? b : a);
  const other = readings.filter((reading) => reading.verdict !== verdict);
  const told = (other.length > 0 ? other : readings).reduce(nearest);
  return { name, verdict: told.verdict, margin_m: told.margin?.distance ?? null };
}

/** The mass centre with another table's shares, on the lengths that are drawn. */
function centreUnder({ body, segments }: PosedFigure, table: TableName): Vec3 {
  if (body.spec.table === table || body.spec.table === 'jensen-child')
    return meanOf(ownMasses({ body, segments }));
  const spec: BodySpec = { ...body.spec, table };
  const other = bodyOf(spec);
  return meanOf(
    Object.values(body.segments).map(({ name, end }) => {
      const given = other.segments[name];
      const size = length(given.end);
      const stretch = size > 0 ? length(end) / size : 1;
      return massAt(segments[name], given.mass, scale(given.centre, stretch));
    }),
  );
}

/** The mass centre farthest in a plan direction when every segment's mass may be off. */
function farthestCentre(posed: Pick<PosedFigure, 'body' | 'segments'>, [ux, uz]: Vec2): Vec3 {
  const masses = ownMasses(posed);
  const along = (p: Vec3): number => p[0] * ux + p[2] * uz;
  let centre = meanOf(masses);
  // What lies beyond the centre counts heavier; the centre moves, so again until nothing changes sides.
  for (let round = 0; round < ROUNDS; round++) {
    const next = meanOf(
      masses.map(({ mass, at }) => ({
        mass: mass * (along(at) > along(centre) ? 1 + OFF : 1 - OFF),
        at,
      })),
    );
    if (length([next[0] - centre[0], next[1] - centre[1], next[2] - centre[2]]) < 1e-9) break;
    centre = next;
  }
  return centre;
}

const ROUNDS = 6;

interface MassAt {
  readonly mass: number;
  readonly at: Vec3;
}

const ownMasses = ({ body, segments }: Pick<PosedFigure, 'body' | 'segments'>): readonly MassAt[] =>
  Object.values(body.segments).map(({ name, mass, centre }) =>
    massAt(segments[name], mass, centre),
  );

const massAt = (frame: PosedFigure['segments']['pelvis'], mass: number, local: Vec3): MassAt => ({
  mass,
  at: applyTransform(frame, local),
});

function meanOf(masses: readonly MassAt[]): Vec3 {
  let total = 0;
  let sum: Vec3 = [0, 0, 0];
  for (const { mass, at } of masses) {
    total += mass;
    sum = [sum[0] + mass * at[0], sum[1] + mass * at[1], sum[2] + mass * at[2]];
  }
  return scale(sum, 1 / total);
}

const VERBS: Readonly<Record<string, string>> = {
  holds: 'Holds',
  teeters: 'Teeters',
  falls: 'Falls',
};

function sentenceOf(
  verdict: Reading['verdict'],
  under: readonly UnderTable[],
  other: UnderTable | undefined,
): string {
  if (other !== undefined) {
    const verb = (VERBS[other.verdict] ?? other.verdict).toLowerCase();
    return `Depends on the body's masses: with ${other.name} it ${verb}.`;
  }
  const margins = under.flatMap(({ margin_m }) => (margin_m === null ? [] : [margin_m]));
  const start = `${VERBS[verdict]} under every table and with segment masses 10 % off`;
  if (margins.length === 0) return `${start}.`;
  return verdict === 'falls'
    ? `${start}, by ${inWords(Math.max(0, -Math.max(...margins)))} at least.`
    : `${start}, with ${inWords(Math.max(0, Math.min(...margins)))} of room at worst.`;
}
