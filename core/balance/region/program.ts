import type { Vec3 } from '../../geometry/types.ts';
import { ColumnSet, type Columns, type Entry, type RowPart } from './columns.ts';
import { Simplex } from './simplex.ts';
import type { ConeShape } from './types.ts';

/**
 * Static balance of one or several rigid bodies as the rows of a linear program.
 *
 * Per body, with forces in shares of the total weight and moments about a reference point near the
 * contacts (mechanics.md 2.1 and 3.1, turned to y up; Bretl & Lall 2008):
 *   sum f = (0, w, 0)         sum (r - ref) x f = w (c - ref) x y = w (-c_z, 0, c_x)
 * The height of the centre drops out. A body whose centre is looked for has no rows for the moments
 * about x and z: those two are read out instead, c_x = M_z / w and c_z = -M_x / w.
 */

/** A contact point between body `on` and the world, or between two bodies. */
export interface Support {
  readonly point: Vec3;
  /** Unit normal pointing at body `on`. */
  readonly normal: Vec3;
  readonly friction: number;
  /** Largest sum of normal forces over the patch, shares of the total weight; Infinity for none. */
  readonly cap: number;
  /** Carries any force up to this size, shares of the total weight; null for a plain contact. */
  readonly hold: number | null;
  /** Index of the contact (patch) whose cap and loads it belongs to. */
  readonly patch: number;
  /** Part of a grip, so that its force is read out as that of a hold. */
  readonly grip?: boolean;
  readonly on: number;
  /** Body that gets the opposite force; null for the world. */
  readonly against: number | null;
}

export interface RigidBody {
  /** Share of the total weight. */
  readonly weight: number;
  /** World position of the mass centre, metres; null when it is what is looked for. */
  readonly centre: Vec3 | null;
}

/** A force on a body whose size is an unknown >= 0: a push, or a tilt of gravity. */
export interface LoadColumn {
  readonly on: number;
  readonly force: Vec3;
  readonly at: Vec3;
}

export interface ProgramSpec {
  readonly bodies: readonly RigidBody[];
  readonly supports: readonly Support[];
  readonly shape: ConeShape;
  /** Parts of one extra unknown; its level is read from `Program.level`. */
  readonly column?: readonly LoadColumn[];
  /** Read-out rows for the vertical and normal load of every patch. */
  readonly loads?: boolean;
  /** Read-out rows for every hold, by patch: its force (x, y, z on body `on`) and its size. */
  readonly holdForces?: boolean;
  /** Keeps the free centre within this distance of the reference point along x and z, metres. */
  readonly reach?: number;
  /**
   * Looks for force patterns that cancel (no weight) instead of ones that carry: the directions in
   * which the region has no end. Sizes are limited by sum of forces <= 1.
   */
  readonly cancelling?: boolean;
  /**
   * Gain of a read-out per unit of force that is not worth a pivot, in program units (forces in
   * weights, lengths in `Program.unit`); default as fine as rounding allows.
   */
  readonly worth?: number;
}

export interface Program {
  readonly simplex: Simplex;
  /** Objective vector of zeros, one entry per row; reused between calls by its owner. */
  readonly objective: Float64Array;
  /** Read-out row of the extra column's level; -1 without one. */
  readonly level: number;
  /** Rows of the free body's moments about x and z, -1 without a free body. */
  readonly momentX: number;
  readonly momentZ: number;
  /** First of the two read-out rows (vertical, normal) of each patch. */
  readonly loadRows: readonly number[];
  /**
   * First of the four read-out rows of each patch that holds: force x, y, z, and a bound on its size
   * that is reached when it is minimised (of a grip with a line: the part along the line).
   */
  readonly holdRows: readonly number[];
  readonly reference: Vec3;
  /** Metres per unit of length in the program. */
  readonly unit: number;
}

