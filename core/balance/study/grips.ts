import {
  containsPoint,
  convexHull,
  nearestOnPolygon,
  type Vec2,
  type Vec3,
} from '../../geometry/index.ts';
import { endNode } from '../groups.ts';
import type { Pin } from '../linkage.ts';
import {
  buildProgram,
  GRAVITY,
  largest,
  type Program,
  type ProgramSpec,
  readGroup,
  smallest,
} from '../region/index.ts';
import { weigh } from '../weight.ts';
import type { Likely } from './loads.ts';
import { type Rig, whyNotAtRest } from './rig.ts';
import type { Band, GripForces, GripStudy, Pull, Told } from './types.ts';
import { cannotTell, newtons, newtonsBand } from './words.ts';

/** Forces within this many newtons are one. */
const SAME_N = 0.5;

/** What must pass through every closed grip of a group, by id (mechanics.md 1.9). */
export function gripStudies(rig: Rig, likely: Likely | null): readonly GripStudy[] {
  const { linkage, world } = rig;
  const pins = linkage.pins.filter(({ kind }) => kind === 'grip');
  const program =
    pins.length > 0 && likely !== null
      ? buildProgram({ ...likely.read.spec, holdForces: true })
      : null;
  const between = (id: string): readonly [string, string] => {
    const { a, b } = world.grips.find((grip) => grip.id === id)!;
    return [rig.names.get(endNode(a))!, rig.names.get(endNode(b))!];
  };
  const studies = [
    ...pins.map((pin): GripStudy => {
      const ends = between(pin.id);
      return {
        grip: pin.id,
        between: ends,
        at: pin.at,
        force: pinForce(rig, pin, ends, likely, program),
      };
    }),
    ...linkage.inner.map(({ grip, at, between: nodes }): GripStudy => {
      const ends = between(grip);
      return { grip, between: ends, at, force: carriedForce(rig, grip, nodes, ends) };
    }),
  ];
  return studies.sort((a, b) => (a.grip < b.grip ? -1 : 1));
}

function pinForce(
  rig: Rig,
  pin: Pin,
  [first, second]: readonly [string, string],
  likely: Likely | null,
  program: Program | null,
): Told<GripForces> {
  const what = `what passes between ${first} and ${second}`;
  const why = whyNotAtRest(rig);
  if (why !== null || likely === null || program === null)
    return cannotTell(what, why ?? 'nothing here has a mass');
  const { spec, patches, total_N } = likely.read;
  const patch = patches.length + rig.linkage.pins.indexOf(pin);
  const row = program.holdRows[patch]!;
  const band = (k: number): Band => ({
    least: finite(smallest(program, row + k), total_N),
    most: finite(largest(program, row + k), total_N),
  });
  const [x_N, y_N, z_N] = [band(0), band(1), band(2)];
  smallest(program, row + 3);
  const at = (k: number): number => program.simplex.read(row + k) * total_N;
  const leastForce_N: Vec3 = [at(0), at(1), at(2)];
  const least_N = Math.hypot(...leastForce_N);
  const unique = [x_N, y_N, z_N].every(
    ({ least, most }) => least !== null && most !== null && most - least < SAME_N,
  );
  const likelyForce_N =
    likely.forces_N === null
      ? null
      : spec.supports.reduce<Vec3>(
          (sum, support, i) => {
            const force = likely.forces_N![i]!;
            return support.patch === patch
              ? [sum[0] + force[0], sum[1] + force[1], sum[2] + force[2]]
              : sum;
          },
          [0, 0, 0],
        );
  const size = likelyForce_N === null ? null : Math.hypot(...likelyForce_N);
  const exactly = `${first} and ${second}: ${newtons(least_N)} must pass through this grip`;
  const atLeast =
    least_N < SAME_N
      ? `${first} and ${second}: nothing need pass through this grip`
      : `${first} and ${second}: at least ${newtons(least_N)} must pass through this grip`;
  const said = unique || size === null ? '' : `, likely ${newtons(size)}`;
  return {
    kind: 'told',
    sentence: `${unique ? exactly : atLeast}${said}.`,
    x_N,
    y_N,
    z_N,
    unique,
    least_N,
    leastForce_N,
    likelyForce_N,
    moment_Nm: 0,
  };
}

