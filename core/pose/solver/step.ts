/**
 * The step of one round: minimise
 *   ½ Σ_i d_i (s_i - b_i)² + ½ Σ_k w_k (J s - e)_k²   with   low_i ≤ s_i ≤ high_i
 * where d is the joints' stiffness, b the way back to rest, w the weight of each row.
 *
 * Solved in the rows' space, which is small: with the free joints F,
 *   (J_F D⁻¹ J_Fᵀ + W⁻¹) y = e - J b,   s_F = b + D⁻¹ J_Fᵀ y,
 * which is damped least squares (Levenberg 1944; Nakamura & Hanafusa 1986, singularity-robust inverse)
 * with one damping a row. Bounds by primal-dual active sets (Hintermüller, Ito & Kunisch 2002,
 * SIAM J. Optim. 13(3); from memory): joints beyond their bound are set on it and let go when the
 * multiplier points inward.
 */
export interface StepProblem {
  /** Number of freedoms. */
  readonly n: number;
  /** Number of rows in use. */
  m: number;
  readonly rows: Float64Array;
  /** For every row the freedoms that are not 0 in it. */
  readonly chains: Int32Array[];
  readonly error: Float64Array;
  /** 1 / w of every row. */
  readonly compliance: Float64Array;
  readonly stiffness: Float64Array;
  /** Further stiffness of every freedom, without a way back. */
  readonly bend: Float64Array;
  readonly rest: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** 0 free, -1 on its low bound, 1 on its high one, LOCKED: kept from round to round. */
  readonly held: Int8Array;
  /** The answer. */
  readonly step: Float64Array;
}

export const LOCKED = 2;

const PASSES = 12;
/** From this pass on joints are only added to the held ones, so that it ends. */
const SETTLING = 7;

export function newStepProblem(n: number, most: number): StepProblem {
  return {
    n,
    m: 0,
    rows: new Float64Array(most * n),
    chains: [],
    error: new Float64Array(most),
    compliance: new Float64Array(most),
    stiffness: new Float64Array(n),
    bend: new Float64Array(n),
    rest: new Float64Array(n),
    low: new Float64Array(n),
    high: new Float64Array(n),
    held: new Int8Array(n),
    step: new Float64Array(n),
  };
}

/** Room for the reduced system, grown when needed. */
let matrix = new Float64Array(0);
let scaled = new Float64Array(0);
let forces = new Float64Array(0);
/** 1 / (whole stiffness), the way back as it is left, and the whole stiffness, of every freedom. */
let ease = new Float64Array(0);
let aim = new Float64Array(0);
/** What the forces of the rows do to every freedom. */
let pulls = new Float64Array(0);

/** Solves for `step`. The damping is a share by which all joints are stiffer, without a way back. */
export function solveStep(problem: StepProblem, damping: number): void {
  const { n, m, rows, chains, stiffness, bend, rest, low, high, held, step } = problem;
  if (matrix.length < m * m) matrix = new Float64Array(m * m);
  if (forces.length < m) forces = new Float64Array(m);
  if (scaled.length < n) {
    scaled = new Float64Array(n);
    ease = new Float64Array(n);
    aim = new Float64Array(n);
    pulls = new Float64Array(n);
  }
  for (let i = 0; i < n; i++) {
    ease[i] = 1 / (stiffness[i]! * (1 + damping) + bend[i]!);
    aim[i] = rest[i]! * stiffness[i]! * ease[i]!;
  }
  for (let pass = 0; pass < PASSES; pass++) {
    for (let i = 0; i < n; i++) {
      const side = held[i]!;
      step[i] = side === 0 ? aim[i]! : side === LOCKED ? 0 : side < 0 ? low[i]! : high[i]!;
    }
    reduce(problem);
    factorAndSolve(matrix, forces, m);
    pulls.fill(0, 0, n);
    for (let k = 0; k < m; k++) {
      const chain = chains[k]!;
      const force = forces[k]!;
      for (let c = 0; c < chain.length; c++) {
        const i = chain[c]!;
        pulls[i]! += rows[k * n + i]! * force;
      }
    }
    let changed = false;
    for (let i = 0; i < n; i++) {
      const side = held[i]!;
      if (side === LOCKED) continue;
      const pull = pulls[i]!;
      if (side === 0) {
        const value = step[i]! + pull * ease[i]!;
        step[i] = value;
        if (value < low[i]! - 1e-12) {
          held[i] = -1;
          changed = true;
        } else if (value > high[i]! + 1e-12) {
          held[i] = 1;
          changed = true;
        }
      } else if (pass < SETTLING) {
        // Slope of what is minimised: on a low bound it must rise inward, on a high one fall.
        const slope = (step[i]! - aim[i]!) / ease[i]! - pull;
        if (side * slope > 1e-12) {
          held[i] = 0;
          changed = true;
        }
      }
    }
    if (!changed) break;
  }
  for (let i = 0; i < n; i++) step[i] = Math.min(high[i]!, Math.max(low[i]!, step[i]!));
}

/** The system in the rows' space: J_F D⁻¹ J_Fᵀ + W⁻¹ (lower triangle) and what is left of the error. */
function reduce({ n, m, rows, chains, error, compliance, held, step }: StepProblem): void {
  for (let k = 0; k < m; k++) {
    const row = k * n;
    const chain = chains[k]!;
    let left = error[k]!;
    for (let c = 0; c < chain.length; c++) {
      const i = chain[c]!;
      const j = rows[row + i]!;
      left -= j * step[i]!;
      scaled[i] = held[i] === 0 ? j * ease[i]! : 0;
    }
    forces[k] = left;
    for (let l = 0; l <= k; l++) {
      const other = l * n;
      // Only where both rows are not 0; the shorter chain is enough.
      const both = chains[l]!.length < chain.length ? chains[l]! : chain;
      let sum = 0;
      for (let c = 0; c < both.length; c++) {
        const i = both[c]!;
        sum += scaled[i]! * rows[other + i]!;
      }
      matrix[k * m + l] = sum;
    }
    matrix[k * m + k]! += compliance[k]!;
    for (let c = 0; c < chain.length; c++) scaled[chain[c]!] = 0;
  }
}

/** Cholesky in place (lower triangle, row by row), then both substitutions into `b`. */
function factorAndSolve(a: Float64Array, b: Float64Array, m: number): void {
  for (let k = 0; k < m; k++) {
    const rk = k * m;
    for (let l = 0; l < k; l++) {
      const rl = l * m;
      let sum = a[rk + l]!;
      for (let j = 0; j < l; j++) sum -= a[rk + j]! * a[rl + j]!;
      a[rk + l] = sum / a[rl + l]!;
    }
    let pivot = a[rk + k]!;
    for (let j = 0; j < k; j++) pivot -= a[rk + j]! * a[rk + j]!;
    // Rows that say the same twice leave nothing but rounding here; the damping keeps it above 0.
    a[rk + k] = Math.sqrt(Math.max(pivot, 1e-14));
    let value = b[k]!;
    for (let j = 0; j < k; j++) value -= a[rk + j]! * b[j]!;
    b[k] = value / a[rk + k]!;
  }
  for (let k = m - 1; k >= 0; k--) {
    let value = b[k]!;
    for (let j = k + 1; j < m; j++) value -= a[j * m + k]! * b[j]!;
    b[k] = value / a[k * m + k]!;
  }
}
