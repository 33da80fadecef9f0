import type { Vec3 } from '../../geometry/types.ts';
import { tangents } from './cones.ts';
import type { ColumnSource } from './simplex.ts';
import type { ConeShape } from './types.ts';

/**
 * Contact forces as columns of a linear program.
 *
 * A force g at arm r (from the reference point) fills the six rows of its body with (g, r x g), and
 * a few further rows that are linear in g (cap, read-outs). Against a price vector v, with force part
 * phi and moment part tau, it is worth g . w where w = phi + tau x r + further rows. The best
 * generator is then known in closed form:
 *   round cone    w.n + mu |w_t|, leaning along w_t, the part of w in the surface
 *   pyramid       the edge whose azimuth is nearest to that of w_t
 *   ball          |w|, along w (unit directions; a row limits their sum)
 */

/** Coefficients of one further row on the force. */
export type RowPart = readonly [row: number, x: number, y: number, z: number];
/** A row and the entry of a column there. */
export type Entry = readonly [row: number, value: number];

export interface ForceColumns {
  readonly kind: 'cone' | 'ball';
  readonly on: number;
  /** Body that gets the opposite force; -1 for the world. */
  readonly against: number;
  /** From the reference point, in program units. */
  readonly arm: Vec3;
  readonly extra: readonly RowPart[];
}

export interface ConeColumns extends ForceColumns {
  readonly kind: 'cone';
  /** Unit normal. */
  readonly normal: Vec3;
  readonly friction: number;
  readonly shape: ConeShape;
}

export interface BallColumns extends ForceColumns {
  readonly kind: 'ball';
  /** Row that limits the sum of unit directions; -1 for a force of any size. */
  readonly limit: number;
  /** Read-out row for the same sum, whose smallest value is the size of the force; -1 for none. */
  readonly count: number;
}

/** One given column: a slack, a push, a tilt of gravity. */
export interface FixedColumn {
  readonly kind: 'fixed';
  readonly entries: readonly Entry[];
}

export type Columns = ConeColumns | BallColumns | FixedColumn;

const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, -1, 0],
  [0, 0, 1],
  [0, 0, -1],
];

/** Numbers per force family in the flat table: arm, normal, t1, t2, friction, unit, edges, level. */
const STRIDE = 16;

export class ColumnSet implements ColumnSource {
  readonly rows: number;
  readonly height: number;
  readonly #bodyRows: Int32Array;
  readonly #bodyPrice: Float64Array;
  readonly #forces: readonly (ConeColumns | BallColumns)[];
  readonly #fixed: readonly FixedColumn[];
  readonly #table: Float64Array;
  readonly #on: Int32Array;
  readonly #against: Int32Array;
  readonly #limit: Int32Array;
  readonly #count: Int32Array;
  readonly #extraStart: Int32Array;
  readonly #extraRow: Int32Array;
  readonly #extraPart: Float64Array;
  /** Index of the family that `price` chose: a force, or forces.length + a fixed column. */
  #best = -1;
  #gx = 0;
  #gy = 0;
  #gz = 0;

