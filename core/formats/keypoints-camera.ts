import type { Vec2 } from '../geometry/types.ts';

/**
 * How a picture is lined up with the world: a camera far away that looks level, so that the picture
 * plane is the world's plane of x (to the right) and y (up) and one scale holds over a figure.
 */
export interface LineUp {
  /** Metres a pixel at the first figure. */
  readonly scale?: number;
  /** Pixels that the first figure would be tall if it stood upright where it is; `scale` goes before it. */
  readonly standing?: number;
  /** How far true up leans to the right of the picture's up, radians; `horizon` gives it where left out. */
  readonly tilt?: number;
  /**
   * Two points of the horizon, pixels, any order: level with the camera, so the height of a figure's
   * feet beneath it tells how far away the figure stands.
   */
  readonly horizon?: readonly [Vec2, Vec2];
  /** Somebody whose stature is known and who stands upright on the floor somewhere in the picture. */
  readonly person?: LinedUpPerson;
}

/** Where a standing person's feet and crown are, pixels, and how tall the person is, metres. */
export interface LinedUpPerson {
  readonly feet: Vec2;
  readonly head: Vec2;
  readonly stature: number;
}

/** Lean of true up to the right of the picture's up, radians. */
export function tiltOf({ tilt, horizon }: LineUp): number {
  if (tilt !== undefined) return tilt;
  if (horizon === undefined) return 0;
  const [a, b] = horizon[0][0] <= horizon[1][0] ? horizon : [horizon[1], horizon[0]];
  // Pixels run down: a horizon that falls to the right belongs to a true up that leans right.
  return Math.atan2(b[1] - a[1], b[0] - a[0]);
}

/** A point of the picture in pixels to the right and up, the picture's tilt taken off. */
export function levelled({ x, y }: { readonly x: number; readonly y: number }, tilt: number): Vec2 {
  const [sin, cos] = [Math.sin(tilt), Math.cos(tilt)];
  return [x * cos + y * sin, x * sin - y * cos];
}

/** Height of the horizon in levelled pixels; null without one. */
export function horizonHeight({ horizon }: LineUp, tilt: number): number | null {
  if (horizon === undefined) return null;
  const [a, b] = horizon.map(([x, y]) => levelled({ x, y }, tilt)) as [Vec2, Vec2];
  return (a[1] + b[1]) / 2;
}

/** Below this many pixels under the horizon a foot tells nothing about its distance. */
const LEAST_DROP = 4;

/**
 * Scale of another figure that stands on the same floor: what is as far beneath the horizon as the
 * camera is high appears smaller with distance. Null where the feet are not beneath the horizon.
 * @param first scale of the first figure, metres a pixel, and how far its feet are beneath the horizon
 */
export function scaleByDrop(
  first: { readonly scale: number; readonly drop: number },
  drop: number,
): number | null {
  if (!(first.drop >= LEAST_DROP && drop >= LEAST_DROP)) return null;
  return (first.scale * first.drop) / drop;
}

/**
 * Scale at a figure by somebody who stands elsewhere in the picture, metres a pixel: as for that person,
 * and by how far each one's feet are beneath the horizon where there is one. Null for marks without height.
 * @param drop how far the figure's feet are beneath the horizon, levelled pixels; null without one
 */
export function scaleByPerson(lineUp: LineUp, tilt: number, drop: number | null): number | null {
  const { person } = lineUp;
  if (person === undefined) return null;
  const [feet, head] = [person.feet, person.head].map(([x, y]) => levelled({ x, y }, tilt)[1]);
  const tall = (head ?? 0) - (feet ?? 0);
  if (!(tall > LEAST_DROP)) return null;
  const scale = person.stature / tall;
  const horizon = horizonHeight(lineUp, tilt);
  if (horizon === null || drop === null) return scale;
  return scaleByDrop({ scale, drop: horizon - (feet ?? 0) }, drop) ?? scale;
}
