import type { Transform, Vec3 } from './types.ts';

/** Points of a placed thing in the world: `applyTransform` for many, with the turn worked out once. */
export function placePoints({ position, rotation }: Transform, points: readonly Vec3[]): Vec3[] {
  const [x, y, z, w] = rotation;
  const [px, py, pz] = position;
  // Rotation matrix of a unit quaternion.
  const xx = 1 - 2 * (y * y + z * z);
  const xy = 2 * (x * y - z * w);
  const xz = 2 * (x * z + y * w);
  const yx = 2 * (x * y + z * w);
  const yy = 1 - 2 * (x * x + z * z);
  const yz = 2 * (y * z - x * w);
  const zx = 2 * (x * z - y * w);
  const zy = 2 * (y * z + x * w);
  const zz = 1 - 2 * (x * x + y * y);
  const placed: Vec3[] = [];
  for (const p of points) {
    placed.push([
      px + xx * p[0] + xy * p[1] + xz * p[2],
      py + yx * p[0] + yy * p[1] + yz * p[2],
      pz + zx * p[0] + zy * p[1] + zz * p[2],
    ]);
  }
  return placed;
}
