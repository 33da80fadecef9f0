import type { BufferGeometry } from 'three';
import type { Patch, Segment } from '../../../core/body/types.ts';
import type { Vec3 } from '../../../core/geometry/types.ts';
import { loft, RING_POINTS, type Ring } from './loft.ts';

/** Least and greatest x of a flat outline at a depth z; null outside it. */
function breadthAt(outline: readonly Vec3[], z: number): [number, number] | null {
  const xs: number[] = [];
  outline.forEach((from, i) => {
    const to = outline[(i + 1) % outline.length]!;
    if (from[2] === to[2] || (from[2] - z) * (to[2] - z) > 0) return;
    xs.push(from[0] + ((to[0] - from[0]) * (z - from[2])) / (to[2] - from[2]));
  });
  return xs.length === 0 ? null : [Math.min(...xs), Math.max(...xs)];
}

/** A section across a foot: flat below, rounded above. */
function footRing(z: number, breadth: readonly [number, number], sole: number, top: number): Ring {
  const middle = (breadth[0] + breadth[1]) / 2;
  const half = (breadth[1] - breadth[0]) / 2;
  const height = top - sole;
  return Array.from({ length: RING_POINTS }, (_, i) => {
    const turn = (2 * Math.PI * i) / RING_POINTS;
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const across = Math.sign(cos) * Math.abs(cos) ** 0.75;
    const up = sin > 0 ? 0.3 + 0.7 * sin ** 1.1 : 0.3 * (1 - Math.min(1, -sin * 1.8));
    return [middle + across * half * (sin > 0 ? 1 - 0.22 * sin : 1), sole + up * height, z];
  });
}

function footLoft(
  outline: readonly Vec3[],
  stations: readonly number[],
  topAt: (share: number) => number,
): BufferGeometry {
  const sole = Math.min(...outline.map((point) => point[1]));
  const depths = outline.map((point) => point[2]);
  const [heel, front] = [Math.min(...depths), Math.max(...depths)];
  const rings = stations.flatMap((share) => {
    const z = heel + (front - heel) * share;
    const breadth = breadthAt(outline, z);
    return breadth === null ? [] : [footRing(z, breadth, sole, sole + topAt(share))];
  });
  const middle = (z: number): number => {
    const [low, high] = breadthAt(outline, z) ?? [0, 0];
    return (low + high) / 2;
  };
  const inset = (front - heel) * 0.01;
  return loft([middle(heel + inset), sole + topAt(0) * 0.4, heel], rings, [
    middle(front - inset),
    sole + topAt(1) * 0.4,
    front,
  ]);
}

const between = (points: readonly (readonly [number, number])[], at: number): number => {
  const after = points.findIndex(([x]) => x >= at);
  const [x1, y1] = points[Math.max(after, 0)]!;
  const [x0, y0] = points[Math.max(after - 1, 0)]!;
  return x1 === x0 ? y1 : y0 + ((y1 - y0) * (at - x0)) / (x1 - x0);
};

/** Heel to ball: rises to the ankle, which is the origin of the segment's frame. */
export function footPart(foot: Segment, sole: Patch, ankleRadius: number): BufferGeometry {
  const outline = sole.outline;
  const depths = outline.map((point) => point[2]);
  const [heel, front] = [Math.min(...depths), Math.max(...depths)];
  const drop = -Math.min(...outline.map((point) => point[1]));
  const ankle = (0 - heel) / (front - heel);
  const instep = drop + ankleRadius * 0.5;
  const ball = Math.max(foot.girth[1] * 1.5, drop * 0.42);
  const profile: readonly (readonly [number, number])[] = [
    [0, drop * 0.62],
    [Math.max(0.04, ankle * 0.35), drop * 0.95],
    [Math.max(0.08, ankle * 0.8), instep],
    [ankle + 0.12, instep * 0.98],
    [ankle + (1 - ankle) * 0.5, (instep + ball) * 0.5],
    [1, ball],
  ];
  const stations = [0.015, 0.06, 0.13, 0.22, 0.32, 0.42, 0.54, 0.66, 0.78, 0.89, 0.985];
  return footLoft(outline, stations, (share) => between(profile, share));
}

/** Ball to the tips of the toes. */
export function toesPart(toes: Patch): BufferGeometry {
  const drop = -Math.min(...toes.outline.map((point) => point[1]));
  const height = Math.max(drop * 1.5, 0.02);
  const profile: readonly (readonly [number, number])[] = [
    [0, height],
    [0.5, height * 0.8],
    [1, height * 0.55],
  ];
  return footLoft(toes.outline, [0.02, 0.2, 0.45, 0.7, 0.88, 0.98], (share) =>
    between(profile, share),
  );
}

/** Half thickness, half width and bend towards the palm along a hand, as shares of its length. */
const HAND: readonly (readonly [at: number, thick: number, wide: number, bend: number])[] = [
  [0.0, 0.11, 0.14, 0],
  [0.12, 0.105, 0.165, 0],
  [0.3, 0.1, 0.215, 0.01],
  [0.48, 0.09, 0.225, 0.025],
  [0.62, 0.075, 0.205, 0.05],
  [0.78, 0.062, 0.18, 0.09],
  [0.92, 0.048, 0.13, 0.14],
];
const THUMB: readonly (readonly [at: number, out: number, radius: number, bend: number])[] = [
  [0.12, 0.12, 0.07, 0.02],
  [0.26, 0.21, 0.066, 0.05],
  [0.42, 0.27, 0.056, 0.09],
  [0.54, 0.29, 0.045, 0.12],
];

/** A mitten hand with a thumb, palm towards its patch's normal, thumb to the front at rest. */
export function handParts(hand: Segment, palm: Patch, side: 'L' | 'R'): BufferGeometry[] {
  const reach = Math.max(...palm.outline.map((point) => Math.hypot(...point)));
  const length = Math.max(Math.hypot(...hand.end), reach);
  const along = hand.end.map((c) => c / Math.hypot(...hand.end)) as unknown as Vec3;
  const face = palm.normal;
  const turn = side === 'L' ? 1 : -1;
  const thumb: Vec3 = [
    turn * (face[1] * along[2] - face[2] * along[1]),
    turn * (face[2] * along[0] - face[0] * along[2]),
    turn * (face[0] * along[1] - face[1] * along[0]),
  ];
  /** A point of the hand: shares of its length along it, out to the thumb, and out of the palm. */
  const point = (down: number, out: number, off: number): Vec3 =>
    [0, 1, 2].map(
      (i) => length * (along[i]! * down + thumb[i]! * out + face[i]! * off),
    ) as unknown as Vec3;
  const ring = (make: (cos: number, sin: number) => Vec3): Ring =>
    Array.from({ length: RING_POINTS }, (_, i) => {
      const angle = (2 * Math.PI * i) / RING_POINTS;
      return make(Math.cos(angle), Math.sin(angle));
    });
  const mitten = HAND.map(([at, thick, wide, bend]) =>
    ring((cos, sin) => point(at, cos * wide, bend + sin * thick)),
  );
  const digit = THUMB.map(([at, out, radius, bend]) =>
    ring((cos, sin) =>
      point(at + cos * radius * 0.5, out + cos * radius * 0.8, bend + sin * radius),
    ),
  );
  return [
    loft(point(-0.06, 0, 0), mitten, point(1, 0, 0.17)),
    loft(point(0.04, 0.08, 0.01), digit, point(0.62, 0.3, 0.14)),
  ];
}
