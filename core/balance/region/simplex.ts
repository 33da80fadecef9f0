/**
 * Primal simplex for small dense linear programs
 *
 *   maximise  p . column(l)   subject to   sum_j l_j a_j = b,   l >= 0,
 *
 * in the form that mechanics.md 3.1-3.2 asks for: few rows, many columns, one feasible set and many
 * objectives. The last basis stays feasible when the objective changes, so that each new direction
 * costs a few pivots only.
 *
 * Columns are not stored here: a `ColumnSource` is asked for the best one ("pricing"). That makes a
 * circular friction cone, which has infinitely many columns, no harder than a pyramid: its best
 * generator is known in closed form (column generation after Dantzig & Wolfe 1960).
 *
 * Degeneracy: most of b is zero, so plain simplex would cycle. b is moved into the inside of the
 * feasible cone, b + sum_j eps_j a_j with eps_j > 0, which is feasible whenever b is; solutions are
 * read with the unmoved b through the final basis (mechanics.md 3.2).
 */
export interface ColumnSource {
  /** Rows that are equalities. */
  readonly rows: number;
  /** `rows` plus the read-out rows below them: any linear quantity of the solution. */
  readonly height: number;
  /** Largest v . column over all columns; remembers which column gave it. */
  price(v: Float64Array): number;
  /** Writes the column that the last `price` found. */
  column(out: Float64Array): void;
  /** Adds a positive combination of all columns, of size about `total`, to `out`. */
  blend(out: Float64Array, total: number): void;
}

export type Outcome = 'optimal' | 'unbounded' | 'infeasible';

/** Residual force (shares of the weight) below which the balance counts as met. */
const FEASIBLE = 1e-9;
/** Size of the move of b, in shares of the weight. */
const MOVE = 2e-8;
/** Entries of a column, expressed in the basis, below this are rounding. */
const PIVOT = 1e-10;
/** Gain per unit of force below which a column is not worth entering. */
const WORTH = 1e-10;
/** Gain per unit of force above which a column that nothing stops is a true unbounded direction. */
const RUNAWAY = 1e-7;
/** Pivots between fresh inversions of the basis, against the drift of updates. */
const REFRESH = 40;
/** Pivots for one objective; measured need is under 100, beyond this the last vertex is taken. */
const PATIENCE = 600;

export class Simplex {
  readonly #source: ColumnSource;
  readonly #m: number;
  readonly #h: number;
  readonly #worth: number;
  readonly #b: Float64Array;
  readonly #moved: Float64Array;
  /** Basis columns, one after the other, read-out rows included. */
  readonly #basis: Float64Array;
  readonly #artificial: Uint8Array;
  readonly #inverse: Float64Array;
  readonly #x: Float64Array;
  readonly #v: Float64Array;
  readonly #entering: Float64Array;
  readonly #alpha: Float64Array;
  readonly #scratch: Float64Array;
  /** Rows that the objective asks for, mostly one or two. */
  readonly #asked: Int32Array;
  #sinceRefresh = 0;
  #started: boolean | null = null;
  #gain = 0;

