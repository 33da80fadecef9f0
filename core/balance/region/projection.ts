import { convexHull } from '../../geometry/hull.ts';
import { signedMargin } from '../../geometry/margin.ts';
import type { Vec2 } from '../../geometry/types.ts';

/**
 * A convex set in plan from its support function alone, by iterative projection (Bretl & Lall 2008,
 * IEEE T-RO 24(4) 794-807): each question "how far in direction u" gives a point of the set (inner
 * polygon) and a line that it cannot cross (outer polygon); edges are refined until the two agree.
 * Edges are taken in angular order rather than by largest area, so that each question is near the
 * last one and a warm-started program answers it in a few pivots (mechanics.md 3.2).
 */

/** A farthest point of the set in a direction, and how much farther the true set may reach. */
export interface Farthest {
  readonly point: Vec2;
  readonly shortfall: number;
}

/** Farthest point in unit direction (ux, uz); null when the set has no end that way. */
export type Oracle = (ux: number, uz: number) => Farthest | null;

export interface Projection {
  /** Inner polygon, counter-clockwise seen with x right and z up; 1 or 2 vertices when flat. */
  readonly vertices: readonly Vec2[];
  /** No point of the set lies farther outside the inner polygon than this, metres. */
  readonly error: number;
}

interface Corner {
  readonly point: Vec2;
  /** A direction in which it is farthest. */
  readonly u: Vec2;
}

/** Widths below this are no area, metres. */
const FLAT = 1e-7;
/** Share of the tolerance by which a border still counts as straight. */
const STRAIGHT = 1e-2;
/** Splits of one starting edge; each halves the turn of the border, so 40 is beyond any curve. */
const DEPTH = 40;

/** @returns null as soon as the set turns out to have no end in some direction */
export function project(oracle: Oracle, tolerance: number): Projection | null {
  let error = 0;
  let unbounded = false;

  const ask = (ux: number, uz: number): Vec2 | null => {
    const found = oracle(ux, uz);
    if (found === null) {
      unbounded = true;
      return null;
    }
    error = Math.max(error, found.shortfall);
    return found.point;
  };

  /** Points strictly between two corners, in order. */
  const refine = (a: Corner, b: Corner, fine: number, depth: number, out: Vec2[]): void => {
    const dx = b.point[0] - a.point[0];
    const dz = b.point[1] - a.point[1];
    const size = Math.hypot(dx, dz);
    if (unbounded || size <= 1e-12) return;
    const u: Vec2 = [dz / size, -dx / size];
    const apex = apexHeight(a, b, u);
    if (apex <= fine || depth === 0) {
      error = Math.max(error, apex);
      return;
    }
    const point = ask(u[0], u[1]);
    if (point === null) return;
    const gain = u[0] * (point[0] - a.point[0]) + u[1] * (point[1] - a.point[1]);
    // Every point found is kept, also within the tolerance: it costs nothing more and leaves about a
    // quarter of the error. Only where the edge itself is the border is there nothing to keep.
    if (gain <= STRAIGHT * fine) {
      error = Math.max(error, gain);
      return;
    }
    const middle: Corner = { point, u };
    refine(a, middle, fine, depth - 1, out);
    out.push(point);
    refine(middle, b, fine, depth - 1, out);
  };

  const corners: Corner[] = [];
  for (const u of [
    [1, 0],
    [0, 1],
    [-1, 0],
    [0, -1],
  ] as const) {
    const point = ask(u[0], u[1]);
    if (point === null) return null;
    corners.push({ point, u });
  }
  const walk = (fine: number): readonly Vec2[] => {
    const points: Vec2[] = [];
    corners.forEach((corner, i) => {
      points.push(corner.point);
      refine(corner, corners[(i + 1) % 4]!, fine, DEPTH, points);
    });
    return convexHull(points).vertices;
  };
  let vertices = walk(tolerance);
  if (unbounded) return null;
  // A set narrower than the tolerance: make sure that it is flat before calling it a line.
  if (vertices.length <= 2 && tolerance > FLAT) {
    error = 0;
    vertices = walk(FLAT);
    if (unbounded) return null;
  }
  return { vertices, error };
}

/**
 * Height above edge a-b of the corner where the two lines that bound the set at a and at b meet:
 * what the set can still have beyond the edge. Infinity where the lines are parallel.
 */
function apexHeight(a: Corner, b: Corner, u: Vec2): number {
  const cross = a.u[0] * b.u[1] - a.u[1] * b.u[0];
  if (Math.abs(cross) < 1e-12) return Number.POSITIVE_INFINITY;
  const ha = a.u[0] * a.point[0] + a.u[1] * a.point[1];
  const hb = b.u[0] * b.point[0] + b.u[1] * b.point[1];
  const x = (ha * b.u[1] - hb * a.u[1]) / cross;
  const z = (a.u[0] * hb - b.u[0] * ha) / cross;
  return Math.max(0, u[0] * (x - a.point[0]) + u[1] * (z - a.point[1]));
}

/**
 * The farthest that a convex set can reach outside a polygon inside it, when `oracle` bounds the set
 * in the directions of the polygon's edges and of the axes; Infinity when it has no end.
 */
export function reachBeyond(oracle: Oracle, vertices: readonly Vec2[]): number {
  const directions: Vec2[] = [
    [1, 0],
    [0, 1],
    [-1, 0],
    [0, -1],
  ];
  vertices.forEach((a, i) => {
    const b = vertices[(i + 1) % vertices.length]!;
    const size = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (size > 1e-12) directions.push([(b[1] - a[1]) / size, (a[0] - b[0]) / size]);
  });
  directions.sort((a, b) => Math.atan2(a[1], a[0]) - Math.atan2(b[1], b[0]));
  const origin = vertices[0]!;
  const lines: { u: Vec2; h: number }[] = [];
  for (const u of directions) {
    const found = oracle(u[0], u[1]);
    if (found === null) return Number.POSITIVE_INFINITY;
    // Relative to a vertex: distances from a far origin would lose digits.
    const h = u[0] * (found.point[0] - origin[0]) + u[1] * (found.point[1] - origin[1]);
    lines.push({ u, h: h + found.shortfall });
  }
  let worst = 0;
  lines.forEach((a, i) => {
    const b = lines[(i + 1) % lines.length]!;
    const cross = a.u[0] * b.u[1] - a.u[1] * b.u[0];
    if (cross < 1e-9) return;
    const corner: Vec2 = [
      origin[0] + (a.h * b.u[1] - b.h * a.u[1]) / cross,
      origin[1] + (a.u[0] * b.h - b.u[0] * a.h) / cross,
    ];
    worst = Math.max(worst, -signedMargin(corner, vertices));
  });
  return worst;
}
