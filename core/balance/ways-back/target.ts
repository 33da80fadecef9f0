import {
  clipByHalfPlane,
  nearestOnPolygon,
  signedMargin,
  type Vec2,
} from '../../geometry/index.ts';
import type { Support } from '../types.ts';

/** The part of a convex polygon (counter-clockwise) that lies `inset` inside every edge. */
export function eroded(polygon: readonly Vec2[], inset: number): readonly Vec2[] {
  let left = polygon;
  polygon.forEach((from, i) => {
    const to = polygon[(i + 1) % polygon.length]!;
    const size = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (size < 1e-12 || left.length === 0) return;
    // Outward of a counter-clockwise outline.
    const normal: Vec2 = [(to[1] - from[1]) / size, (from[0] - to[0]) / size];
    left = clipByHalfPlane(left, normal, normal[0] * from[0] + normal[1] * from[1] - inset);
  });
  return left;
}

/** Where the plumb point shall go, and how far inside that is. */
export interface Aim {
  readonly point: Vec2;
  readonly inset: number;
}

/**
 * The nearest place for the plumb point that lies `inset` inside the support; the inset is halved until
 * there is room for it. Null where the support has no area.
 */
export function aimAt(plumb: Vec2, outline: readonly Vec2[], inset: number): Aim | null {
  if (outline.length < 3) return null;
  for (let k = 0, room = inset; k < 8; k++, room /= 2) {
    const inside = eroded(outline, room);
    if (inside.length < 3) continue;
    if (signedMargin(plumb, inside) >= 0) return { point: plumb, inset: room };
    return { point: nearestOnPolygon(plumb, inside)!.nearest, inset: room };
  }
  return null;
}

/** The outline that a verdict of `holds` asks for: the functional part, or the whole where there is none. */
export const carryingOutline = ({ functional, polygon }: Support): readonly Vec2[] =>
  functional.length > 2 ? functional : polygon;
