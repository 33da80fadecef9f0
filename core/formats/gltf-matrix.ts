import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { cross, dot, length, normalise, scale, subtract } from '../geometry/vec3.ts';

/** A 4 by 4 matrix that places a node, column after column as glTF writes it: 16 numbers. */
export type Matrix = ArrayLike<number>;

export const UNIT: Matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

/** Scale first, then turn, then move (T R S). The turn need not be of unit length. */
export function matrixOf(move: Vec3, turn: Quat, size: Vec3): Float64Array {
  const [x, y, z, w] = turn;
  const norm = x * x + y * y + z * z + w * w;
  const s = norm > 0 ? 2 / norm : 0;
  const [sx, sy, sz] = size;
  const m = new Float64Array(16);
  m[0] = (1 - s * (y * y + z * z)) * sx;
  m[1] = s * (x * y + z * w) * sx;
  m[2] = s * (x * z - y * w) * sx;
  m[4] = s * (x * y - z * w) * sy;
  m[5] = (1 - s * (x * x + z * z)) * sy;
  m[6] = s * (y * z + x * w) * sy;
  m[8] = s * (x * z + y * w) * sz;
  m[9] = s * (y * z - x * w) * sz;
  m[10] = (1 - s * (x * x + y * y)) * sz;
  m[12] = move[0];
  m[13] = move[1];
  m[14] = move[2];
  m[15] = 1;
  return m;
}

/** a · b: what `b` places, placed by `a`. */
export function multiplied(a: Matrix, b: Matrix): Float64Array {
  const m = new Float64Array(16);
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += (a[4 * k + row] as number) * (b[4 * column + k] as number);
      m[4 * column + row] = sum;
    }
  }
  return m;
}

const column = (m: Matrix, i: number): Vec3 => [
  m[4 * i] as number,
  m[4 * i + 1] as number,
  m[4 * i + 2] as number,
];

/** The matrix that undoes one that scales, turns and moves; null where it flattens space. */
export function inverted(m: Matrix): Float64Array | null {
  const [a, b, c, t] = [column(m, 0), column(m, 1), column(m, 2), column(m, 3)];
  const volume = dot(a, cross(b, c));
  const size = length(a) * length(b) * length(c);
  if (!(Math.abs(volume) > 1e-9 * size) || !Number.isFinite(volume)) return null;
  // Rows of the inverse are the cross products of the columns, over the volume.
  const rows = [cross(b, c), cross(c, a), cross(a, b)].map((row) => scale(row, 1 / volume));
  const inverse = new Float64Array(16);
  rows.forEach((row, i) => {
    inverse[i] = row[0];
    inverse[4 + i] = row[1];
    inverse[8 + i] = row[2];
    inverse[12 + i] = -dot(row, t);
  });
  inverse[15] = 1;
  return inverse;
}

/**
 * Place and turn of a matrix, its scale left out. Skew is taken off the later axes; a mirrored matrix
 * gives the turn of its first and second axis. A flattened axis counts as unturned.
 */
export function placedBy(m: Matrix): Transform {
  const x = normalise(column(m, 0), [1, 0, 0]);
  const along = column(m, 1);
  const y = normalise(subtract(along, scale(x, dot(along, x))), squareTo(x));
  return { position: column(m, 3), rotation: turnOfAxes(x, y, cross(x, y)) };
}

const squareTo = (x: Vec3): Vec3 =>
  normalise(Math.abs(x[1]) < 0.9 ? cross([0, 1, 0], x) : cross(x, [0, 0, 1]));

/** The turn with these axes, by its largest part so that no division is by almost nothing. */
function turnOfAxes(x: Vec3, y: Vec3, z: Vec3): Quat {
  const trace = x[0] + y[1] + z[2];
  if (trace > 0) {
    const s = 2 * Math.sqrt(trace + 1);
    return [(y[2] - z[1]) / s, (z[0] - x[2]) / s, (x[1] - y[0]) / s, s / 4];
  }
  if (x[0] > y[1] && x[0] > z[2]) {
    const s = 2 * Math.sqrt(1 + x[0] - y[1] - z[2]);
    return [s / 4, (x[1] + y[0]) / s, (z[0] + x[2]) / s, (y[2] - z[1]) / s];
  }
  if (y[1] > z[2]) {
    const s = 2 * Math.sqrt(1 + y[1] - x[0] - z[2]);
    return [(x[1] + y[0]) / s, s / 4, (y[2] + z[1]) / s, (z[0] - x[2]) / s];
  }
  const s = 2 * Math.sqrt(1 + z[2] - x[0] - y[1]);
  return [(z[0] + x[2]) / s, (y[2] + z[1]) / s, s / 4, (x[1] - y[0]) / s];
}