  /** @param bodyRows six rows (force, moment) per body, one body after the other */
  constructor(
    rows: number,
    height: number,
    bodyRows: readonly number[],
    columns: readonly Columns[],
  ) {
    this.rows = rows;
    this.height = height;
    this.#bodyRows = Int32Array.from(bodyRows);
    this.#bodyPrice = new Float64Array(bodyRows.length);
    const forces = columns.filter((c) => c.kind !== 'fixed');
    this.#forces = forces;
    this.#fixed = columns.filter((c) => c.kind === 'fixed');
    this.#on = Int32Array.from(forces, (f) => 6 * f.on);
    this.#against = Int32Array.from(forces, (f) => (f.against < 0 ? -1 : 6 * f.against));
    this.#limit = Int32Array.from(forces, (f) => (f.kind === 'ball' ? f.limit : -1));
    this.#count = Int32Array.from(forces, (f) => (f.kind === 'ball' ? f.count : -1));
    // Written in place: a study builds hundreds of these (tests/bench/study.bench.ts).
    this.#table = new Float64Array(STRIDE * forces.length);
    this.#extraStart = new Int32Array(forces.length + 1);
    forces.forEach((f, i) => {
      writeTable(this.#table, STRIDE * i, f);
      this.#extraStart[i + 1] = this.#extraStart[i]! + f.extra.length;
    });
    const parts = this.#extraStart[forces.length]!;
    this.#extraRow = new Int32Array(parts);
    this.#extraPart = new Float64Array(3 * parts);
    forces.forEach((f, i) => {
      f.extra.forEach(([row, x, y, z], k) => {
        const at = this.#extraStart[i]! + k;
        this.#extraRow[at] = row;
        this.#extraPart[3 * at] = x;
        this.#extraPart[3 * at + 1] = y;
        this.#extraPart[3 * at + 2] = z;
      });
    });
  }

  price(v: Float64Array): number {
    const bodyRows = this.#bodyRows;
    const q = this.#bodyPrice;
    for (let k = 0; k < q.length; k++) q[k] = v[bodyRows[k]!]!;
    const table = this.#table;
    const count = this.#on.length;
    const starts = this.#extraStart;
    let best = Number.NEGATIVE_INFINITY;
    for (let i = 0, at = 0; i < count; i++, at += STRIDE) {
      const rx = table[at]!;
      const ry = table[at + 1]!;
      const rz = table[at + 2]!;
      const o = this.#on[i]!;
      let wx = q[o]! + q[o + 4]! * rz - q[o + 5]! * ry;
      let wy = q[o + 1]! + q[o + 5]! * rx - q[o + 3]! * rz;
      let wz = q[o + 2]! + q[o + 3]! * ry - q[o + 4]! * rx;
      const a = this.#against[i]!;
      if (a >= 0) {
        wx -= q[a]! + q[a + 4]! * rz - q[a + 5]! * ry;
        wy -= q[a + 1]! + q[a + 5]! * rx - q[a + 3]! * rz;
        wz -= q[a + 2]! + q[a + 3]! * ry - q[a + 4]! * rx;
      }
      for (let e = starts[i]!; e < starts[i + 1]!; e++) {
        const value = v[this.#extraRow[e]!]!;
        if (value === 0) continue;
        wx += this.#extraPart[3 * e]! * value;
        wy += this.#extraPart[3 * e + 1]! * value;
        wz += this.#extraPart[3 * e + 2]! * value;
      }
      const friction = table[at + 12]!;
      if (friction < 0) {
        const size = Math.sqrt(wx * wx + wy * wy + wz * wz);
        const limit = this.#limit[i]!;
        const counter = this.#count[i]!;
        const fixed = (limit >= 0 ? v[limit]! : 0) + (counter >= 0 ? v[counter]! : 0);
        const gain = size + fixed;
        if (size > 0 && gain > best) {
          best = gain;
          this.#best = i;
          this.#gx = wx / size;
          this.#gy = wy / size;
          this.#gz = wz / size;
        }
        continue;
      }
      const unit = table[at + 13]!;
      if (table[at + 15] === 1) {
        // A round cone on level ground, by far the most frequent: the same as below, written short.
        const room = best / unit - wy;
        const side = wx * wx + wz * wz;
        if (room >= 0 && friction * friction * side <= room * room) continue;
        const size = Math.sqrt(side);
        const gain = unit * (wy + friction * size);
        if (gain <= best) continue;
        best = gain;
        this.#best = i;
        const lean = size > 0 ? (unit * friction) / size : 0;
        this.#gx = lean * wx;
        this.#gy = unit;
        this.#gz = size > 0 ? lean * wz : unit * friction;
        continue;
      }
      const nx = table[at + 3]!;
      const ny = table[at + 4]!;
      const nz = table[at + 5]!;
      const edges = table[at + 14]!;
      const along = wx * nx + wy * ny + wz * nz;
      let cos = wx * table[at + 6]! + wy * table[at + 7]! + wz * table[at + 8]!;
      let sin = wx * table[at + 9]! + wy * table[at + 10]! + wz * table[at + 11]!;
      const size = Math.sqrt(cos * cos + sin * sin);
      // Not even the whole tangential part could beat the best so far.
      if (unit * (along + friction * size) <= best) continue;
      let lean = size;
      if (edges > 0) {
        const step = (2 * Math.PI) / edges;
        const azimuth = step * Math.round(Math.atan2(sin, cos) / step);
        const c = Math.cos(azimuth);
        const s = Math.sin(azimuth);
        lean = cos * c + sin * s;
        cos = c;
        sin = s;
      } else if (size > 0) {
        cos /= size;
        sin /= size;
      } else cos = 1;
      const gain = unit * (along + friction * lean);
      if (gain <= best) continue;
      best = gain;
      this.#best = i;
      const c = unit * friction * cos;
      const s = unit * friction * sin;
      this.#gx = unit * nx + c * table[at + 6]! + s * table[at + 9]!;
      this.#gy = unit * ny + c * table[at + 7]! + s * table[at + 10]!;
      this.#gz = unit * nz + c * table[at + 8]! + s * table[at + 11]!;
    }
    for (let i = 0; i < this.#fixed.length; i++) {
      const { entries } = this.#fixed[i]!;
      let gain = 0;
      for (let k = 0; k < entries.length; k++) gain += v[entries[k]![0]]! * entries[k]![1];
      if (gain > best) {
        best = gain;
        this.#best = count + i;
      }
    }
    return best;
  }

  column(out: Float64Array): void {
    out.fill(0);
    this.#write(this.#best, this.#gx, this.#gy, this.#gz, 1, out);
  }

  blend(out: Float64Array, total: number): void {
    const forces = this.#forces;
    let count = this.#fixed.length;
    for (const f of forces) count += samplesOf(f);
    let index = 0;
    // Shares between 0.5 and 1.5 that follow no pattern of the contacts (golden ratio steps).
    const share = () => ((0.5 + ((index++ * 0.6180339887498949) % 1)) * total) / count;
    forces.forEach((f, i) => {
      if (f.kind === 'ball') for (const g of AXES) this.#write(i, g[0], g[1], g[2], share(), out);
      else this.#blendCone(i, samplesOf(f), share, out);
    });
    this.#fixed.forEach((_, i) => {
      this.#write(forces.length + i, 0, 0, 0, share(), out);
    });
  }