const finite = (value: number | null, factor: number): number | null =>
  value === null || !Number.isFinite(value) ? null : value * factor;

/** A grip that carries one end whole: its weight, and the moment of its centre beside the holds. */
function carriedForce(
  rig: Rig,
  id: string,
  nodes: readonly [string, string],
  [first, second]: readonly [string, string],
): Told<GripForces> {
  const what = `what passes between ${first} and ${second}`;
  const touching = new Set(
    [...rig.contacts, ...rig.between].map(({ owner, patch }) =>
      patch === 'underside' ? `load/${owner}` : `figure/${owner}`,
    ),
  );
  const hangs = nodes.filter((node) => !touching.has(node));
  if (hangs.length !== 1)
    return cannotTell(
      what,
      hangs.length === 0
        ? 'the two count as one stiff body, which shares it in any way'
        : 'neither touches anything',
    );
  const [carried] = hangs as [string];
  const weight = weightOfNode(rig, carried);
  if (weight === null) return cannotTell(what, 'a mass is not set');
  // Everything that holds the same end shares its weight.
  const holds = rig.linkage.inner.filter(({ between }) => between.includes(carried));
  const force = weight.mass * GRAVITY;
  const sign = carried === nodes[0] ? 1 : -1;
  const moment =
    force *
    besideHolds(
      weight.centre,
      holds.map(({ at }) => at),
    );
  const alone = holds.length === 1;
  const share: Vec3 = [0, (sign * force) / holds.length, 0];
  const band = (value: number): Band =>
    alone ? { least: value, most: value } : { least: null, most: null };
  const [carrier, load] = sign === 1 ? [second, first] : [first, second];
  const how = alone
    ? `this grip takes ${newtons(force)}`
    : `${holds.length} grips take ${newtons(force)}, likely ${newtons(force / holds.length)} each`;
  const turning =
    moment < SAME_NM
      ? ''
      : `, and ${alone ? 'it' : 'they'} must hold a turning moment of ${Math.round(moment)} N m as well`;
  return {
    kind: 'told',
    sentence: `${carrier} carries ${load} whole: ${how}${turning}.`,
    x_N: band(0),
    y_N: band(sign * force),
    z_N: band(0),
    unique: alone,
    least_N: alone ? force : 0,
    leastForce_N: alone ? share : [0, 0, 0],
    likelyForce_N: rig.linkage.inner.some(({ grip }) => grip === id) ? share : null,
    moment_Nm: moment < SAME_NM ? 0 : moment,
  };
}

const SAME_NM = 0.5;

/** A figure with what it carries by itself, or a load. */
function weightOfNode({ group, world }: Rig, node: string): { mass: number; centre: Vec3 } | null {
  const figure = group.figures.find(({ id }) => `figure/${id}` === node);
  const load = group.loads.find(({ id }) => `load/${id}` === node);
  const parts = figure
    ? [
        { name: '', mass: figure.body.mass, centre: world.posed.get(figure.id)!.centre },
        ...(world.carried.get(figure.id) ?? []).map(({ load: { id, mass }, share }) => ({
          name: '',
          mass: mass === null ? null : mass * share,
          centre: world.placed.get(id)!.position,
        })),
      ]
    : load
      ? [{ name: '', mass: load.mass, centre: world.placed.get(load.id)!.position }]
      : [];
  const { mass, centre } = weigh(parts);
  return mass === null || centre === null ? null : { mass, centre };
}

/** How far a centre lies beside its holds in plan, metres; 0 between them. */
function besideHolds(centre: Vec3, holds: readonly Vec3[]): number {
  const plumb: Vec2 = [centre[0], centre[2]];
  const hull = convexHull(holds.map((p): Vec2 => [p[0], p[2]])).vertices;
  return containsPoint(plumb, hull) ? 0 : (nearestOnPolygon(plumb, hull)?.distance ?? 0);
}

/**
 * For every two bodies whose figures hold hands: the level pulls through their hands with which each
 * would hold alone. Where the two have none in common the pair goes over, to the side of the one that
 * needs more than the other can stand.
 */