  /**
   * @param b right-hand sides, one per equality row of `source`
   * @param worth gain per unit of force below which a column is not worth entering; rounding at least
   */
  constructor(source: ColumnSource, b: Float64Array, worth = 0) {
    const m = source.rows;
    const h = source.height;
    this.#source = source;
    this.#worth = Math.max(WORTH, worth);
    this.#m = m;
    this.#h = h;
    this.#b = Float64Array.from(b);
    this.#moved = new Float64Array(h);
    this.#moved.set(b);
    source.blend(this.#moved, MOVE);
    this.#basis = new Float64Array(m * h);
    this.#artificial = new Uint8Array(m);
    this.#inverse = new Float64Array(m * m);
    this.#x = new Float64Array(m);
    this.#v = new Float64Array(h);
    this.#entering = new Float64Array(h);
    this.#alpha = new Float64Array(m);
    this.#scratch = new Float64Array(2 * m * m);
    this.#asked = new Int32Array(h);
  }

  /** Whether any solution exists; the answer is kept, and a basis for `maximise` with it. */
  feasible(): boolean {
    this.#started ??= this.#start();
    return this.#started;
  }

  /**
   * Maximises `objective` . solution from the basis that the last call left.
   * @param objective one weight per row, read-out rows included (usually only those are set)
   */
  maximise(objective: Float64Array): Outcome {
    if (!this.feasible()) return 'infeasible';
    return this.#climb(objective, false);
  }

  /**
   * How much the last objective may still lie below its true maximum: gain of the best column left
   * out times the force in play. 0 to rounding unless `PATIENCE` ran out.
   */
  shortfall(): number {
    let total = 0;
    for (let j = 0; j < this.#m; j++) total += Math.abs(this.#x[j]!);
    return Math.max(0, this.#gain) * total;
  }

  /** Value of a row (equality or read-out) of the current solution, with the unmoved b. */
  read(row: number): number {
    const m = this.#m;
    let sum = 0;
    for (let j = 0; j < m; j++) sum += this.#basis[j * this.#h + row]! * this.#level(j);
    return sum;
  }

  /** Level of basis column j with the unmoved b. */
  #level(j: number): number {
    const m = this.#m;
    let level = 0;
    for (let k = 0; k < m; k++) level += this.#inverse[j * m + k]! * this.#b[k]!;
    return level;
  }

  /** Phase 1: from a basis of artificial columns +-e_r to one of real columns. */
  #start(): boolean {
    const m = this.#m;
    for (let r = 0; r < m; r++) {
      const sign = this.#moved[r]! < 0 ? -1 : 1;
      this.#basis[r * this.#h + r] = sign;
      this.#inverse[r * m + r] = sign;
      this.#x[r] = Math.abs(this.#moved[r]!);
      this.#artificial[r] = 1;
    }
    this.#climb(new Float64Array(this.#h), true);
    if (this.#residual() > FEASIBLE) return false;
    for (let r = 0; r < m; r++) if (this.#artificial[r] === 1) this.#driveOut(r);
    return true;
  }

  #residual(): number {
    let sum = 0;
    for (let j = 0; j < this.#m; j++) if (this.#artificial[j] === 1) sum += Math.abs(this.#x[j]!);
    return sum;
  }

  /**
   * Replaces an artificial column at level 0 by any real column that reaches its row. Where none
   * does the row is redundant (contacts on one line cannot turn about it) and stays as it is.
   */
  #driveOut(r: number): void {
    const m = this.#m;
    for (const sign of [1, -1]) {
      this.#v.fill(0);
      for (let k = 0; k < m; k++) this.#v[k] = sign * this.#inverse[r * m + k]!;
      if (this.#source.price(this.#v) > 1e-7) {
        this.#source.column(this.#entering);
        this.#express();
        this.#pivot(r);
        return;
      }
    }
  }

  #climb(objective: Float64Array, phaseOne: boolean): Outcome {
    const m = this.#m;
    const v = this.#v;
    const inverse = this.#inverse;
    const source = this.#source;
    this.#reduce(objective, phaseOne);
    // The prices are moved along with each pivot; before they end the climb they are made afresh.
    let fresh = true;
    for (let turn = 0; turn < PATIENCE; turn++) {
      if (phaseOne && this.#residual() === 0) return 'optimal';
      const gain = source.price(v);
      this.#gain = gain;
      if (gain <= (phaseOne ? WORTH : this.#worth)) {
        if (fresh) return 'optimal';
        this.#reduce(objective, phaseOne);
        fresh = true;
        continue;
      }
      source.column(this.#entering);
      this.#express();
      const leaving = this.#leaving(phaseOne);
      if (leaving < 0) {
        if (gain > RUNAWAY) return 'unbounded';
        if (fresh) return 'optimal';
        this.#reduce(objective, phaseOne);
        fresh = true;
        continue;
      }
      this.#pivot(leaving);
      if (this.#sinceRefresh === 0) {
        this.#reduce(objective, phaseOne);
        fresh = true;
      } else {
        for (let k = 0, at = leaving * m; k < m; k++, at++) v[k] = v[k]! - gain * inverse[at]!;
        fresh = false;
      }
      if (phaseOne) {
        const x = this.#x;
        for (let j = 0; j < m; j++) if (x[j]! < 1e-15) x[j] = 0;
      }
    }
    return 'optimal';
  }

  /** v = objective - dual, the vector that prices columns. */
  #reduce(objective: Float64Array, phaseOne: boolean): void {
    const m = this.#m;
    const h = this.#h;
    const v = this.#v;
    const basis = this.#basis;
    const inverse = this.#inverse;
    const asked = this.#asked;
    let rows = 0;
    if (phaseOne) v.fill(0);
    else {
      v.set(objective);
      for (let k = 0; k < h; k++) if (objective[k] !== 0) asked[rows++] = k;
    }
    for (let j = 0; j < m; j++) {
      let cost = 0;
      if (phaseOne) cost = this.#artificial[j] === 1 ? -1 : 0;
      else if (this.#artificial[j] === 0)
        for (let n = 0; n < rows; n++) cost += objective[asked[n]!]! * basis[j * h + asked[n]!]!;
      if (cost !== 0)
        for (let k = 0, at = j * m; k < m; k++, at++) v[k] = v[k]! - cost * inverse[at]!;
    }
  }

  /** alpha = the entering column expressed in the basis. */
  #express(): void {
    const m = this.#m;
    const inverse = this.#inverse;
    const entering = this.#entering;
    const alpha = this.#alpha;
    for (let i = 0, at = 0; i < m; i++) {
      let sum = 0;
      for (let k = 0; k < m; k++, at++) sum += inverse[at]! * entering[k]!;
      alpha[i] = sum;
    }
  }

  /**
   * Ratio test in two passes (Harris 1973): among the rows that block first, within rounding, the
   * one with the largest pivot. An artificial column at level 0 must not grow again, so it blocks
   * whichever way it would move.
   */
  #leaving(phaseOne: boolean): number {
    const m = this.#m;
    const alpha = this.#alpha;
    const x = this.#x;
    const artificial = this.#artificial;
    let limit = Number.POSITIVE_INFINITY;
    for (let i = 0; i < m; i++) {
      const a = alpha[i]!;
      if (!phaseOne && artificial[i] === 1) {
        if (Math.abs(a) > 1e-7) return i;
      } else if (a > PIVOT) {
        const most = (Math.max(0, x[i]!) + 1e-14) / a;
        if (most < limit) limit = most;
      }
    }
    let best = -1;
    for (let i = 0; i < m; i++) {
      const a = alpha[i]!;
      if (!phaseOne && artificial[i] === 1) continue;
      if (a > PIVOT && (best < 0 || a > alpha[best]!) && Math.max(0, x[i]!) / a <= limit) best = i;
    }
    return best;
  }

  #pivot(r: number): void {
    const m = this.#m;
    const alpha = this.#alpha;
    const x = this.#x;
    const inverse = this.#inverse;
    const row = r * m;
    const pivot = alpha[r]!;
    const step = x[r]! / pivot;
    for (let k = row; k < row + m; k++) inverse[k] = inverse[k]! / pivot;
    for (let i = 0; i < m; i++) {
      const a = alpha[i]!;
      if (i === r || a === 0) continue;
      x[i] = x[i]! - step * a;
      for (let k = row, at = i * m; k < row + m; k++, at++)
        inverse[at] = inverse[at]! - a * inverse[k]!;
    }
    x[r] = step;
    this.#artificial[r] = 0;
    this.#basis.set(this.#entering, r * this.#h);
    if (++this.#sinceRefresh >= REFRESH) this.#refresh();
  }

  /** Inverts the basis afresh by Gauss-Jordan with row pivoting; keeps the old inverse if it cannot. */
  #refresh(): void {
    const m = this.#m;
    const w = this.#scratch;
    this.#sinceRefresh = 0;
    for (let i = 0; i < m; i++)
      for (let j = 0; j < m; j++) {
        w[i * 2 * m + j] = this.#basis[j * this.#h + i]!;
        w[i * 2 * m + m + j] = i === j ? 1 : 0;
      }
    for (let c = 0; c < m; c++) {
      let p = c;
      for (let i = c + 1; i < m; i++)
        if (Math.abs(w[i * 2 * m + c]!) > Math.abs(w[p * 2 * m + c]!)) p = i;
      const size = w[p * 2 * m + c]!;
      if (Math.abs(size) < 1e-14) return;
      for (let k = c; k < 2 * m; k++) {
        const swap = w[p * 2 * m + k]!;
        w[p * 2 * m + k] = w[c * 2 * m + k]!;
        w[c * 2 * m + k] = swap / size;
      }
      for (let i = 0; i < m; i++) {
        const f = w[i * 2 * m + c]!;
        if (i === c || f === 0) continue;
        for (let k = c; k < 2 * m; k++)
          w[i * 2 * m + k] = w[i * 2 * m + k]! - f * w[c * 2 * m + k]!;
      }
    }
    for (let i = 0; i < m; i++) {
      for (let k = 0; k < m; k++) this.#inverse[i * m + k] = w[i * 2 * m + m + k]!;
      let level = 0;
      for (let k = 0; k < m; k++) level += this.#inverse[i * m + k]! * this.#moved[k]!;
      // Rounding may leave a level a hair below 0; below that the update had drifted and the next
      // pivots, which treat it as 0, bring it back.
      this.#x[i] = Math.max(0, level);
    }
  }
}
