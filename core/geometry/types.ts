/**
 * The shapes that every other part of the core speaks in.
 *
 * Axes: right-handed, Y up, figures face +Z (so +X is the figure's own left); the floor is y = 0.
 * Plan coordinates are (x, z). SI units throughout: metres, kilograms, seconds, radians, newtons.
 */

/** A point or direction in space, metres (or unitless for directions): x left, y up, z forward. */
export type Vec3 = readonly [x: number, y: number, z: number];

/** A point or direction on the floor plan, metres: x, z. */
export type Vec2 = readonly [x: number, z: number];

/** A unit quaternion in glTF order. */
export type Quat = readonly [x: number, y: number, z: number, w: number];

/** A rigid placement: rotate by `rotation`, then move by `position`. */
export interface Transform {
  readonly position: Vec3;
  readonly rotation: Quat;
}
