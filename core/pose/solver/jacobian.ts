import { placeOf, type Wish } from './constraints.ts';
import type { Placed } from './kinematics.ts';
import { type Skeleton, TURN } from './skeleton.ts';

const point = new Float64Array(3);

/** The freedoms that can change what a wish is about; all others have zeros in its rows. */
export const chainOf = (skeleton: Skeleton, wish: Wish): Int32Array =>
  wish.kind === 'centre' ? skeleton.all : skeleton.chains[wish.segment]!;

/**
 * Rows of a wish: how its place, turn or centre moves per radian (or metre) of every freedom, written to
 * `rows` from row `first` on, one row of all freedoms after the other. What is not in `chain` (of the
 * wish's, the freedoms that are not locked) is not written and must be 0 already.
 *
 * Turning about the axis a through o moves a point p by a × (p - o), and turns what hangs there by a.
 * The centre: the mass that hangs on the joint moves as its own centre does, by its share of the whole.
 */
export function writeRows(
  skeleton: Skeleton,
  placed: Placed,
  wish: Wish,
  chain: Int32Array,
  rows: Float64Array,
  first: number,
): void {
  const { freedoms: n, segmentOf, kindOf } = skeleton;
  const { at, axes, hanging, moments } = placed;
  if (wish.kind === 'place') placeOf(placed, wish.segment, wish.point, point);
  for (let c = 0; c < chain.length; c++) {
    const i = chain[c]!;
    const o = segmentOf[i]! * 3;
    const r = first * n + i;
    const x = axes[i * 3]!;
    const y = axes[i * 3 + 1]!;
    const z = axes[i * 3 + 2]!;
    const moves = kindOf[i]! < TURN;
    if (wish.kind === 'turn') {
      rows[r] = moves ? 0 : x;
      rows[r + n] = moves ? 0 : y;
      rows[r + 2 * n] = moves ? 0 : z;
    } else if (wish.kind === 'place') {
      const dx = point[0]! - at[o]!;
      const dy = point[1]! - at[o + 1]!;
      const dz = point[2]! - at[o + 2]!;
      rows[r] = moves ? x : y * dz - z * dy;
      rows[r + n] = moves ? y : z * dx - x * dz;
      rows[r + 2 * n] = moves ? z : x * dy - y * dx;
    } else {
      const mass = hanging[segmentOf[i]!]!;
      const dx = (moments[o]! - mass * at[o]!) / wish.total;
      const dy = (moments[o + 1]! - mass * at[o + 1]!) / wish.total;
      const dz = (moments[o + 2]! - mass * at[o + 2]!) / wish.total;
      rows[r] = moves ? x : y * dz - z * dy;
      rows[r + n] = moves ? z : x * dy - y * dx;
    }
  }
}

/**
 * Adds to `bend` what a pull on a point adds to the stiffness of the joints: a pull F along a stretched
 * limb resists every turn of it, by F · r with r from the joint's axis to the point. (Second derivative of
 * a point by one joint: a × (a × r) = -r, for r square to a. Without it, steps towards what is out of
 * reach are far too long.)
 */
export function addPull(
  skeleton: Skeleton,
  placed: Placed,
  wish: Wish,
  chain: Int32Array,
  error: Float64Array,
  row: number,
  weight: number,
  bend: Float64Array,
): void {
  if (wish.kind !== 'place') return;
  const { segmentOf, kindOf } = skeleton;
  const { at, axes } = placed;
  placeOf(placed, wish.segment, wish.point, point);
  const fx = error[row]! * weight;
  const fy = error[row + 1]! * weight;
  const fz = error[row + 2]! * weight;
  for (let c = 0; c < chain.length; c++) {
    const i = chain[c]!;
    if (kindOf[i]! < TURN) continue;
    const o = segmentOf[i]! * 3;
    const ax = axes[i * 3]!;
    const ay = axes[i * 3 + 1]!;
    const az = axes[i * 3 + 2]!;
    const dx = point[0]! - at[o]!;
    const dy = point[1]! - at[o + 1]!;
    const dz = point[2]! - at[o + 2]!;
    const along = ax * dx + ay * dy + az * dz;
    bend[i]! += fx * (dx - ax * along) + fy * (dy - ay * along) + fz * (dz - az * along);
  }
}