export function buildProgram(spec: ProgramSpec): Program {
  const { bodies, supports } = spec;
  const reference = meanPoint(supports);
  const unit = spread(supports, reference);
  const patches = 1 + supports.reduce((most, s) => Math.max(most, s.patch), -1);

  // Equality rows: 6 (or 4) per body, then caps, holds, and the rows that keep things finite.
  let next = 0;
  const rowOf = bodies.map((body) =>
    [0, 1, 2, 3, 4, 5].map((k) => (body.centre === null && (k === 3 || k === 5) ? -1 : next++)),
  );
  const b: number[] = new Array<number>(next).fill(0);
  const capRow = new Array<number>(patches).fill(-1);
  for (const s of supports)
    if (s.hold === null && Number.isFinite(s.cap)) {
      const row = capRow[s.patch]!;
      if (row >= 0) b[row] = Math.min(b[row]!, s.cap);
      else {
        capRow[s.patch] = next++;
        b.push(s.cap);
      }
    }
  const holdRow = supports.map((s) => {
    if (s.hold === null || !Number.isFinite(s.hold)) return -1;
    b.push(s.hold);
    return next++;
  });
  const sumRow = spec.cancelling === true ? next++ : -1;
  if (sumRow >= 0) b.push(1);
  const reachRow = spec.reach !== undefined ? next : -1;
  const free = bodies.findIndex((body) => body.centre === null);
  if (spec.reach !== undefined) {
    const far = (spec.reach / unit) * bodies[free]!.weight;
    b.push(far, far, far, far);
    next += 4;
  }
  const rows = next;

  // Read-out rows.
  if (free >= 0) {
    rowOf[free]![3] = next++;
    rowOf[free]![5] = next++;
  }
  const level = spec.column ? next++ : -1;
  const loadRows = new Array<number>(patches).fill(-1);
  if (spec.loads === true) for (let p = 0; p < patches; p++, next += 2) loadRows[p] = next;
  const holdRows = new Array<number>(patches).fill(-1);
  if (spec.holdForces === true)
    for (const s of supports)
      if ((s.hold !== null || s.grip === true) && holdRows[s.patch]! < 0) {
        holdRows[s.patch] = next;
        next += 4;
      }

  const armOf = (point: Vec3): Vec3 => [
    (point[0] - reference[0]) / unit,
    (point[1] - reference[1]) / unit,
    (point[2] - reference[2]) / unit,
  ];
  const columns: Columns[] = supports.map((s, index) => {
    const n = s.normal;
    const arm = armOf(s.point);
    const extra: RowPart[] = [];
    if (loadRows[s.patch]! >= 0)
      extra.push([loadRows[s.patch]!, 0, 1, 0], [loadRows[s.patch]! + 1, n[0], n[1], n[2]]);
    if (reachRow >= 0 && s.on === free) extra.push(...reachParts(reachRow, arm, 1));
    if (reachRow >= 0 && s.against === free) extra.push(...reachParts(reachRow, arm, -1));
    const ends = { on: s.on, against: s.against ?? -1, arm, extra };
    const at = holdRows[s.patch]!;
    if (at >= 0) extra.push([at, 1, 0, 0], [at + 1, 0, 1, 0], [at + 2, 0, 0, 1]);
    if (s.hold !== null) {
      return {
        kind: 'ball',
        ...ends,
        limit: holdRow[index]! >= 0 ? holdRow[index]! : sumRow,
        count: at >= 0 ? at + 3 : -1,
      };
    }
    if (at >= 0) extra.push([at + 3, n[0], n[1], n[2]]);
    if (capRow[s.patch]! >= 0) extra.push([capRow[s.patch]!, n[0], n[1], n[2]]);
    if (sumRow >= 0) extra.push([sumRow, n[0], n[1], n[2]]);
    return { kind: 'cone', ...ends, normal: n, friction: s.friction, shape: spec.shape };
  });
  const slack = (row: number): Columns => ({ kind: 'fixed', entries: [[row, 1]] });
  for (const row of [...capRow, ...holdRow, sumRow]) if (row >= 0) columns.push(slack(row));
  if (reachRow >= 0) for (let k = 0; k < 4; k++) columns.push(slack(reachRow + k));
  if (spec.column) {
    const entries: Entry[] = [[level, 1]];
    for (const { on, force: f, at } of spec.column) {
      const [x, y, z] = armOf(at);
      const moment = [y * f[2] - z * f[1], z * f[0] - x * f[2], x * f[1] - y * f[0]];
      [...f, ...moment].forEach((value, k) => {
        entries.push([rowOf[on]![k]!, value]);
      });
    }
    columns.push({ kind: 'fixed', entries });
  }
  const set = new ColumnSet(rows, next, rowOf.flat(), columns);

  if (spec.cancelling !== true)
    bodies.forEach((body, index) => {
      const row = rowOf[index]!;
      b[row[1]!] = body.weight;
      if (body.centre !== null) {
        b[row[3]!] = (-body.weight * (body.centre[2] - reference[2])) / unit;
        b[row[5]!] = (body.weight * (body.centre[0] - reference[0])) / unit;
      }
    });
  return {
    simplex: new Simplex(set, Float64Array.from(b), spec.worth),
    objective: new Float64Array(next),
    level,
    momentX: free >= 0 ? rowOf[free]![3]! : -1,
    momentZ: free >= 0 ? rowOf[free]![5]! : -1,
    loadRows,
    holdRows,
    reference,
    unit,
  };
}

