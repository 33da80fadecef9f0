import type { Contact } from '../contact/index.ts';
import {
  convexHull,
  type HullKind,
  inscribedCircle,
  polygonArea,
  type Vec2,
  type Vec3,
} from '../geometry/index.ts';
import { capOf, LEVEL, pushes } from './pushes.ts';
import type { ContactPoint, EquilibriumRegion } from './region/index.ts';
import { equilibriumRegion } from './region/index.ts';
import type { Support } from './types.ts';

/** A support, with what is needed to read a margin against it. */
export interface Ground {
  readonly support: Support;
  /** Radius of the largest circle inside, metres; 0 without area. */
  readonly radius: number;
  /** Height of the lowest contact, metres; 0 without contacts. */
  readonly level: number;
  /** True where something touches, but too slippery to stand on: the region is empty for that alone. */
  readonly slips: boolean;
  /** True where several bodies are judged each by its own balance. */
  readonly joined: boolean;
  /** The pushes that made a region; null for a hull and for joined bodies. */
  readonly points: readonly ContactPoint[] | null;
  /** Indices of edges that are no border: an endless region is only drawn up to there. */
  readonly open: readonly number[];
  /** The same of the functional polygon. */
  readonly functionalOpen: readonly number[];
}

/**
 * The base of support of some contacts. Level ones: the convex hull, which is exact (every point
 * inside can be held by vertical pushes, none outside). All others: the region of static
 * equilibrium with the surfaces' friction, never a hull of points at different heights.
 *
 * It does not hang on the centre, and while someone drags a free arm the contacts stay where they are to
 * the last bit: the grounds of the last few sets of contacts are kept, which changes no answer.
 * @param single whether the contacts hold one stiff body
 */
export function groundOf(contacts: readonly Contact[], single: boolean): Ground {
  const at = kept.findIndex(
    (entry) => entry.single === single && sameContacts(entry.contacts, contacts),
  );
  const entry = at < 0 ? { contacts, single, ground: findGround(contacts, single) } : kept[at]!;
  if (at >= 0) kept.splice(at, 1);
  kept.unshift(entry);
  if (kept.length > KEPT) kept.pop();
  return entry.ground;
}

const KEPT = 12;
const kept: {
  readonly contacts: readonly Contact[];
  readonly single: boolean;
  readonly ground: Ground;
}[] = [];

/** Whether two lists of contacts make the same ground: same things, same places, same surfaces. */
function sameContacts(a: readonly Contact[], b: readonly Contact[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) {
    const [x, y] = [a[i]!, b[i]!];
    if (x.id !== y.id || x.friction !== y.friction || x.setting !== y.setting) return false;
    if (!sameOutline([x.normal], [y.normal])) return false;
    if (!sameOutline(x.outline, y.outline) || !sameOutline(x.functional, y.functional))
      return false;
  }
  return true;
}

function sameOutline(a: readonly Vec3[], b: readonly Vec3[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) {
    const p = a[i]!;
    const q = b[i]!;
    if (p[0] !== q[0] || p[1] !== q[1] || p[2] !== q[2]) return false;
  }
  return true;
}

function findGround(contacts: readonly Contact[], single: boolean): Ground {
  const points: Vec2[] = [];
  const functional: Vec2[] = [];
  let level = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  let flat = true;
  for (const contact of contacts) {
    // A hand that pulls reaches past the outline, and what bears less than the whole does not reach all of it.
    const whole = contact.setting !== 'gripping' && (capOf(contact) ?? 1) >= 1;
    if (contact.normal[1] < 1 - 1e-12 || !whole) flat = false;
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
      support: supportOf(vertices, carrying, ids, 'hull', true),
      radius: radiusOf(kind, vertices),
      level: points.length === 0 ? 0 : level,
      slips: false,
      joined: false,
      points: null,
      open: [],
      functionalOpen: [],
    };
  }
  const whole = pushes(contacts, 'outline');
  const region = equilibriumRegion(whole);
  const { vertices, open } = drawn(region);
  const carrying = drawn(equilibriumRegion(pushes(contacts, 'functional')));
  const basis = region.kind === 'region' && region.exact ? 'hull' : 'region';
  const support = supportOf(vertices, carrying.vertices, ids, basis, single);
  return {
    support: region.kind === 'unbounded' ? { ...support, unbounded: true, open } : support,
    radius: open.length > 0 ? 0 : radiusOf(support.kind, vertices),
    level,
    slips: region.kind === 'empty' && region.reason === 'too slippery',
    joined: false,
    points: whole,
    open,
    functionalOpen: carrying.open,
  };
}

const KINDS: readonly HullKind[] = ['none', 'point', 'line', 'area'];

export function supportOf(
  polygon: readonly Vec2[],
  functional: readonly Vec2[],
  contacts: readonly string[],
  basis: Support['basis'],
  exact: boolean,
): Support {
  const kind = KINDS[Math.min(polygon.length, 3)]!;
  return { kind, polygon, functional, area: polygonArea(polygon), contacts, basis, exact };
}

const radiusOf = (kind: HullKind, polygon: readonly Vec2[]): number =>
  kind === 'area' ? (inscribedCircle(polygon)?.radius ?? 0) : 0;

/** On the frame up to which an endless region is drawn, metres. */
const ON_FRAME = 1e-3;

/**
 * The drawn part of a region: all of it, or what lies within some metres of an endless one, whose
 * edges on that frame are `open`: no border of the region.
 */
export function drawn(region: EquilibriumRegion): {
  readonly vertices: readonly Vec2[];
  readonly open: readonly number[];
} {
  if (region.kind === 'region') return { vertices: region.vertices, open: [] };
  if (region.kind === 'empty') return { vertices: [], open: [] };
  const { vertices, about, reach_m } = region.within;
  const onFrame = (a: Vec2, b: Vec2): boolean =>
    ([0, 1] as const).some((k) =>
      [-1, 1].some((side) =>
        [a, b].every((p) => Math.abs(p[k] - about[k] - side * reach_m) < ON_FRAME),
      ),
    );
  const open = vertices.flatMap((from, i) =>
    onFrame(from, vertices[(i + 1) % vertices.length]!) ? [i] : [],
  );
  return { vertices, open };
}
