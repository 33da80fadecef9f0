import { convexHull } from '../geometry/index.ts';
import type { PagePoint } from './view.ts';

/** Outline round page points, or null when they span no area. */
export function outlineOf(points: readonly PagePoint[]): readonly PagePoint[] | null {
  const hull = convexHull(points);
  return hull.kind === 'area' ? hull.vertices : null;
}

/** Ends of a piece of a line, as shares of its direction from its first point. */
export type Interval = readonly [from: number, to: number];

/**
 * Where a straight line is inside a convex polygon (Cyrus and Beck 1978), or null.
 * @param through a point of the line
 * @param along its direction, any length
 * @param deep how far inside counts, pixels: above 0 a line along an edge is outside
 */
export function inside(
  polygon: readonly PagePoint[],
  through: PagePoint,
  along: PagePoint,
  deep = 0,
): Interval | null {
  let enter = Number.NEGATIVE_INFINITY;
  let leave = Number.POSITIVE_INFINITY;
  const turning = Math.sign(signedArea(polygon));
  for (const [i, a] of polygon.entries()) {
    const b = polygon[(i + 1) % polygon.length] as PagePoint;
    // Inward normal of the edge, whichever way round the polygon runs.
    const normal: PagePoint = [-(b[1] - a[1]) * turning, (b[0] - a[0]) * turning];
    const speed = normal[0] * along[0] + normal[1] * along[1];
    const depth =
      normal[0] * (through[0] - a[0]) +
      normal[1] * (through[1] - a[1]) -
      deep * Math.hypot(normal[0], normal[1]);
    if (speed === 0) {
      if (depth < 0) return null;
    } else if (speed > 0) enter = Math.max(enter, -depth / speed);
    else leave = Math.min(leave, -depth / speed);
  }
  return enter < leave ? [enter, leave] : null;
}

/** The piece of a straight line inside a convex polygon, or null. */
export function chord(
  polygon: readonly PagePoint[],
  through: PagePoint,
  along: PagePoint,
): readonly [PagePoint, PagePoint] | null {
  const span = inside(polygon, through, along);
  return span && [onLine(through, along, span[0]), onLine(through, along, span[1])];
}

const onLine = (from: PagePoint, along: PagePoint, share: number): PagePoint => [
  from[0] + along[0] * share,
  from[1] + along[1] * share,
];

/** Convex polygons; what lies in all of them at once is hidden. */
export type Cover = readonly (readonly PagePoint[])[];

// Shapes that share an arc must not hide it from each other.
const DEEP = 0.05;

/** The pieces of a polygon's outline that no cover hides, as polylines. */
export function uncovered(outline: readonly PagePoint[], covers: readonly Cover[]): PagePoint[][] {
  const lines: PagePoint[][] = [];
  let line: PagePoint[] = [];
  const close = (): void => {
    if (line.length > 1) lines.push(line);
    line = [];
  };
  for (const [i, a] of outline.entries()) {
    const b = outline[(i + 1) % outline.length] as PagePoint;
    const along: PagePoint = [b[0] - a[0], b[1] - a[1]];
    for (const [from, to] of gaps(covers, a, along)) {
      if (from > 0) close();
      if (line.length === 0) line.push(from > 0 ? onLine(a, along, from) : a);
      line.push(to < 1 ? onLine(a, along, to) : b);
      if (to < 1) close();
    }
    if (line.length > 0 && line.at(-1) !== b) close();
  }
  const [first] = lines;
  // A line that began at the first corner goes on from the last one.
  if (line.length > 1 && first && first[0] === outline[0]) lines[0] = [...line, ...first.slice(1)];
  else close();
  return lines;
}

/** Where an edge is not covered: intervals within 0 to 1, in order. */
function gaps(covers: readonly Cover[], a: PagePoint, along: PagePoint): Interval[] {
  if (along[0] === 0 && along[1] === 0) return [];
  const hidden: Interval[] = [];
  for (const cover of covers) {
    let from = 0;
    let to = 1;
    for (const polygon of cover) {
      const span = inside(polygon, a, along, DEEP) ?? [1, 0];
      from = Math.max(from, span[0]);
      to = Math.min(to, span[1]);
    }
    if (from < to) hidden.push([from, to]);
  }
  hidden.sort((p, q) => p[0] - q[0]);
  const open: Interval[] = [];
  let reached = 0;
  for (const [from, to] of hidden) {
    if (from > reached) open.push([reached, from]);
    reached = Math.max(reached, to);
  }
  if (reached < 1) open.push([reached, 1]);
  return open;
}

function signedArea(polygon: readonly PagePoint[]): number {
  let doubled = 0;
  for (const [i, a] of polygon.entries()) {
    const b = polygon[(i + 1) % polygon.length] as PagePoint;
    doubled += a[0] * b[1] - a[1] * b[0];
  }
  return doubled / 2;
}

/** Parallel strokes at 45 degrees that fill a convex polygon, `spacing` pixels apart. */
export function hatch(
  polygon: readonly PagePoint[],
  spacing: number,
): readonly (readonly PagePoint[])[] {
  // x + y is constant along a stroke that rises to the right; counted from 0, strokes of neighbours meet.
  const sums = polygon.map(([x, y]) => x + y);
  const step = spacing * Math.SQRT2;
  const strokes: (readonly PagePoint[])[] = [];
  const last = Math.max(...sums);
  for (let sum = Math.ceil(Math.min(...sums) / step) * step; sum <= last; sum += step) {
    const stroke = chord(polygon, [sum, 0], [-1, 1]);
    if (stroke !== null) strokes.push(stroke);
  }
  return strokes;
}
