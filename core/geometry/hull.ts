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
  const first = sorted[0];
  if (first === undefined) return { kind: 'none', vertices: [] };
  if (sorted.length === 1) return { kind: 'point', vertices: sorted };

  const chain: Vec2[] = [];
  for (const point of sorted) extend(chain, point, 0);
  const lower = chain.length;
  for (let i = sorted.length - 2; i >= 0; i--) extend(chain, sorted[i]!, lower - 1);
  chain.pop();

  if (chain.length > 2 && !isSliver(chain)) return { kind: 'area', vertices: chain };
  return { kind: 'line', vertices: [first, sorted[sorted.length - 1]!] };
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

/** The points by x, then z, without those that lie within SAME_POINT of a kept one. */
function distinct(points: readonly Vec2[]): Vec2[] {
  const sorted = [...points];
  if (sorted.length > FEW) sorted.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  else insertionSort(sorted);
  const kept: Vec2[] = [];
  for (const point of sorted) if (!hasNeighbour(kept, point)) kept.push(point);
  return kept;
}

/** Up to here sorting by insertion is quicker than calling a comparison from the engine's sort. */
const FEW = 80;

function insertionSort(points: Vec2[]): void {
  for (let i = 1; i < points.length; i++) {
    const point = points[i]!;
    const [x, z] = point;
    let to = i;
    for (; to > 0; to--) {
      const before = points[to - 1]!;
      if (before[0] < x || (before[0] === x && before[1] <= z)) break;
      points[to] = before;
    }
    points[to] = point;
  }
}

/** Whether one of the points, sorted by x, is the same as a next one; looks back only as far as x allows. */
function hasNeighbour(sorted: readonly Vec2[], point: Vec2): boolean {
  for (let i = sorted.length - 1; i >= 0; i--) {
    const other = sorted[i]!;
    if (point[0] - other[0] > SAME_POINT) return false;
    if (Math.abs(other[1] - point[1]) <= SAME_POINT) return true;
  }
  return false;
}

/**
 * Whether an outline has area by rounding only, for example that of an edge which was rotated: as
 * much as a strip SAME_POINT wide round its bounding box.
 */
function isSliver(vertices: readonly Vec2[]): boolean {
  let area = 0;
  let left = Number.POSITIVE_INFINITY;
  let right = Number.NEGATIVE_INFINITY;
  let near = Number.POSITIVE_INFINITY;
  let far = Number.NEGATIVE_INFINITY;
  let from = vertices[vertices.length - 1]!;
  const [ox, oz] = from;
  for (const to of vertices) {
    area += (from[0] - ox) * (to[1] - oz) - (to[0] - ox) * (from[1] - oz);
    if (to[0] < left) left = to[0];
    if (to[0] > right) right = to[0];
    if (to[1] < near) near = to[1];
    if (to[1] > far) far = to[1];
    from = to;
  }
  return area / 2 <= SAME_POINT * (right - left + far - near);
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
