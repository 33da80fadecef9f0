import { type Quat, rotate, type Vec2 } from '../geometry/index.ts';

/**
 * Which way something faces, as a unit direction in plan: at right angles to its own left, so that
 * bending forward past the level does not turn it round. Lying on its side, where left points up or
 * down, its own forward (or, where that points up too, +Z of the world) decides.
 */
export function facing(rotation: Quat): Vec2 {
  const [leftX, , leftZ] = rotate(rotation, [1, 0, 0]);
  // forward = left x up, with up = (0, 1, 0)
  return unit(0 - leftZ, leftX) ?? unitForward(rotation) ?? [0, 1];
}

function unitForward(rotation: Quat): Vec2 | null {
  const [x, , z] = rotate(rotation, [0, 0, 1]);
  return unit(x, z);
}

/** Below this plan length of a unit axis its direction in plan says nothing (2 degrees from upright). */
const FLAT = 0.035;

function unit(x: number, z: number): Vec2 | null {
  const size = Math.sqrt(x * x + z * z);
  return size < FLAT ? null : [x / size, z / size];
}

/** The turn about the vertical that makes +Z face along a plan direction. */
export function headingTurn([x, z]: Vec2): Quat {
  const half = Math.atan2(x, z) / 2;
  return [0, Math.sin(half), 0, Math.cos(half)];
}
