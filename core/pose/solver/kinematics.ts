import { SEGMENTS } from '../../body/types.ts';
import type { Coordinates } from './limits.ts';
import { indexOf, JOINT, type Skeleton, TURN } from './skeleton.ts';
import type { CentreLoad } from './types.ts';

const COUNT = SEGMENTS.length;

/** Where everything is for some coordinates; overwritten by every call of `placeAll`. */
export interface Placed {
  /** World place of every joint, three numbers a segment, metres. */
  readonly at: Float64Array;
  /** World turn of every segment, four numbers. */
  readonly turn: Float64Array;
  /** World axis of every freedom (for the hips' place: the direction), three numbers. */
  readonly axes: Float64Array;
  /** Mass of a segment with all that hangs on it, loads counted in, kilograms. */
  readonly hanging: Float64Array;
  /** Mass times place of the same, three numbers a segment. */
  readonly moments: Float64Array;
}

/** Masses of the segments with the loads fixed to them. */
export interface Masses {
  readonly masses: Float64Array;
  /** Mass times centre in the segment's frame. */
  readonly moments: Float64Array;
  readonly total: number;
}

export const newPlaced = (skeleton: Skeleton): Placed => ({
  at: new Float64Array(COUNT * 3),
  turn: new Float64Array(COUNT * 4),
  axes: new Float64Array(skeleton.freedoms * 3),
  hanging: new Float64Array(COUNT),
  moments: new Float64Array(COUNT * 3),
});

export function massesOf(skeleton: Skeleton, loads: readonly CentreLoad[]): Masses {
  const masses = skeleton.masses.slice();
  const moments = skeleton.centres.map((value, i) => value * masses[Math.floor(i / 3)]!);
  for (const { segment, offset, mass } of loads) {
    const s = indexOf(segment);
    masses[s]! += mass;
    for (let k = 0; k < 3; k++) moments[s * 3 + k]! += mass * offset[k]!;
  }
  return { masses, moments, total: masses.reduce((sum, mass) => sum + mass, 0) };
}

/**
 * Forward kinematics on plain numbers: joints, turns, and the mass that hangs on every joint.
 * `axes` are written by `placeAxes`, which only a step needs.
 */
export function placeAll(
  skeleton: Skeleton,
  coordinates: Coordinates,
  masses: Masses,
  placed: Placed,
): void {
  const { parents, offsets } = skeleton;
  const { at, turn, hanging, moments } = placed;
  for (let s = 0; s < COUNT; s++) {
    const p = parents[s]!;
    if (p < 0) {
      at.set(coordinates.place, 0);
      turn.set(coordinates.turn, 0);
    } else {
      turnPoint(turn, p * 4, offsets, s * 3, at, s * 3);
      for (let k = 0; k < 3; k++) at[s * 3 + k]! += at[p * 3 + k]!;
      jointTurn(coordinates.angles, s * 3, turn, p * 4, turn, s * 4);
    }
    turnPoint(turn, s * 4, masses.moments, s * 3, moments, s * 3);
    const mass = masses.masses[s]!;
    hanging[s] = mass;
    for (let k = 0; k < 3; k++) moments[s * 3 + k]! += mass * at[s * 3 + k]!;
  }
  for (let s = COUNT - 1; s > 0; s--) {
    const p = parents[s]!;
    hanging[p]! += hanging[s]!;
    for (let k = 0; k < 3; k++) moments[p * 3 + k]! += moments[s * 3 + k]!;
  }
}

/** to = q · v, for vectors and quaternions in arrays. */
export function turnPoint(
  q: Float64Array,
  qi: number,
  v: Float64Array,
  vi: number,
  to: Float64Array,
  ti: number,
): void {
  const x = q[qi]!;
  const y = q[qi + 1]!;
  const z = q[qi + 2]!;
  const w = q[qi + 3]!;
  const a = v[vi]!;
  const b = v[vi + 1]!;
  const c = v[vi + 2]!;
  const tx = 2 * (y * c - z * b);
  const ty = 2 * (z * a - x * c);
  const tz = 2 * (x * b - y * a);
  to[ti] = a + w * tx + y * tz - z * ty;
  to[ti + 1] = b + w * ty + z * tx - x * tz;
  to[ti + 2] = c + w * tz + x * ty - y * tx;
}

/** Turn of a segment: parent's turn, then swing (x, z), then twist (y). */
function jointTurn(
  angles: Float64Array,
  ai: number,
  parent: Float64Array,
  pi: number,
  to: Float64Array,
  ti: number,
): void {
  const x = angles[ai]!;
  const y = angles[ai + 1]!;
  const z = angles[ai + 2]!;
  const size = Math.sqrt(x * x + z * z);
  const k = size < 1e-12 ? 0.5 : Math.sin(size / 2) / size;
  const cw = Math.cos(size / 2);
  const sy = Math.sin(y / 2);
  const cy = Math.cos(y / 2);
  // swing · twist
  const jx = k * x * cy - k * z * sy;
  const jy = cw * sy;
  const jz = k * x * sy + k * z * cy;
  const jw = cw * cy;
  const ax = parent[pi]!;
  const ay = parent[pi + 1]!;
  const az = parent[pi + 2]!;
  const aw = parent[pi + 3]!;
  to[ti] = aw * jx + ax * jw + ay * jz - az * jy;
  to[ti + 1] = aw * jy - ax * jz + ay * jw + az * jx;
  to[ti + 2] = aw * jz + ax * jy - ay * jx + az * jw;
  to[ti + 3] = aw * jw - ax * jx - ay * jy - az * jz;
}

const local = new Float64Array(3);

/**
 * World axes about which the freedoms turn. For the rotation vector v = (x, 0, z) of a swing they are
 * the columns of its left Jacobian, J = (sin t / t) 1 + ((1 - cos t) / t²) [v]× + ((1 - sin t / t) / t²) v vᵀ
 * with t = |v| (Chirikjian, Stochastic Models, Information Theory, and Lie Groups 2, 10.86; from memory,
 * checked by differences in the tests); for the twist, the segment's own long axis after the swing.
 */
export function placeAxes(skeleton: Skeleton, coordinates: Coordinates, placed: Placed): void {
  const { freedoms, segmentOf, kindOf, parents } = skeleton;
  const { turn, axes } = placed;
  for (let i = 0; i < freedoms; i++) {
    const segment = segmentOf[i]!;
    const kind = kindOf[i]!;
    const to = i * 3;
    if (kind < JOINT) {
      for (let k = 0; k < 3; k++) axes[to + k] = k === kind % TURN ? 1 : 0;
      continue;
    }
    const x = coordinates.angles[segment * 3]!;
    const z = coordinates.angles[segment * 3 + 2]!;
    if (kind === JOINT + 1) {
      // A twist about y leaves y alone: the segment's own y axis in the world.
      local[0] = 0;
      local[1] = 1;
      local[2] = 0;
      turnPoint(turn, segment * 4, local, 0, axes, to);
      continue;
    }
    const square = x * x + z * z;
    const size = Math.sqrt(square);
    const small = size < 1e-4;
    const s = small ? 1 - square / 6 : Math.sin(size) / size;
    const c = small ? 0.5 : (1 - Math.cos(size)) / square;
    const k = small ? 1 / 6 : (1 - s) / square;
    if (kind === JOINT) {
      local[0] = s + k * x * x;
      local[1] = c * z;
      local[2] = k * x * z;
    } else {
      local[0] = k * x * z;
      local[1] = -c * x;
      local[2] = s + k * z * z;
    }
    turnPoint(turn, parents[segment]! * 4, local, 0, axes, to);
  }
}
