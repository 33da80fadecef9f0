import type { Vec3 } from '../../geometry/types.ts';
import { normalise } from '../../geometry/vec3.ts';

/**
 * Tangents of a surface with unit normal n, by a fixed rule so that results repeat: t1 is the part
 * of world x in the surface, or of world y where n lies nearer than about 25 degrees to x;
 * t2 = n x t1.
 */
export function tangents(n: Vec3): readonly [t1: Vec3, t2: Vec3] {
  // Level ground, most of all contacts: what the rule below gives, without the arithmetic.
  if (n[1] === 1) return LEVEL;
  const seed: Vec3 = Math.abs(n[0]) > 0.9 ? [0, 1, 0] : [1, 0, 0];
  const along = seed[0] * n[0] + seed[1] * n[1] + seed[2] * n[2];
  const t1 = normalise([seed[0] - along * n[0], seed[1] - along * n[1], seed[2] - along * n[2]]);
  const t2: Vec3 = [
    n[1] * t1[2] - n[2] * t1[1],
    n[2] * t1[0] - n[0] * t1[2],
    n[0] * t1[1] - n[1] * t1[0],
  ];
  return [t1, t2];
}

const LEVEL: readonly [Vec3, Vec3] = [
  [1, 0, 0],
  [0, 0, -1],
];

/**
 * Generators of a friction pyramid, n + mu (cos a t1 + sin a t2) at a = 2 pi j / edges, the first
 * along t1. `inner` edges lie on the cone, so that the pyramid is inside it; `outer` ones are widened
 * to mu / cos(pi / edges), so that the cone is inside the pyramid. One generator, n itself, without
 * friction. mechanics.md 2.3.
 * @param normal unit normal
 * @param friction coefficient mu >= 0
 * @param edges at least 3
 */
export function coneGenerators(
  normal: Vec3,
  friction: number,
  edges: number,
  side: 'inner' | 'outer' = 'inner',
): readonly Vec3[] {
  if (friction === 0) return [normal];
  const [t1, t2] = tangents(normal);
  const mu = side === 'inner' ? friction : friction / Math.cos(Math.PI / edges);
  return Array.from({ length: edges }, (_, j): Vec3 => {
    const c = mu * Math.cos((2 * Math.PI * j) / edges);
    const s = mu * Math.sin((2 * Math.PI * j) / edges);
    return [
      normal[0] + c * t1[0] + s * t2[0],
      normal[1] + c * t1[1] + s * t2[1],
      normal[2] + c * t1[2] + s * t2[2],
    ];
  });
}
