import { getStroke } from 'perfect-freehand';
import type { Spot } from './surface.ts';

/** Ink and straight marks as paths of an SVG, in CSS pixels. */

/** Width of ink under middling pressure, pixels. */
const INK = 5;
const HEAD = 11;
const TICK = 6;
const ARC = 26;

export interface InkPoint extends Spot {
  /** 0 to 1. */
  readonly pressure: number;
}

/** The outline of a stroke of ink, smoothed; `done`: the hand has lifted. */
export function inkPath(points: readonly InkPoint[], { pen = false, done = true } = {}): string {
  const outline = getStroke(
    points.map(({ x, y, pressure }) => [x, y, pressure]),
    {
      size: INK,
      thinning: 0.6,
      smoothing: 0.55,
      streamline: 0.45,
      simulatePressure: !pen,
      last: done,
    },
  );
  const [first] = outline;
  if (first === undefined) return '';
  // Corners of the outline become control points, so that it runs smoothly through their middles.
  const middle = (i: number): string => {
    const [a, b] = [outline[i], outline[(i + 1) % outline.length]];
    return `${(((a?.[0] ?? 0) + (b?.[0] ?? 0)) / 2).toFixed(1)} ${(((a?.[1] ?? 0) + (b?.[1] ?? 0)) / 2).toFixed(1)}`;
  };
  const curves = outline.map(([x, y], i) => `Q${x.toFixed(1)} ${y.toFixed(1)} ${middle(i)}`);
  return `M${middle(outline.length - 1)}${curves.join('')}Z`;
}

const unit = (from: Spot, to: Spot): readonly [number, number, number] => {
  const size = Math.hypot(to.x - from.x, to.y - from.y);
  return size < 1e-6 ? [1, 0, 0] : [(to.x - from.x) / size, (to.y - from.y) / size, size];
};

const go = (x: number, y: number): string => `${x.toFixed(1)} ${y.toFixed(1)}`;

export const linePath = (from: Spot, to: Spot): string =>
  `M${go(from.x, from.y)}L${go(to.x, to.y)}`;

export function arrowPath(from: Spot, to: Spot): string {
  const [x, y] = unit(from, to);
  const wing = (side: 1 | -1): string =>
    go(to.x - HEAD * x - side * HEAD * 0.45 * y, to.y - HEAD * y + side * HEAD * 0.45 * x);
  return `${linePath(from, to)}M${wing(1)}L${go(to.x, to.y)}L${wing(-1)}`;
}

/** A dimension line: a line with a slanted tick at each end, as on a builder's drawing. */
export function lengthPath(from: Spot, to: Spot): string {
  const [x, y] = unit(from, to);
  const tick = ({ x: px, y: py }: Spot): string => {
    const [tx, ty] = [(x - y) * TICK * 0.8, (y + x) * TICK * 0.8];
    return `M${go(px - tx, py - ty)}L${go(px + tx, py + ty)}`;
  };
  return linePath(from, to) + tick(from) + tick(to);
}

/** Two arms with an arc between them, and where the number stands. */
export function anglePath(
  from: Spot,
  vertex: Spot,
  to: Spot,
): { readonly path: string; readonly label: Spot } {
  const [ax, ay, a] = unit(vertex, from);
  const [bx, by, b] = unit(vertex, to);
  const radius = Math.max(8, Math.min(ARC, a * 0.6, b * 0.6));
  const sweep = ax * by - ay * bx > 0 ? 1 : 0;
  const arc =
    `M${go(vertex.x + ax * radius, vertex.y + ay * radius)}` +
    `A${radius} ${radius} 0 0 ${sweep} ${go(vertex.x + bx * radius, vertex.y + by * radius)}`;
  const [mx, my] = [ax + bx, ay + by];
  const size = Math.hypot(mx, my);
  // Arms that lie straight on have no middle way: the number stands above the vertex.
  const [lx, ly] = size < 0.05 ? [0, -1] : [mx / size, my / size];
  return {
    path: linePath(vertex, from) + linePath(vertex, to) + arc,
    label: { x: vertex.x + lx * (radius + 18), y: vertex.y + ly * (radius + 18) },
  };
}

/** How near a place is to a line through places, pixels; infinite without places. */
export function nearness(spot: Spot, places: readonly Spot[]): number {
  const [only] = places;
  if (places.length === 1 && only) return Math.hypot(spot.x - only.x, spot.y - only.y);
  let nearest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < places.length; i++) {
    const [a, b] = [places[i - 1] as Spot, places[i] as Spot];
    const [x, y, size] = unit(a, b);
    const along = Math.max(0, Math.min(size, (spot.x - a.x) * x + (spot.y - a.y) * y));
    nearest = Math.min(nearest, Math.hypot(spot.x - a.x - x * along, spot.y - a.y - y * along));
  }
  return nearest;
}
