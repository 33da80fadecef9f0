import type { Vec2, Vec3 } from '../geometry/types.ts';

/**
 * Looking at a scene without perspective. `front`: the viewer stands before a figure that faces +Z
 * and sees its left hand on the right. `side`: the viewer stands at the figure's right, so that it
 * faces to the right of the page. `plan`: from above.
 */
export type ViewName = 'front' | 'side' | 'plan';

/** Unit vectors of the page in the world: to its right, up it, and out of it towards the viewer. */
export interface View {
  readonly right: Vec3;
  readonly up: Vec3;
  readonly toward: Vec3;
}

const FRONT: View = { right: [1, 0, 0], up: [0, 1, 0], toward: [0, 0, 1] };
const SIDE: View = { right: [0, 0, 1], up: [0, 1, 0], toward: [-1, 0, 0] };
// A plan under an elevation shares its horizontal axis, so that the plumb line runs on into it.
const PLAN_UNDER_FRONT: View = { right: [1, 0, 0], up: [0, 0, -1], toward: [0, 1, 0] };
const PLAN_UNDER_SIDE: View = { right: [0, 0, 1], up: [1, 0, 0], toward: [0, 1, 0] };

/** The view of a name; a plan is turned so that it fits under the elevation `under`. */
export function viewOf(name: ViewName, under: 'front' | 'side' = 'front'): View {
  if (name === 'front') return FRONT;
  if (name === 'side') return SIDE;
  return under === 'front' ? PLAN_UNDER_FRONT : PLAN_UNDER_SIDE;
}

const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** A rectangle of the view, metres: u to the right, v up. */
export interface Extent {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** A point of the page, CSS pixels from its top left corner, y down. */
export type PagePoint = readonly [x: number, y: number];

/** Left, top, right, bottom on the page, pixels. */
export type Box = readonly [left: number, top: number, right: number, bottom: number];

/** How the world lands on the page. */
export interface Projection {
  readonly view: View;
  /** Pixels a metre. */
  readonly scale: number;
  /** A world point on the page. */
  readonly at: (point: Vec3) => PagePoint;
  /** Metres towards the viewer. */
  readonly near: (point: Vec3) => number;
}

/**
 * Places the view so that u = v = 0 of the world lands at `origin`.
 * @param scale pixels a metre
 */
export function projection(view: View, scale: number, origin: PagePoint): Projection {
  return {
    view,
    scale,
    at: (point) => [
      origin[0] + dot(view.right, point) * scale,
      origin[1] - dot(view.up, point) * scale,
    ],
    near: (point) => dot(view.toward, point),
  };
}

/** A point of the floor plan as a world point at height `y`, metres. */
export const planPoint = ([x, z]: Vec2, y = 0): Vec3 => [x, y, z];

/** The smallest extent round all points, seen in `view`; null without points. */
export function extentOf(view: View, points: Iterable<Vec3>): Extent | null {
  let left = Number.POSITIVE_INFINITY;
  let right = Number.NEGATIVE_INFINITY;
  let bottom = Number.POSITIVE_INFINITY;
  let top = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    const u = dot(view.right, point);
    const v = dot(view.up, point);
    left = Math.min(left, u);
    right = Math.max(right, u);
    bottom = Math.min(bottom, v);
    top = Math.max(top, v);
  }
  return left > right ? null : { left, right, bottom, top };
}