  /** A few generators that span a cone, evenly round (as `coneGenerators`). */
  #blendCone(i: number, count: number, share: () => number, out: Float64Array): void {
    const table = this.#table;
    const at = STRIDE * i;
    const unit = table[at + 13]!;
    const lean = unit * table[at + 12]!;
    for (let j = 0; j < count; j++) {
      const c = lean * Math.cos((2 * Math.PI * j) / count);
      const s = lean * Math.sin((2 * Math.PI * j) / count);
      const part = (k: number): number =>
        unit * table[at + 3 + k]! + c * table[at + 6 + k]! + s * table[at + 9 + k]!;
      this.#write(i, part(0), part(1), part(2), share(), out);
    }
  }

  /** Adds `by` times the column of family i with force (gx, gy, gz) to `out`. */
  #write(i: number, gx: number, gy: number, gz: number, by: number, out: Float64Array): void {
    const count = this.#on.length;
    if (i >= count) {
      for (const [row, value] of this.#fixed[i - count]!.entries) out[row] = out[row]! + by * value;
      return;
    }
    const at = STRIDE * i;
    const rx = this.#table[at]!;
    const ry = this.#table[at + 1]!;
    const rz = this.#table[at + 2]!;
    const against = this.#against[i]!;
    for (let side = 0; side < (against < 0 ? 1 : 2); side++) {
      const o = side === 0 ? this.#on[i]! : against;
      const f = side === 0 ? by : -by;
      const rows = this.#bodyRows;
      out[rows[o]!] = out[rows[o]!]! + f * gx;
      out[rows[o + 1]!] = out[rows[o + 1]!]! + f * gy;
      out[rows[o + 2]!] = out[rows[o + 2]!]! + f * gz;
      out[rows[o + 3]!] = out[rows[o + 3]!]! + f * (ry * gz - rz * gy);
      out[rows[o + 4]!] = out[rows[o + 4]!]! + f * (rz * gx - rx * gz);
      out[rows[o + 5]!] = out[rows[o + 5]!]! + f * (rx * gy - ry * gx);
    }
    for (let e = this.#extraStart[i]!; e < this.#extraStart[i + 1]!; e++) {
      const row = this.#extraRow[e]!;
      const part = this.#extraPart;
      out[row] =
        out[row]! + by * (part[3 * e]! * gx + part[3 * e + 1]! * gy + part[3 * e + 2]! * gz);
    }
    const limit = this.#limit[i]!;
    const counter = this.#count[i]!;
    if (limit >= 0) out[limit] = out[limit]! + by;
    if (counter >= 0) out[counter] = out[counter]! + by;
  }
}

/** Friction -1 marks a ball; edges 0 a round cone. */
function writeTable(table: Float64Array, at: number, f: ConeColumns | BallColumns): void {
  table.set(f.arm, at);
  if (f.kind === 'ball') {
    table[at + 12] = -1;
    table[at + 13] = 1;
    return;
  }
  const [t1, t2] = tangents(f.normal);
  table.set(f.normal, at + 3);
  table.set(t1, at + 6);
  table.set(t2, at + 9);
  table[at + 12] = f.friction;
  table[at + 13] = unitOf(f.friction);
  table[at + 14] = f.shape === 'round' ? 0 : f.shape;
  table[at + 15] = f.shape === 'round' && f.normal[1] === 1 ? 1 : 0;
}

/** Scales a generator to unit size, so that one tolerance on gains fits all columns. */
const unitOf = (friction: number): number => 1 / Math.sqrt(1 + friction * friction);

/** How many generators stand for a family in a blend: one without friction. */
function samplesOf(f: ConeColumns | BallColumns): number {
  if (f.kind === 'ball') return AXES.length;
  if (f.friction === 0) return 1;
  return f.shape === 'round' ? 3 : f.shape;
}