/** Rows c_x <= reach, -c_x <= reach, c_z <= reach, -c_z <= reach on a force at `arm`. */
function reachParts(row: number, [x, y, z]: Vec3, sign: 1 | -1): RowPart[] {
  return [
    [row, sign * -y, sign * x, 0],
    [row + 1, sign * y, sign * -x, 0],
    [row + 2, 0, sign * z, sign * -y],
    [row + 3, 0, sign * -z, sign * y],
  ];
}

function meanPoint(supports: readonly Support[]): Vec3 {
  // Relative to the first point, so that a scene far from the origin loses no digits.
  const first = supports[0]?.point ?? [0, 0, 0];
  let x = 0;
  let y = 0;
  let z = 0;
  for (const { point } of supports) {
    x += point[0] - first[0];
    y += point[1] - first[1];
    z += point[2] - first[2];
  }
  const n = Math.max(1, supports.length);
  return [first[0] + x / n, first[1] + y / n, first[2] + z / n];
}

/** Size of the set of contacts, metres; 1 where they are all but one point. */
function spread(supports: readonly Support[], mean: Vec3): number {
  let most = 0;
  for (const { point } of supports)
    most = Math.max(most, Math.hypot(point[0] - mean[0], point[1] - mean[1], point[2] - mean[2]));
  return most > 1e-3 ? most : 1;
}

/** Largest value of one row, or null when nothing is feasible; Infinity when nothing stops it. */
export function largest(program: Program, row: number): number | null {
  return extreme(program, row, 1);
}

/** Smallest value of one row, or null when nothing is feasible; -Infinity when nothing stops it. */
export function smallest(program: Program, row: number): number | null {
  return extreme(program, row, -1);
}

function extreme(program: Program, row: number, sign: 1 | -1): number | null {
  program.objective.fill(0);
  program.objective[row] = sign;
  const outcome = program.simplex.maximise(program.objective);
  if (outcome === 'infeasible') return null;
  if (outcome === 'unbounded') return sign * Number.POSITIVE_INFINITY;
  return program.simplex.read(row);
}

/** Mean of the solutions at the extremes of every contact's load: some equilibrium in the middle. */
export function middleLoads(program: Program): readonly number[] {
  const rows = program.loadRows;
  const sums = rows.map(() => 0);
  let solutions = 0;
  for (const row of rows)
    for (const extreme of [smallest, largest]) {
      if (!Number.isFinite(extreme(program, row))) continue;
      solutions++;
      rows.forEach((r, k) => {
        sums[k] = sums[k]! + program.simplex.read(r);
      });
    }
  return sums.map((sum) => (solutions > 0 ? sum / solutions : 0));
}
