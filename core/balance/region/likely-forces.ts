import type { Vec3 } from '../../geometry/types.ts';
import type { Support } from './program.ts';

/**
 * One force at every contact out of the many that would do: the one that springs would give.
 *
 * Every contact is a spring along its normal, all contacts (patches) equally stiff unless said
 * otherwise, a patch's stiffness spread evenly over its points; along the surface a spring is `SOFT`
 * times softer, and a hold is as stiff in every direction. Their
 * forces minimise  1/2 sum_i (n_i^2 + SOFT t_i^2) / k_i  over all equilibria within the friction
 * cones. On coplanar level contacts that is the equal-spring share W (alpha + beta . p_i) of
 * mechanics.md 1.7; where that would pull, the pulling contacts let go (non-negative least squares).
 * It is a convention to show one number, not a measurement: call it "likely".
 *
 * Method: the dual is unconstrained and smooth, six unknowns y = (phi, tau) a body. Contact i answers the
 * "displacement" w_i = phi + tau x r_i of its body (less that of the body that it presses on) with a
 * closed-form force f_i(w_i), and
 *   phi(y) = b . y - sum_i (w_i . f_i - cost(f_i))
 * is concave with gradient b - sum G_i f_i: semismooth Newton steps with step halving (own
 * derivation; cf. Boyd & Vandenberghe, Convex Optimization, 5.2 for the dual, from memory).
 */
const SOFT = 100;
const STEPS = 80;
/** Balance residual that counts as met, shares of the weight. */
const MET = 1e-9;
/** Rounds of raising the counter-pressure on patches whose cap binds. */
const CAP_ROUNDS = 200;

/** A body of known place and share of the total weight. */
export interface Weighed {
  readonly weight: number;
  /** Mass centre, metres. */
  readonly centre: Vec3;
}

/**
 * @param supports contacts and holds; caps and holds in shares of the total weight
 * @param bodies in the order of the supports' indices
 * @param stiffness of a whole patch by its index, relative to the others; default 1
 * @returns forces on the body `on` in total weights, one per support; null when no equilibrium exists
 *   or the only ones lie on the very limit of the friction cones
 */
export function likelyForces(
  supports: readonly Support[],
  bodies: readonly Weighed[],
  stiffness: (patch: number) => number = () => 1,
): readonly Vec3[] | null {
  const springs = springsOf(supports, bodies, stiffness);
  const weights = bodies.map(({ weight }) => weight);
  const y = new Float64Array(6 * bodies.length);
  // From the push straight down that all springs of a body would answer together: from nothing at all,
  // where none presses, Newton would have to find its scale first.
  springs.forEach((spring, i) => {
    const k = 6 * supports[i]!.on + 1;
    y[k] = y[k]! + spring.stiffness;
  });
  weights.forEach((weight, body) => {
    const k = 6 * body + 1;
    y[k] = y[k]! > 0 ? weight / y[k]! : 0;
  });
  const pressure = new Map<number, number>();
  for (let round = 0; round < CAP_ROUNDS; round++) {
    const forces = solve(springs, weights, y, pressure);
    if (forces === null) return null;
    let over = 0;
    for (const [patch, cap] of capsOf(supports)) {
      let normal = 0;
      springs.forEach((s, i) => {
        if (s.patch === patch) normal += dot3(s.normal, forces[i]!);
      });
      const before = pressure.get(patch) ?? 0;
      // In units of a patch's stiffness this is the exact step where nothing else changes.
      const after = Math.max(0, before + (normal - cap) / stiffness(patch));
      over = Math.max(over, Math.abs(after - before));
      pressure.set(patch, after);
    }
    if (over < 1e-7) return forces;
  }
  return null;
}

interface Spring {
  /** Unknowns that its displacement hangs on: six of each of its one or two bodies. */
  readonly at: Int32Array;
  /** Three entries an unknown: the rows of G = [I; r x], with the sign of the force on that body. */
  readonly rows: Float64Array;
  readonly normal: Vec3;
  readonly friction: number;
  readonly hold: number | null;
  readonly stiffness: number;
  readonly patch: number;
}

function springsOf(
  supports: readonly Support[],
  bodies: readonly Weighed[],
  stiffness: (patch: number) => number,
): readonly Spring[] {
  const points = new Map<number, number>();
  for (const s of supports) points.set(s.patch, (points.get(s.patch) ?? 0) + 1);
  return supports.map((s) => ({
    ...rowsOf(s, bodies),
    normal: s.normal,
    friction: s.friction,
    hold: s.hold,
    stiffness: stiffness(s.patch) / points.get(s.patch)!,
    patch: s.patch,
  }));
}