export function pullsOf(
  { linkage, rigid, contacts, names }: Rig,
  likely: Likely | null,
): readonly Pull[] {
  if (rigid === null || contacts.length === 0) return [];
  const pairs = new Map<string, Pin[]>();
  for (const pin of linkage.pins) {
    if (pin.line === null) continue;
    const key = pin.between.join(' ');
    pairs.set(key, [...(pairs.get(key) ?? []), pin]);
  }
  const mean = (points: readonly Vec3[]): Vec3 => {
    const sum = points.reduce(([x, y, z], p): Vec3 => [x + p[0], y + p[1], z + p[2]], [0, 0, 0]);
    return [sum[0] / points.length, sum[1] / points.length, sum[2] / points.length];
  };
  return [...pairs.values()].flatMap((pins): Pull[] => {
    const [a, b] = pins[0]!.between;
    const at = mean(pins.map((pin) => pin.at));
    const [lx, , lz] = mean(pins.map((pin) => pin.line!));
    const size = Math.hypot(lx, lz);
    if (size < LEVEL_LINE) return [];
    const direction: Vec2 = [lx / size, lz / size];
    const first_N = pullBand(rigid.outline, a, at, direction);
    const second_N = pullBand(rigid.outline, b, at, [-direction[0], -direction[1]]);
    const meet = first_N !== null && second_N !== null && overlaps(first_N, second_N);
    const [first, second] = [names.get(a)!, names.get(b)!];
    const numbers = pins.map((pin) => linkage.pins.indexOf(pin));
    const passes_N = likely === null ? null : passing(likely, numbers);
    const total =
      passes_N === null ? '' : `; ${newtonsBand(passes_N)} must pass through their hands`;
    const sentence = `${stands(first, first_N)}, ${stands(second, second_N)}: ${
      meet ? 'they have a pull in common' : 'no level pull suits both'
    }${total}.`;
    return [
      { between: [first, second], at, direction, first_N, second_N, meet, passes_N, sentence },
    ];
  });
}

/** Range of the force along their lines through some pins together. */
function passing({ read: { spec, patches, total_N } }: Likely, pins: readonly number[]): Band {
  const { simplex, objective, holdRows } = buildProgram({ ...spec, holdForces: true });
  // The last read-out of a grip with a line is the part along it.
  const rows = pins.map((pin) => holdRows[patches.length + pin]! + 3);
  const end = (sign: 1 | -1): number | null => {
    objective.fill(0);
    for (const row of rows) objective[row] = sign;
    if (simplex.maximise(objective) !== 'optimal') return null;
    return total_N * rows.reduce((sum, row) => sum + simplex.read(row), 0);
  };
  return { least: end(-1), most: end(1) };
}

/** Shoulders that lie nearly over each other give no level direction, metres. */
const LEVEL_LINE = 0.05;

const stands = (name: string, band: Band | null): string =>
  band === null
    ? `${name} can stand no level pull`
    : `${name} holds with a pull of ${newtonsBand(band)}`;

const overlaps = (a: Band, b: Band): boolean =>
  Math.max(a.least ?? Number.NEGATIVE_INFINITY, b.least ?? Number.NEGATIVE_INFINITY) <=
  Math.min(a.most ?? Number.POSITIVE_INFINITY, b.most ?? Number.POSITIVE_INFINITY);

/** Level pulls at a point with which one body of a group holds alone; negative ones push. */
function pullBand(
  { bodies, contacts }: NonNullable<Rig['rigid']>['outline'],
  id: string,
  at: Vec3,
  [x, z]: Vec2,
): Band | null {
  const body = bodies.find((other) => other.id === id)!;
  // What it stands on counts as ground, whether floor or another body.
  const own = contacts.filter(({ on }) => on === id).map(({ against: _, ...ground }) => ground);
  if (own.length === 0) return null;
  const read = readGroup({ bodies: [body], contacts: own, grips: [] });
  const towards = (sign: 1 | -1): readonly [number, number] | null => {
    const spec: ProgramSpec = {
      ...read.spec,
      column: [{ on: 0, force: [sign * x, 0, sign * z], at }],
    };
    const program = buildProgram(spec);
    const least = smallest(program, program.level);
    return least === null ? null : [Math.max(0, least), largest(program, program.level)!];
  };
  const pull = towards(1);
  const push = towards(-1);
  if (pull === null && push === null) return null;
  const least = push === null ? pull![0] : -push[1];
  const most = pull === null ? -push![0] : pull[1];
  return { least: finite(least, read.total_N), most: finite(most, read.total_N) };
}
