import {
  containsPoint,
  type Nearest,
  nearestOnPolygon,
  signedMargin,
  type Vec2,
  type Vec3,
} from '../geometry/index.ts';
import { HEADINGS, headingOf } from './heading.ts';
import { tiltAngle } from './region/index.ts';
import type { Ground } from './support.ts';
import type { Margin } from './types.ts';

/** Nearer to the edge than this, the way to it gives no direction, metres. */
const ON_EDGE = 1e-9;

/**
 * Where a centre's plumb point is against a support; null where nothing supports, or where the support
 * has no edge (braced without limit).
 * @param forward which way "forwards" is, a unit direction in plan
 * @param footLength metres; null without feet to compare with
 */
export function marginOf(
  centre: Vec3,
  ground: Ground,
  forward: Vec2,
  footLength: number | null,
): Margin | null {
  const { polygon, functional } = ground.support;
  const plumb: Vec2 = [centre[0], centre[2]];
  const least = nearestBorder(plumb, polygon, ground.open);
  if (least === null) return null;

  const inside = containsPoint(plumb, polygon);
  const edge = inside ? steadied(plumb, polygon, ground.open, forward, least) : least;
  const { from, to, nearest } = edge;
  const distance = inside ? least.distance : 0 - least.distance;
  const direction = directionTo(plumb, edge.distance, nearest, inside, from, to);
  return {
    distance,
    ratio: ground.radius > 0 ? distance / ground.radius : null,
    functional: functionalMargin(plumb, functional, ground.functionalOpen),
    edge: { from, to, nearest },
    direction,
    heading: headingOf(direction, forward),
    footShare: footLength === null ? null : distance / footLength,
    tipAngle: inside ? tipAngle(centre, distance, direction, ground) : 0,
  };
}

/** Edges that are equally near to within this are told in a fixed order, metres: rounding decides nothing. */
const TIE = 1e-6;

/**
 * Of edges that are equally near (a body that stands in the middle) the first by its heading: forwards,
 * then round to the left. Without it the last digit would choose, and the word would flip.
 */
function steadied(
  plumb: Vec2,
  polygon: readonly Vec2[],
  open: readonly number[],
  forward: Vec2,
  least: Nearest,
): Nearest {
  if (least.distance < ON_EDGE) return least;
  const rank = ({ nearest: [x, z] }: Nearest): number =>
    HEADINGS.indexOf(headingOf([x - plumb[0], z - plumb[1]], forward));
  let best = least;
  polygon.forEach((from, i) => {
    if (open.includes(i)) return;
    const edge = nearestOnPolygon(plumb, [from, polygon[(i + 1) % polygon.length]!])!;
    if (edge.distance < least.distance + TIE && rank(edge) < rank(best)) best = edge;
  });
  return best;
}

function functionalMargin(
  plumb: Vec2,
  functional: readonly Vec2[],
  open: readonly number[],
): number | null {
  if (functional.length === 0) return null;
  if (open.length === 0) return signedMargin(plumb, functional);
  const border = nearestBorder(plumb, functional, open);
  if (border === null) return null;
  return containsPoint(plumb, functional) ? border.distance : 0 - border.distance;
}

/** The nearest edge that is a border (not `open`); null where there is none. */
function nearestBorder(
  plumb: Vec2,
  polygon: readonly Vec2[],
  open: readonly number[],
): Nearest | null {
  if (open.length === 0) return nearestOnPolygon(plumb, polygon);
  let best: Nearest | null = null;
  polygon.forEach((from, i) => {
    if (open.includes(i)) return;
    const edge = nearestOnPolygon(plumb, [from, polygon[(i + 1) % polygon.length]!])!;
    if (best === null || edge.distance < best.distance) best = edge;
  });
  return best;
}

function tipAngle(centre: Vec3, distance: number, direction: Vec2, ground: Ground): number {
  // A region's edges are no edges of a body, so gravity is tilted instead. On one level, and for joined
  // bodies (whose tilt the study finds), the edge at the height of the lowest contact.
  const tilt = ground.points && tiltAngle(ground.points, centre, direction, { ends: false });
  return tilt ? tilt.value : Math.atan2(distance, centre[1] - ground.level);
}

/** Unit direction in which the body would tip: out over the nearest edge, or on from it outside. */
function directionTo(
  plumb: Vec2,
  distance: number,
  nearest: Vec2,
  inside: boolean,
  from: Vec2,
  to: Vec2,
): Vec2 {
  if (distance > ON_EDGE) {
    const sign = inside ? 1 / distance : -1 / distance;
    return [(nearest[0] - plumb[0]) * sign, (nearest[1] - plumb[1]) * sign];
  }
  // On the edge: square to it, outwards of a counter-clockwise outline (of a point: nowhere, so +z).
  const x = to[1] - from[1];
  const z = from[0] - to[0];
  const size = Math.hypot(x, z);
  return size === 0 ? [0, 1] : [x / size, z / size];
}