function capsOf(supports: readonly Support[]): ReadonlyMap<number, number> {
  const caps = new Map<number, number>();
  for (const s of supports)
    if (s.hold === null && Number.isFinite(s.cap))
      caps.set(s.patch, Math.min(s.cap, caps.get(s.patch) ?? Number.POSITIVE_INFINITY));
  return caps;
}

const dot3 = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Dual value, gradient, (negative) Hessian and forces at y. */
interface State {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
  readonly forces: Vec3[];
}

/** Newton from y (changed in place) to balance; null when it does not get there. */
function solve(
  springs: readonly Spring[],
  weights: readonly number[],
  y: Float64Array,
  pressure: ReadonlyMap<number, number>,
): readonly Vec3[] | null {
  let state = evaluate(springs, weights, y, pressure);
  for (let step = 0; step < STEPS; step++) {
    const residual = norm(state.gradient);
    if (residual < MET) return state.forces;
    const direction = newtonStep(state, residual);
    const slope = direction.reduce((sum, d, k) => sum + d * state.gradient[k]!, 0);
    let size = 1;
    let next = state;
    for (; size > 1e-12; size /= 2) {
      const trial = y.map((value, k) => value + size * direction[k]!);
      next = evaluate(springs, weights, trial, pressure);
      // Near the optimum the value no longer resolves the gain; the residual still does.
      if (next.value >= state.value + 1e-4 * size * slope || norm(next.gradient) < 0.5 * residual) {
        y.set(trial);
        break;
      }
    }
    if (size <= 1e-12) break;
    state = next;
  }
  return norm(state.gradient) < 1e-6 ? state.forces : null;
}

const norm = (v: Float64Array): number => Math.sqrt(v.reduce((sum, x) => sum + x * x, 0));

function evaluate(
  springs: readonly Spring[],
  weights: readonly number[],
  y: Float64Array,
  pressure: ReadonlyMap<number, number>,
): State {
  const size = y.length;
  const gradient = new Float64Array(size);
  const hessian = new Float64Array(size * size);
  const column = new Float64Array(12);
  let value = 0;
  weights.forEach((weight, body) => {
    gradient[6 * body + 1] = weight;
    value += weight * y[6 * body + 1]!;
  });
  const forces = springs.map((s): Vec3 => {
    const push = pressure.get(s.patch) ?? 0;
    const { at, rows } = s;
    const count = at.length;
    let wx = -push * s.normal[0];
    let wy = -push * s.normal[1];
    let wz = -push * s.normal[2];
    for (let i = 0; i < count; i++) {
      const unknown = y[at[i]!]!;
      wx += rows[3 * i]! * unknown;
      wy += rows[3 * i + 1]! * unknown;
      wz += rows[3 * i + 2]! * unknown;
    }
    const w: Vec3 = [wx, wy, wz];
    const { force, cost, slope } = answer(s, w);
    value -= dot3(w, force) - cost;
    // The gradient loses G f and the Hessian gains G slope G'.
    const [fx, fy, fz] = force;
    for (let i = 0; i < count; i++) {
      const k = at[i]!;
      gradient[k] =
        gradient[k]! - rows[3 * i]! * fx - rows[3 * i + 1]! * fy - rows[3 * i + 2]! * fz;
    }
    for (const { along, by } of slope) {
      const [ax, ay, az] = along;
      for (let i = 0; i < count; i++)
        column[i] = rows[3 * i]! * ax + rows[3 * i + 1]! * ay + rows[3 * i + 2]! * az;
      for (let i = 0; i < count; i++) {
        const from = size * at[i]!;
        const part = by * column[i]!;
        for (let j = 0; j < count; j++) {
          const k = from + at[j]!;
          hessian[k] = hessian[k]! + part * column[j]!;
        }
      }
    }
    return force;
  });
  return { value, gradient, hessian, forces };
}

/** The unknowns of a support's bodies (force, then moment about the centre) and what they move. */
function rowsOf(
  { point, on, against }: Support,
  bodies: readonly Weighed[],
): Pick<Spring, 'at' | 'rows'> {
  const ends = against === null ? [on] : [on, against];
  const at = new Int32Array(6 * ends.length);
  const rows = new Float64Array(18 * ends.length);
  ends.forEach((body, e) => {
    const c = bodies[body]!.centre;
    const [rx, ry, rz] = [point[0] - c[0], point[1] - c[1], point[2] - c[2]];
    const sign = e === 0 ? 1 : -1;
    const six = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [0, -rz, ry],
      [rz, 0, -rx],
      [-ry, rx, 0],
    ];
    six.forEach((row, k) => {
      at[6 * e + k] = 6 * body + k;
      row.forEach((value, j) => {
        rows[18 * e + 3 * k + j] = sign * value;
      });
    });
  });
  return { at, rows };
}

