import { orient2d } from 'robust-predicates';
import type { Vec2, Vec3 } from './types.ts';

/** What is left of a set of plan points: nothing, one point, a segment, or an outline with area. */
export type HullKind = 'none' | 'point' | 'line' | 'area';

export interface Hull {
  readonly kind: HullKind;
  /**
   * `area`: strictly convex vertices, counter-clockwise seen with x right and z up, starting at the
   * smallest x (then z). `line`: its two ends. `point`: that point. `none`: empty.
   */
  readonly vertices: readonly Vec2[];
}

/**
 * Points nearer to each other than this are one point, metres. Far below anything that is drawn or
 * measured (a foot outline is known to millimetres), far above rounding of coordinates in metres.
 */
export const SAME_POINT = 1e-9;

/**
 * Positive when c lies to the left of a -> b seen with x right and z up, negative to the right,
 * exactly zero when the three are collinear. The sign is that of exact arithmetic (Shewchuk 1997).
 */
export function turn(a: Vec2, b: Vec2, c: Vec2): number {
  // robust-predicates counts counter-clockwise with the second axis pointing down.
  return -orient2d(a[0], a[1], b[0], b[1], c[0], c[1]);
}

/**
 * Convex hull in plan by the monotone chain of Andrew (1979), with exact orientation tests, so that
 * collinear and near-duplicate points never flip a verdict. Points within SAME_POINT of a kept one
 * are dropped; points on an edge are no vertices. The result does not depend on the order of points.
 */
export function convexHull(points: readonly Vec2[]): Hull {
  const sorted = distinct(points);
  if (sorted.length === 0) return { kind: 'none', vertices: [] };
  if (sorted.length === 1) return { kind: 'point', vertices: sorted };

  const chain: Vec2[] = [];
  for (const point of sorted) extend(chain, point, 0);
  const lower = chain.length;
  for (let i = sorted.length - 2; i >= 0; i--) extend(chain, sorted[i]!, lower - 1);
  chain.pop();

  if (chain.length > 2 && !isSliver(chain)) return { kind: 'area', vertices: chain };
  return { kind: 'line', vertices: [sorted[0]!, sorted[sorted.length - 1]!] };
}

/** Adds a point to a chain, dropping vertices (never below index `floor`) that would not turn left. */
function extend(chain: Vec2[], point: Vec2, floor: number): void {
  while (
    chain.length >= floor + 2 &&
    turn(chain[chain.length - 2]!, chain[chain.length - 1]!, point) <= 0
  )
    chain.pop();
  chain.push(point);
}

function distinct(points: readonly Vec2[]): Vec2[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const kept: Vec2[] = [];
  for (const point of sorted) if (!hasNeighbour(kept, point)) kept.push(point);
  return kept;
}

/** Whether one of the points, sorted by x, is the same as a next one; looks back only as far as x allows. */
function hasNeighbour(sorted: readonly Vec2[], point: Vec2): boolean {
  for (let i = sorted.length - 1; i >= 0; i--) {
    if (point[0] - sorted[i]![0] > SAME_POINT) return false;
    if (near(sorted[i]!, point)) return true;
  }
  return false;
}

const near = (a: Vec2, b: Vec2): boolean =>
  Math.abs(a[0] - b[0]) <= SAME_POINT && Math.abs(a[1] - b[1]) <= SAME_POINT;

/**
 * Whether all vertices lie within SAME_POINT of the longest diagonal from the first: an area by
 * rounding only, for example the outline of an edge that was rotated.
 */
function isSliver(vertices: readonly Vec2[]): boolean {
  const from = vertices[0]!;
  let to = from;
  let reach = 0;
  for (const vertex of vertices) {
    const distance = Math.hypot(vertex[0] - from[0], vertex[1] - from[1]);
    if (distance > reach) {
      reach = distance;
      to = vertex;
    }
  }
  return vertices.every((vertex) => Math.abs(turn(from, to, vertex)) <= SAME_POINT * reach);
}

/**
 * The base of support of points that carry weight: the hull's vertices in plan (x, z), metres,
 * counter-clockwise seen with x right and z up; one or two vertices when it has no area, none for no
 * points. Points in space are dropped along gravity.
 *
 * This is the exact region of static equilibrium when the points lie in one plane, face it squarely
 * and the vertical lies inside their friction cones; for other contacts use `equilibriumRegion`.
 */
export function supportPolygon(points: readonly (Vec2 | Vec3)[]): readonly Vec2[] {
  return convexHull(points.map(toPlan)).vertices;
}

/** Drops a point along gravity; a point that is in plan already stays as it is. */
export function toPlan(point: Vec2 | Vec3): Vec2 {
  return point.length === 3 ? [point[0], point[2]] : point;
}
