import { signedArea } from './polygon.ts';
import type { Vec2 } from './types.ts';

export interface Circle {
  readonly centre: Vec2;
  /** Metres. */
  readonly radius: number;
}

/**
 * Two neighbouring edges that turn by less than this, radians, count as one line: three nearly equal
 * directions fix no circle. On an outline of some metres that costs less than 1e-6 m of radius.
 */
const SAME_DIRECTION = 1e-7;

/** An edge line with unit outward normal (x, z): x px + z pz = reach for the points p on it. */
interface Line {
  readonly x: number;
  readonly z: number;
  readonly reach: number;
}

/**
 * The largest circle inside a convex polygon (vertices in order, either way round, metres).
 *
 * All edges are moved inwards at one speed; the edge that shrinks to nothing first is dropped, and
 * so on until three are left: the circle that touches those three is the largest (the last event of
 * the straight skeleton, Aichholzer et al. 1995, which for a convex polygon is its medial axis).
 * The radius is within 1e-6 m of the true one
 * (within 1e-9 m where no two edges run within SAME_DIRECTION of each other).
 * Where several centres do (a rectangle), one of them is given.
 * A polygon without area has radius 0 and its first vertex as centre; null for no vertices.
 */
export function inscribedCircle(polygon: readonly Vec2[]): Circle | null {
  const origin = polygon[0];
  if (origin === undefined) return null;
  const lines = edgeLines(polygon, origin);
  if (lines.length < 3) return { centre: origin, radius: 0 };

  // How far the edges have moved when each of them vanishes between its neighbours.
  const vanishing = lines.map((_, i) => vanishesAt(lines, i));
  while (lines.length > 3) {
    let first = 0;
    for (let i = 1; i < vanishing.length; i++) if (vanishing[i]! < vanishing[first]!) first = i;
    lines.splice(first, 1);
    vanishing.splice(first, 1);
    const before = first === 0 ? lines.length - 1 : first - 1;
    const after = first < lines.length ? first : 0;
    vanishing[before] = vanishesAt(lines, before);
    vanishing[after] = vanishesAt(lines, after);
  }
  const { centre, radius } = touching(lines[0]!, lines[1]!, lines[2]!);
  return { centre: [centre[0] + origin[0], centre[1] + origin[1]], radius: Math.max(radius, 0) };
}

function edgeLines(polygon: readonly Vec2[], origin: Vec2): Line[] {
  const area = signedArea(polygon);
  if (area === 0) return [];
  const side = Math.sign(area);
  const lines: Line[] = [];
  let from = polygon[polygon.length - 1]!;
  for (const to of polygon) {
    const dx = to[0] - from[0];
    const dz = to[1] - from[1];
    const length = Math.sqrt(dx * dx + dz * dz);
    if (length > 0) {
      const x = (side * dz) / length;
      const z = (-side * dx) / length;
      const line = { x, z, reach: x * (from[0] - origin[0]) + z * (from[1] - origin[1]) };
      const before = lines[lines.length - 1];
      if (before === undefined || turns(before, line)) lines.push(line);
    }
    from = to;
  }
  if (lines.length > 1 && !turns(lines[lines.length - 1]!, lines[0]!)) lines.pop();
  return lines;
}

const turns = (a: Line, b: Line): boolean =>
  Math.abs(a.x * b.z - a.z * b.x) > SAME_DIRECTION || a.x * b.x + a.z * b.z < 0;

function vanishesAt(lines: readonly Line[], i: number): number {
  const a = lines[i === 0 ? lines.length - 1 : i - 1]!;
  const c = lines[i + 1 < lines.length ? i + 1 : 0]!;
  return touching(a, lines[i]!, c).radius;
}

/** The circle with n . centre + radius = reach for three lines of different directions. */
function touching(a: Line, b: Line, c: Line): Circle {
  const x1 = b.x - a.x;
  const z1 = b.z - a.z;
  const r1 = b.reach - a.reach;
  const x2 = c.x - a.x;
  const z2 = c.z - a.z;
  const r2 = c.reach - a.reach;
  // Three different points of the unit circle are never collinear: the determinant is not 0.
  const determinant = x1 * z2 - x2 * z1;
  const x = (r1 * z2 - r2 * z1) / determinant;
  const z = (x1 * r2 - x2 * r1) / determinant;
  return { centre: [x, z], radius: a.reach - a.x * x - a.z * z };
}
