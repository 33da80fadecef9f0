import type { Vec2, Vec3 } from './types.ts';

/** Area of a simple polygon by the shoelace rule, square metres; 0 for fewer than three vertices. */
export function polygonArea(polygon: readonly Vec2[]): number {
  return Math.abs(signedArea(polygon));
}

/** Positive when counter-clockwise seen with x right and z up. */
export function signedArea(polygon: readonly Vec2[]): number {
  // Relative to the first vertex: a scene far from the origin loses no digits.
  const origin = polygon[0];
  if (origin === undefined) return 0;
  let sum = 0;
  for (let i = 2; i < polygon.length; i++) {
    const a = polygon[i - 1]!;
    const b = polygon[i]!;
    sum += (a[0] - origin[0]) * (b[1] - origin[1]) - (b[0] - origin[0]) * (a[1] - origin[1]);
  }
  return sum / 2;
}

/**
 * Cuts a polygon by a half-space in one pass of Sutherland & Hodgman (1974): what is left where
 * `height` is <= 0, vertices on the border included. Works for a planar convex polygon in space, a
 * segment (2 vertices) and a point (1); a polygon that only touches the border leaves that edge or
 * corner.
 * @param height signed distance of a vertex beyond the border; must be linear over the polygon
 * @param mix the point at `share` of the way from a to b
 */
function clip<T>(
  polygon: readonly T[],
  height: (vertex: T) => number,
  mix: (a: T, b: T, share: number) => T,
): readonly T[] {
  const heights = polygon.map(height);
  if (heights.every((value) => value <= 0)) return polygon;
  const kept: T[] = [];
  // A segment is walked once, from its first vertex to its second; a polygon is closed.
  const start = polygon.length === 2 ? 1 : 0;
  const add = (i: number, previous: number) => {
    const a = heights[previous]!;
    const b = heights[i]!;
    if ((a < 0 && b > 0) || (a > 0 && b < 0))
      kept.push(mix(polygon[previous]!, polygon[i]!, a / (a - b)));
    if (b <= 0) kept.push(polygon[i]!);
  };
  if (start === 1 && heights[0]! <= 0) kept.push(polygon[0]!);
  for (let i = start; i < polygon.length; i++) add(i, i === 0 ? polygon.length - 1 : i - 1);
  return kept;
}

/**
 * The part of a planar convex polygon in space where normal . p <= offset. Vertices keep their
 * order; 2 vertices mean a segment, 1 a point, none that nothing is left. Metres.
 */
export function clipByHalfSpace(
  polygon: readonly Vec3[],
  normal: Vec3,
  offset: number,
): readonly Vec3[] {
  const height = (p: Vec3) => normal[0] * p[0] + normal[1] * p[1] + normal[2] * p[2] - offset;
  // Mostly nothing is cut off, and this runs for every patch on every edit.
  let highest = Number.NEGATIVE_INFINITY;
  for (const point of polygon) highest = Math.max(highest, height(point));
  if (highest <= 0) return polygon;
  return clip(polygon, height, (a, b, share) => [
    a[0] + share * (b[0] - a[0]),
    a[1] + share * (b[1] - a[1]),
    a[2] + share * (b[2] - a[2]),
  ]);
}

/** The part of a convex plan polygon (or segment, or point) where normal . p <= offset. */
export function clipByHalfPlane(
  polygon: readonly Vec2[],
  normal: Vec2,
  offset: number,
): readonly Vec2[] {
  return clip(
    polygon,
    (p) => normal[0] * p[0] + normal[1] * p[1] - offset,
    (a, b, share) => [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])],
  );
}

/**
 * The part of a convex polygon (or segment, or point) inside another convex polygon, by Sutherland
 * & Hodgman (1974). Either may run either way round; the result runs like the first. A `window`
 * without area lets nothing through.
 */
export function clipConvex(polygon: readonly Vec2[], window: readonly Vec2[]): readonly Vec2[] {
  const area = signedArea(window);
  if (area === 0) return [];
  const side = Math.sign(area);
  let rest = polygon;
  for (let i = 0; i < window.length && rest.length > 0; i++) {
    const from = window[i]!;
    const to = window[(i + 1) % window.length]!;
    const outward: Vec2 = [side * (to[1] - from[1]), side * (from[0] - to[0])];
    rest = clipByHalfPlane(rest, outward, outward[0] * from[0] + outward[1] * from[1]);
  }
  return rest;
}
