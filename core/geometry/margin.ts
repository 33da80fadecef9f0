import { turn } from './hull.ts';
import type { Vec2 } from './types.ts';

/** The place on an outline that is nearest to a point. */
export interface Nearest {
  /** The edge it lies on, in the order of the outline; both ends are one point where there is one. */
  readonly from: Vec2;
  readonly to: Vec2;
  readonly nearest: Vec2;
  /** Euclidean distance from the point, metres, never negative. */
  readonly distance: number;
}

/**
 * Nearest place on the edges of a polygon (closed by itself), a segment (2 vertices) or a point (1).
 * On a tie the first edge in order wins. Null for no vertices.
 */
export function nearestOnPolygon(point: Vec2, polygon: readonly Vec2[]): Nearest | null {
  const count = polygon.length;
  if (count === 0) return null;
  const edges = count > 2 ? count : Math.max(count - 1, 1);
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < edges; i++) {
    const from = polygon[i]!;
    const to = polygon[i + 1 < count ? i + 1 : 0]!;
    const share = shareOnSegment(point, from, to);
    const dx = from[0] + share * (to[0] - from[0]) - point[0];
    const dz = from[1] + share * (to[1] - from[1]) - point[1];
    const square = dx * dx + dz * dz;
    if (square < least) {
      least = square;
      best = i;
    }
  }
  const from = polygon[best]!;
  const to = polygon[best + 1 < count ? best + 1 : 0]!;
  return { from, to, nearest: nearestOnSegment(point, from, to), distance: Math.sqrt(least) };
}

/** Nearest point of the segment a-b; a itself when the two are one. */
export function nearestOnSegment(point: Vec2, a: Vec2, b: Vec2): Vec2 {
  const share = shareOnSegment(point, a, b);
  if (share === 0) return a;
  if (share === 1) return b;
  return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
}

/** How far along a-b its nearest point lies: 0 at a, 1 at b. */
function shareOnSegment(point: Vec2, a: Vec2, b: Vec2): number {
  const dx = b[0] - a[0];
  const dz = b[1] - a[1];
  const square = dx * dx + dz * dz;
  if (square === 0) return 0;
  const share = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dz) / square;
  return Math.min(Math.max(share, 0), 1);
}

/**
 * Whether a point lies in a convex polygon or on its edge, by exact orientation tests. Vertices in
 * order, either way round; false for fewer than three.
 */
export function containsPoint(point: Vec2, polygon: readonly Vec2[]): boolean {
  if (polygon.length < 3) return false;
  let left = false;
  let right = false;
  let from = polygon[polygon.length - 1]!;
  for (const to of polygon) {
    const side = turn(from, to, point);
    if (side > 0) left = true;
    if (side < 0) right = true;
    if (left && right) return false;
    from = to;
  }
  // Neither side: all collinear, so there is no inside.
  return left || right;
}

/**
 * Signed distance from a point to the edge of a convex polygon, metres: min over unit u of
 * (h(u) - point.u) with h the support function. Inside it is the distance to the nearest edge;
 * outside minus the Euclidean distance, corners included. A segment (2 vertices) or a point (1) has
 * no inside: the result is <= 0. Without vertices nothing supports: -Infinity.
 */
export function signedMargin(point: Vec2, polygon: readonly Vec2[]): number {
  const nearest = nearestOnPolygon(point, polygon);
  if (nearest === null) return Number.NEGATIVE_INFINITY;
  return containsPoint(point, polygon) ? nearest.distance : 0 - nearest.distance;
}