interface Answer {
  readonly force: Vec3;
  /** 1/2 (n^2 + SOFT t^2) / k. */
  readonly cost: number;
  /** Derivative of the force by w as a sum of by * along along'. */
  readonly slope: readonly { readonly along: Vec3; readonly by: number }[];
}

/** The force in the cone that maximises w . f - cost(f). */
function answer(s: Spring, w: Vec3): Answer {
  const k = s.stiffness;
  if (s.hold !== null) return answerHold(w, k, s.hold);
  const n = s.normal;
  const mu = s.friction;
  const a = dot3(w, n);
  const t: Vec3 = [w[0] - a * n[0], w[1] - a * n[1], w[2] - a * n[2]];
  const size = Math.sqrt(dot3(t, t));
  const lean: Vec3 = size > 1e-300 ? [t[0] / size, t[1] / size, t[2] / size] : [0, 0, 0];
  const side: Vec3 = [
    n[1] * lean[2] - n[2] * lean[1],
    n[2] * lean[0] - n[0] * lean[2],
    n[0] * lean[1] - n[1] * lean[0],
  ];
  if (a > 0 && size <= SOFT * mu * a) {
    const soft = k / SOFT;
    // Without a lean direction any pair of tangents has the same stiffness.
    const slope =
      size > 1e-300
        ? [
            { along: n, by: k },
            { along: lean, by: soft },
            { along: side, by: soft },
          ]
        : [
            { along: n, by: k - soft },
            { along: [1, 0, 0] as Vec3, by: soft },
            { along: [0, 1, 0] as Vec3, by: soft },
            { along: [0, 0, 1] as Vec3, by: soft },
          ];
    const force: Vec3 = [
      k * a * n[0] + soft * t[0],
      k * a * n[1] + soft * t[1],
      k * a * n[2] + soft * t[2],
    ];
    return { force, cost: 0.5 * k * (a * a + (size * size) / SOFT), slope };
  }
  const rim = 1 + SOFT * mu * mu;
  const normal = (k * (a + mu * size)) / rim;
  if (normal <= 0) return { force: [0, 0, 0], cost: 0, slope: [] };
  const edge: Vec3 = [n[0] + mu * lean[0], n[1] + mu * lean[1], n[2] + mu * lean[2]];
  return {
    force: [normal * edge[0], normal * edge[1], normal * edge[2]],
    cost: (0.5 * rim * normal * normal) / k,
    slope: [
      { along: edge, by: k / rim },
      { along: side, by: size > 1e-300 ? (mu * normal) / size : 0 },
    ],
  };
}

function answerHold(w: Vec3, k: number, limit: number): Answer {
  const size = Math.sqrt(dot3(w, w));
  const free = k * size <= limit;
  const by = free || size === 0 ? k : limit / size;
  const force: Vec3 = [by * w[0], by * w[1], by * w[2]];
  const slope: Answer['slope'] = [
    { along: [1, 0, 0], by },
    { along: [0, 1, 0], by },
    { along: [0, 0, 1], by },
    ...(free ? [] : [{ along: [w[0] / size, w[1] / size, w[2] / size] as Vec3, by: -by }]),
  ];
  return { force, cost: (0.5 * dot3(force, force)) / k, slope };
}

/** Solves (H + a little) d = gradient; the little keeps rows that nothing resists finite. */
function newtonStep({ hessian, gradient }: State, residual: number): Float64Array {
  const size = gradient.length;
  let trace = 0;
  for (let i = 0; i < size; i++) trace += hessian[(size + 1) * i]!;
  const little = 1e-11 * (trace + 1) + 1e-6 * Math.min(1, residual) * 1e-3;
  const m = Array.from({ length: size }, (_, i) => [
    ...Array.from({ length: size }, (__, j) => hessian[size * i + j]! + (i === j ? little : 0)),
    gradient[i]!,
  ]);
  for (let c = 0; c < size; c++) {
    let p = c;
    for (let i = c + 1; i < size; i++) if (Math.abs(m[i]![c]!) > Math.abs(m[p]![c]!)) p = i;
    const pivot = m[p]!;
    m[p] = m[c]!;
    m[c] = pivot;
    for (let i = 0; i < size; i++) {
      if (i === c) continue;
      const f = m[i]![c]! / pivot[c]!;
      if (f !== 0) for (let j = c; j <= size; j++) m[i]![j] = m[i]![j]! - f * pivot[j]!;
    }
  }
  return Float64Array.from(m, (row, i) => row[size]! / row[i]!);
}
