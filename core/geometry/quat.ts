import type { Quat, Transform, Vec3 } from './types.ts';
import { add, cross, dot, normalise } from './vec3.ts';

/** Unit quaternions in glTF order [x, y, z, w]: pure, each returns a new tuple. */

export const IDENTITY: Quat = [0, 0, 0, 1];

/** The turn that does `b` first and then `a`: rotate(multiply(a, b), v) = rotate(a, rotate(b, v)). */
export const multiply = (a: Quat, b: Quat): Quat => [
  a[3] * b[0] + a[0] * b[3] + a[1] * b[2] - a[2] * b[1],
  a[3] * b[1] - a[0] * b[2] + a[1] * b[3] + a[2] * b[0],
  a[3] * b[2] + a[0] * b[1] - a[1] * b[0] + a[2] * b[3],
  a[3] * b[3] - a[0] * b[0] - a[1] * b[1] - a[2] * b[2],
];

/** The opposite turn (inverse of a unit quaternion). */
export const conjugate = (q: Quat): Quat => [-q[0], -q[1], -q[2], q[3]];

export function rotate(q: Quat, v: Vec3): Vec3 {
  const [x, y, z, w] = q;
  const tx = 2 * (y * v[2] - z * v[1]);
  const ty = 2 * (z * v[0] - x * v[2]);
  const tz = 2 * (x * v[1] - y * v[0]);
  return [
    v[0] + w * tx + y * tz - z * ty,
    v[1] + w * ty + z * tx - x * tz,
    v[2] + w * tz + x * ty - y * tx,
  ];
}

/** Turn by `radians` about `axis` (any length but zero), right-handed. */
export function fromAxisAngle(axis: Vec3, radians: number): Quat {
  const [x, y, z] = normalise(axis);
  const s = Math.sin(radians / 2);
  return [x * s, y * s, z * s, Math.cos(radians / 2)];
}

/**
 * Shortest turn that takes the direction `from` to the direction `to`. For opposite directions the
 * axis is not unique: one square to `from` is taken, the same for the same input.
 */
export function between(from: Vec3, to: Vec3): Quat {
  const a = normalise(from);
  const b = normalise(to);
  const c = dot(a, b);
  if (c < -1 + 1e-12) {
    const side: Vec3 = Math.abs(a[0]) < 0.8 ? [1, 0, 0] : [0, 0, 1];
    return fromAxisAngle(cross(a, side), Math.PI);
  }
  const axis = cross(a, b);
  return normaliseQuat([axis[0], axis[1], axis[2], 1 + c]);
}

/** Back to unit length; the identity for a quaternion without length. */
export function normaliseQuat(q: Quat): Quat {
  const size = Math.hypot(q[0], q[1], q[2], q[3]);
  return size < 1e-12 ? IDENTITY : [q[0] / size, q[1] / size, q[2] / size, q[3] / size];
}

/** Turn at share `t` of the shorter way from `a` (0) to `b` (1). */
export function slerp(a: Quat, b: Quat, t: number): Quat {
  let c = a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3];
  const sign = c < 0 ? -1 : 1; // q and -q are one turn: take the nearer of the two
  c = Math.min(1, Math.abs(c));
  const angle = Math.acos(c);
  const s = Math.sin(angle);
  // Below this angle the arc is a chord to within rounding, and s would divide by almost nothing.
  const wa = s < 1e-6 ? 1 - t : Math.sin((1 - t) * angle) / s;
  const wb = sign * (s < 1e-6 ? t : Math.sin(t * angle) / s);
  return normaliseQuat([
    wa * a[0] + wb * b[0],
    wa * a[1] + wb * b[1],
    wa * a[2] + wb * b[2],
    wa * a[3] + wb * b[3],
  ]);
}

/** Angle of the one turn that leads from one to the other, radians, 0 to pi; exact where it is small, too. */
export function angleBetween(a: Quat, b: Quat): number {
  const [x, y, z, w] = multiply(a, conjugate(b));
  return 2 * Math.atan2(Math.hypot(x, y, z), Math.abs(w));
}

/** Where a point of a placed thing is in the world. */
export const applyTransform = (t: Transform, p: Vec3): Vec3 =>
  add(t.position, rotate(t.rotation, p));
