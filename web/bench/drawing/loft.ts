import { BufferAttribute, BufferGeometry } from 'three';
import type { Vec3 } from '../../../core/geometry/types.ts';

/** One closed cross-section of a body part: points in order, the same number in every ring. */
export type Ring = readonly Vec3[];

/** Points of a ring; enough for a smooth outline at the sizes that a bench shows. */
export const RING_POINTS = 28;

/** A cross-section level with the ground: half widths to the sides, to the front (+z) and back. */
export interface Oval {
  readonly y: number;
  /** Middle of the section, metres. */
  readonly x?: number;
  readonly z?: number;
  readonly side: number;
  readonly front: number;
  readonly back: number;
  /** 2 is an ellipse, above it the section grows squarer. */
  readonly square?: number;
}

const signedPower = (value: number, power: number): number =>
  Math.sign(value) * Math.abs(value) ** power;

export function ovalRing({ y, x = 0, z = 0, side, front, back, square = 2 }: Oval): Ring {
  return Array.from({ length: RING_POINTS }, (_, i) => {
    const turn = (2 * Math.PI * i) / RING_POINTS;
    const across = signedPower(Math.cos(turn), 2 / square);
    const along = signedPower(Math.sin(turn), 2 / square);
    return [x + across * side, y, z + along * (along > 0 ? front : back)];
  });
}

/**
 * A closed skin through rings from `start` to `end` (its tips). Vertices are shared along every
 * seam, so normals are smooth and an ink outline grown along them has no cracks.
 */
export function loft(start: Vec3, rings: readonly Ring[], end: Vec3): BufferGeometry {
  const points: Vec3[] = [start, ...rings.flat(), end];
  const last = points.length - 1;
  const index: number[] = [];
  const at = (ring: number, i: number): number => 1 + ring * RING_POINTS + (i % RING_POINTS);
  for (let i = 0; i < RING_POINTS; i++) {
    index.push(0, at(0, i), at(0, i + 1));
    for (let ring = 0; ring + 1 < rings.length; ring++) {
      const [a, b, c, d] = [at(ring, i), at(ring, i + 1), at(ring + 1, i), at(ring + 1, i + 1)];
      index.push(a, c, b, b, c, d);
    }
    index.push(last, at(rings.length - 1, i + 1), at(rings.length - 1, i));
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(points.flat()), 3));
  geometry.setIndex(orientOutwards(points, index));
  geometry.computeVertexNormals();
  return geometry;
}

/** Turns all triangles round when the skin came out inside out (rings may run either way). */
function orientOutwards(points: readonly Vec3[], index: number[]): number[] {
  let volume = 0;
  for (let i = 0; i < index.length; i += 3) {
    const [a, b, c] = [points[index[i]!]!, points[index[i + 1]!]!, points[index[i + 2]!]!];
    volume +=
      a[0] * (b[1] * c[2] - b[2] * c[1]) +
      a[1] * (b[2] * c[0] - b[0] * c[2]) +
      a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return volume >= 0 ? index : index.reverse();
}

/** A half-round end: sections that close a limb of the given radii over a height. */
export function domeOvals(at: Oval, height: number, steps = 4): Oval[] {
  return Array.from({ length: steps }, (_, i) => {
    const turn = (Math.PI / 2) * ((i + 1) / (steps + 0.35));
    const shrink = Math.cos(turn);
    return {
      ...at,
      y: at.y + height * Math.sin(turn),
      side: at.side * shrink,
      front: at.front * shrink,
      back: at.back * shrink,
    };
  });
}

/** A skin through level sections with half-round ends. `ovals` run from one end to the other. */
export function ovalLoft(
  ovals: readonly Oval[],
  ends: { readonly first: number; readonly last: number },
): BufferGeometry {
  const first = ovals[0]!;
  const last = ovals.at(-1)!;
  const all = [...domeOvals(first, ends.first).reverse(), ...ovals, ...domeOvals(last, ends.last)];
  const tip = (oval: Oval, height: number): Vec3 => [oval.x ?? 0, oval.y + height, oval.z ?? 0];
  return loft(tip(first, ends.first), all.map(ovalRing), tip(last, ends.last));
}
