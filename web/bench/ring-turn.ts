import { cross, dot, normalise, type Vec2, type Vec3 } from '../../core/geometry/index.ts';
import type { Eye } from './camera.ts';

/** Rings whose plane shows less than this share of its area are pulled along, not round. */
const EDGE_ON = 0.35;
/** The least way round, as a share of the radius, that a pull along counts by where the ring turns away. */
const LEAST_WAY = 0.5;

/** A ring of unit radius round an axis, as it lies on the page: y down. */
export interface PageRing {
  /** Where its point at an angle is, from the middle. */
  at(angle: number): Vec2;
  /** How near to the viewer that point is, -1 to 1. */
  near(angle: number): number;
  /** Share of its area that is seen: 1 from straight ahead, 0 on edge; its sign is the way it turns. */
  readonly seen: number;
}

/** @param axis unit vector, right-handed */
export function pageRing(axis: Vec3, { right, up, towards }: Eye): PageRing {
  // Any direction square to the axis does; away from the one that it nearly is.
  const beside: Vec3 = Math.abs(axis[1]) < 0.9 ? [0, 1, 0] : [0, 0, 1];
  const u = normalise(cross(axis, beside));
  const v = cross(axis, u);
  const along = (way: Vec3, angle: number): number =>
    dot(u, way) * Math.cos(angle) + dot(v, way) * Math.sin(angle);
  return {
    at: (angle) => [along(right, angle), -along(up, angle)],
    near: (angle) => along(towards, angle),
    seen: dot(axis, towards),
  };
}

/**
 * Follows a hand that pulls a ring: gives how far round it has gone, radians, for places on the page
 * from the ring's middle, in radii. Whole turns add up: the angle is followed, not read off anew. A ring
 * that is seen on edge is pulled along its line, by the side that is nearer.
 */
export function ringTurn(ring: PageRing, grabbed: Vec2): (at: Vec2) => number {
  if (Math.abs(ring.seen) < EDGE_ON) return along(ring, grabbed);
  const [ux, uy] = ring.at(0);
  const [vx, vy] = ring.at(Math.PI / 2);
  const area = ux * vy - uy * vx;
  const angleAt = ([x, y]: Vec2): number =>
    Math.atan2((ux * y - uy * x) / area, (x * vy - y * vx) / area);
  let last = angleAt(grabbed);
  let turned = 0;
  return (at) => {
    const now = angleAt(at);
    turned += Math.atan2(Math.sin(now - last), Math.cos(now - last));
    last = now;
    return turned;
  };
}

function along(ring: PageRing, grabbed: Vec2): (at: Vec2) => number {
  const angle = nearest(ring, grabbed);
  const [x, y] = ring.at(angle + Math.PI / 2);
  const way = Math.max(Math.hypot(x, y), LEAST_WAY);
  const [dx, dy] = [x / way, y / way];
  return (at) => ((at[0] - grabbed[0]) * dx + (at[1] - grabbed[1]) * dy) / way;
}

/** The angle of the ring's point that lies under a place, of two the nearer to the viewer. */
function nearest(ring: PageRing, [x, y]: Vec2): number {
  const off = (angle: number): number => {
    const [rx, ry] = ring.at(angle);
    return Math.hypot(rx - x, ry - y) - 0.1 * ring.near(angle);
  };
  return CIRCLE.reduce((best, angle) => (off(angle) < off(best) ? angle : best));
}

const SIDES = 72;
/** Angles round a circle, for drawing and looking. */
export const CIRCLE: readonly number[] = Array.from(
  { length: SIDES },
  (_, i) => (i * 2 * Math.PI) / SIDES,
);
