import type { Vec2 } from '../geometry/index.ts';
import { signedArea } from '../geometry/polygon.ts';

/** A share of a convex outline: `factor` times every point of it (a Minkowski term). */
export interface Term {
  readonly polygon: readonly Vec2[];
  /** Not negative. */
  readonly factor: number;
}

/**
 * How far a point lies outside the Minkowski sum of convex outlines, at least: 0 inside. The sum is
 * never built: a point is in it exactly if no direction square to an edge of a term (or, without
 * area, along one) parts the two, and a sum's support function is the sum of its terms' own.
 * Outside, the true distance may be a little more towards a corner.
 */
export function outsideSum(point: Vec2, terms: readonly Term[]): number {
  let worst = 0;
  for (const { polygon, factor } of terms) {
    if (factor === 0 && terms.length > 1) continue;
    const count = polygon.length;
    for (let i = 0; i < count; i++) {
      const a = polygon[i]!;
      const b = polygon[(i + 1) % count]!;
      const dx = b[0] - a[0];
      const dz = b[1] - a[1];
      const size = Math.hypot(dx, dz);
      if (size === 0) continue;
      worst = Math.max(worst, beyond(point, terms, dz / size, -dx / size));
      // A segment ends somewhere too, and its edge may be walked either way.
      if (count === 2) worst = Math.max(worst, beyond(point, terms, dx / size, dz / size));
    }
  }
  // Points have no edges; the four axes bound them, and cost nothing elsewhere.
  for (const [x, z] of AXES) worst = Math.max(worst, beyond(point, terms, x, z));
  return worst;
}

const AXES = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
] as const;

/** How far the point lies beyond the sum in one direction. */
function beyond(point: Vec2, terms: readonly Term[], x: number, z: number): number {
  let reach = 0;
  for (const { polygon, factor } of terms) {
    let most = Number.NEGATIVE_INFINITY;
    for (const vertex of polygon) {
      const along = vertex[0] * x + vertex[1] * z;
      if (along > most) most = along;
    }
    reach += factor * most;
  }
  return point[0] * x + point[1] * z - reach;
}

/**
 * Distance along a ray to where it enters a convex outline; null where it misses. A segment or a point
 * counts as hit when the ray passes within `near` of it. From inside it is 0.
 * @param direction unit
 * @param polygon vertices in order, either way round
 */
export function entryAlong(
  from: Vec2,
  direction: Vec2,
  polygon: readonly Vec2[],
  near: number,
): number | null {
  if (polygon.length < 3) return passAlong(from, direction, polygon, near);
  const side = Math.sign(signedArea(polygon));
  let enter = 0;
  let leave = Number.POSITIVE_INFINITY;
  let a = polygon[polygon.length - 1]!;
  for (const b of polygon) {
    const nx = side * (b[1] - a[1]);
    const nz = side * (a[0] - b[0]);
    const height = (from[0] - a[0]) * nx + (from[1] - a[1]) * nz;
    const climb = direction[0] * nx + direction[1] * nz;
    if (climb === 0) {
      if (height > 0) return null;
    } else if (climb < 0) enter = Math.max(enter, -height / climb);
    else leave = Math.min(leave, -height / climb);
    a = b;
  }
  return enter <= leave ? enter : null;
}

/** The same for a segment or a point: where the ray passes nearest, if that is near enough. */
function passAlong(
  from: Vec2,
  direction: Vec2,
  [a, b = a]: readonly Vec2[],
  near: number,
): number | null {
  if (a === undefined || b === undefined) return null;
  const places: (readonly [along: number, away: number])[] = [a, b].map((point) => {
    const along = Math.max(0, dot(point, from, direction));
    return [
      along,
      Math.hypot(
        from[0] + along * direction[0] - point[0],
        from[1] + along * direction[1] - point[1],
      ),
    ];
  });
  const ex = b[0] - a[0];
  const ez = b[1] - a[1];
  const cross = direction[0] * ez - direction[1] * ex;
  if (cross !== 0) {
    const along = ((a[0] - from[0]) * ez - (a[1] - from[1]) * ex) / cross;
    const share = ((a[0] - from[0]) * direction[1] - (a[1] - from[1]) * direction[0]) / cross;
    if (along >= 0 && share >= 0 && share <= 1) places.push([along, 0]);
  }
  const hits = places.filter(([, away]) => away <= near).map(([along]) => along);
  return hits.length === 0 ? null : Math.min(...hits);
}

const dot = (point: Vec2, from: Vec2, direction: Vec2): number =>
  (point[0] - from[0]) * direction[0] + (point[1] - from[1]) * direction[1];
