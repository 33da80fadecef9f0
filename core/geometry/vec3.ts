import type { Vec3 } from './types.ts';

/** Sums and products of points and directions: pure, each returns a new tuple. */

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];

export const subtract = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

export const scale = (a: Vec3, factor: number): Vec3 => [
  a[0] * factor,
  a[1] * factor,
  a[2] * factor,
];

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Right-handed: cross(x, y) = z. */
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

export const length = (a: Vec3): number => Math.sqrt(dot(a, a));

export const distance = (a: Vec3, b: Vec3): number => length(subtract(a, b));

/** Unit vector along `a`; `fallback` (default +Y) where `a` has no direction (shorter than 1e-12). */
export function normalise(a: Vec3, fallback: Vec3 = [0, 1, 0]): Vec3 {
  const size = length(a);
  return size < 1e-12 ? fallback : scale(a, 1 / size);
}

/** Point at share `t` of the way from `a` (0) to `b` (1); not clamped. */
export const lerp = (a: Vec3, b: Vec3, t: number): Vec3 => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
];
