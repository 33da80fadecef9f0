import type { Contact } from '../contact/index.ts';
import {
  convexHull,
  type HullKind,
  inscribedCircle,
  polygonArea,
  type Vec2,
} from '../geometry/index.ts';
import type { ContactPoint, EquilibriumRegion } from './region/index.ts';
import { equilibriumRegion } from './region/index.ts';
import type { Support } from './types.ts';

/** Contacts whose heights differ by less than this lie on one level, metres (rounding, not a ruler). */
const LEVEL = 1e-6;

/** Faces steeper than 60 degrees count as sides: what leans on them cannot stand on them. */
export const SIDE = Math.cos(Math.PI / 3);

/**
 * The most that a contact may press, in body weights, so that a figure is not said to stand wedged
 * between floor and wall by pushes that no one has (that forces exist is not enough). Design values of
 * ours, no source: a quarter with an arm against a side and a whole one down on it; half with the
 * back, the hip or a foot against a side. What stands on feet, knees or seat has no cap.
 */
const CAPS = { armSideways: 0.25, armDown: 1, sideways: 0.5 } as const;

/** A support, with what is needed to read a margin against it. */
export interface Ground {
  readonly support: Support;
  /** Radius of the largest circle inside, metres; 0 without area. */
  readonly radius: number;
  /** Height of the lowest contact, metres; 0 without contacts. */
  readonly level: number;
  /** True where something touches, but too slippery to stand on: the region is empty for that alone. */
  readonly slips: boolean;
}

/**
 * The base of support of some contacts. Level ones: the convex hull, which is exact (every point
 * inside can be held by vertical pushes, none outside). All others: the region of static
 * equilibrium with the surfaces' friction, never a hull of points at different heights.
 * @param single whether the contacts hold one stiff body
 */
export function groundOf(contacts: readonly Contact[], single: boolean): Ground {
  const points: Vec2[] = [];
  const functional: Vec2[] = [];
  let level = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let flat = true;
  for (const contact of contacts) {
    if (contact.normal[1] < 1 - 1e-12) flat = false;
    for (const [x, y, z] of contact.outline) {
      points.push([x, z]);
      if (y < level) level = y;
      if (y > highest) highest = y;
    }
    for (const [x, , z] of contact.functional) functional.push([x, z]);
  }
  const ids = contacts.map(({ id }) => id);
  if (points.length === 0 || (flat && highest - level <= LEVEL)) {
    const { kind, vertices } = convexHull(points);
    const carrying = convexHull(functional).vertices;
    return {
      support: supportOf(kind, vertices, carrying, ids, 'hull', true),
      radius: radiusOf(kind, vertices),
      level: points.length === 0 ? 0 : level,
      slips: false,
    };
  }
  const region = equilibriumRegion(pushes(contacts, 'outline'));
  const vertices = outlineOf(region);
  const carrying = outlineOf(equilibriumRegion(pushes(contacts, 'functional')));
  const kind = KINDS[Math.min(vertices.length, 3)]!;
  const basis = region.kind === 'region' && region.exact ? 'hull' : 'region';
  return {
    support: supportOf(kind, vertices, carrying, ids, basis, single),
    radius: radiusOf(kind, vertices),
    level,
    slips: region.kind === 'empty' && region.reason === 'too slippery',
  };
}

const KINDS: readonly HullKind[] = ['none', 'point', 'line', 'area'];

const supportOf = (
  kind: HullKind,
  polygon: readonly Vec2[],
  functional: readonly Vec2[],
  contacts: readonly string[],
  basis: Support['basis'],
  exact: boolean,
): Support => ({ kind, polygon, functional, area: polygonArea(polygon), contacts, basis, exact });

const radiusOf = (kind: HullKind, polygon: readonly Vec2[]): number =>
  kind === 'area' ? (inscribedCircle(polygon)?.radius ?? 0) : 0;

/** The drawn part of a region: all of it, or what lies within some metres of an endless one. */
function outlineOf(region: EquilibriumRegion): readonly Vec2[] {
  if (region.kind === 'region') return region.vertices;
  return region.kind === 'unbounded' ? region.within.vertices : [];
}

function pushes(
  contacts: readonly Contact[],
  part: 'outline' | 'functional',
): readonly ContactPoint[] {
  const points: ContactPoint[] = [];
  const floors = new Map<string, { points: Vec2[]; height: number; friction: number }>();
  for (const contact of contacts) {
    const { id: patch, normal, friction } = contact;
    const cap = capOf(contact);
    for (const point of contact[part]) {
      if (cap === undefined && normal[1] === 1) {
        const height = Math.round(point[1] / LEVEL) * LEVEL;
        const key = `${height}/${friction}`;
        const floor = floors.get(key) ?? { points: [], height, friction };
        floor.points.push([point[0], point[2]]);
        floors.set(key, floor);
      } else points.push({ point, normal, friction, cap, patch });
    }
  }
  // Forces anywhere on one level are sums of forces at the corners of its hull, so the rest of the
  // points (the sides of two feet that face each other) would only cost time.
  for (const { points: level, height, friction } of floors.values())
    for (const [x, z] of convexHull(level).vertices)
      points.push({ point: [x, height, z], normal: [0, 1, 0], friction });
  return points;
}

const ARMS: ReadonlySet<string> = new Set(['palmL', 'palmR', 'forearmL', 'forearmR']);

function capOf({ normal, patch }: Contact): number | undefined {
  const arm = ARMS.has(patch);
  if (normal[1] < SIDE) return arm ? CAPS.armSideways : CAPS.sideways;
  return arm ? CAPS.armDown : undefined;
}
