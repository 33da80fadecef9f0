import type { Quat, Vec2, Vec3 } from '../../geometry/types.ts';
import { type Placed, turnPoint } from './kinematics.ts';
import { indexOf } from './skeleton.ts';
import type { SolveProblem } from './types.ts';

/** What is wanted of a pose: some rows of the system each. `wanted - is` is its error. */
export type Wish = {
  /** Rows that it takes: a place or turn 3, the centre 2. */
  readonly rows: 2 | 3;
  /** Must be met; otherwise it gives way where not everything can be had. */
  readonly hard: boolean;
  /** Penalty per square metre (or square radian), against the stiffness of the joints. */
  readonly weight: number;
  /** Beyond this error (metres, radians) the pull grows no more, so that no goal outweighs the soles. */
  readonly knee: number;
} & (
  | {
      readonly kind: 'place';
      readonly segment: number;
      readonly point: Float64Array;
      readonly target: Vec3;
    }
  | { readonly kind: 'turn'; readonly segment: number; readonly target: Quat }
  | { readonly kind: 'centre'; readonly target: Vec2; readonly total: number }
);

const GOAL = 1e4;
const FIRM = 2e5;
/** A radian of turn counts like a third of a metre. */
const RADIAN = 0.1;
const KNEE = 0.03;

/** The wishes of a problem, planted ones first, for the placement that the pose has at the start. */
export function wishesOf(problem: SolveProblem, start: Placed, total: number): readonly Wish[] {
  const wishes: Wish[] = [];
  const point = new Float64Array(3);
  for (const { segment, point: local = ORIGIN, turn } of problem.planted) {
    const s = indexOf(segment);
    const own = Float64Array.from(local);
    placeOf(start, s, own, point);
    const hard = { rows: 3, hard: true, weight: FIRM, knee: Number.POSITIVE_INFINITY } as const;
    const target: Vec3 = [point[0]!, point[1]!, point[2]!];
    wishes.push({ ...hard, kind: 'place', segment: s, point: own, target });
    if (turn) {
      const q = start.turn.subarray(s * 4, s * 4 + 4);
      const kept: Quat = [q[0]!, q[1]!, q[2]!, q[3]!];
      wishes.push({ ...hard, kind: 'turn', segment: s, target: kept, weight: FIRM * RADIAN });
    }
  }
  const { centre } = problem;
  if (centre) {
    wishes.push({
      kind: 'centre',
      rows: 2,
      hard: false,
      // Kept, it outweighs every goal; a goal can then be no nearer than the kept centre allows.
      weight: centre.keep ? GOAL * 30 : GOAL,
      knee: centre.keep ? KNEE / 4 : KNEE,
      target: centre.target,
      total,
    });
  }
  for (const { segment, point: local = ORIGIN, target, rotation, weight = 1 } of problem.goals) {
    if (!(weight > 0)) throw new RangeError(`A goal's weight must be above 0, not ${weight}.`);
    const s = indexOf(segment);
    const soft = { rows: 3, hard: false, weight: GOAL * weight, knee: KNEE } as const;
    wishes.push({ ...soft, kind: 'place', segment: s, point: Float64Array.from(local), target });
    if (rotation) {
      const share = GOAL * weight * RADIAN;
      wishes.push({ ...soft, kind: 'turn', segment: s, target: rotation, weight: share });
    }
  }
  return wishes;
}

const ORIGIN: Vec3 = [0, 0, 0];

/** World place of a point of a segment. */
export function placeOf(
  placed: Placed,
  segment: number,
  point: Float64Array,
  to: Float64Array,
): void {
  turnPoint(placed.turn, segment * 4, point, 0, to, 0);
  for (let k = 0; k < 3; k++) to[k]! += placed.at[segment * 3 + k]!;
}

const scratch = new Float64Array(3);

/** Writes how far a wish is from met (wanted - is) to `to` from `ti` on; returns its size. */
export function errorOf(wish: Wish, placed: Placed, to: Float64Array, ti: number): number {
  if (wish.kind === 'place') {
    placeOf(placed, wish.segment, wish.point, scratch);
    for (let k = 0; k < 3; k++) to[ti + k] = wish.target[k]! - scratch[k]!;
  } else if (wish.kind === 'turn') {
    turnError(wish.target, placed.turn, wish.segment * 4, to, ti);
  } else {
    to[ti] = wish.target[0] - placed.moments[0]! / wish.total;
    to[ti + 1] = wish.target[1] - placed.moments[2]! / wish.total;
    return Math.hypot(to[ti]!, to[ti + 1]!);
  }
  return Math.hypot(to[ti]!, to[ti + 1]!, to[ti + 2]!);
}

/** Rotation vector, in the world, of the shortest turn that takes `is` to `wanted`. */
export function turnError(
  [ax, ay, az, aw]: Quat,
  is: Float64Array,
  i: number,
  to: Float64Array,
  ti: number,
): void {
  const bx = -is[i]!;
  const by = -is[i + 1]!;
  const bz = -is[i + 2]!;
  const bw = is[i + 3]!;
  const w = aw * bw - ax * bx - ay * by - az * bz;
  const sign = w < 0 ? -1 : 1;
  const x = (aw * bx + ax * bw + ay * bz - az * by) * sign;
  const y = (aw * by - ax * bz + ay * bw + az * bx) * sign;
  const z = (aw * bz + ax * by - ay * bx + az * bw) * sign;
  const s = Math.sqrt(x * x + y * y + z * z);
  const k = s < 1e-12 ? 2 : (2 * Math.atan2(s, w * sign)) / s;
  to[ti] = x * k;
  to[ti + 1] = y * k;
  to[ti + 2] = z * k;
}
