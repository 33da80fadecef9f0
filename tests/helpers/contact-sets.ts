import type { ContactPoint } from '../../core/balance/region/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { random } from './random.ts';

/**
 * A random set of 2 to 8 contacts about the size of a person: soles, seats, steps, slopes, walls and
 * hands, some with a cap. Reproducible by seed.
 */
export function contactSet(
  seed: number,
  options: { count?: number } = {},
): readonly ContactPoint[] {
  const next = random(seed);
  const between = (low: number, high: number) => low + (high - low) * next();
  const count = options.count ?? 2 + Math.floor(next() * 7);
  return Array.from({ length: count }, (): ContactPoint => {
    const kind = next();
    const point: Vec3 = [between(-0.5, 0.5), between(0, 1.4), between(-0.5, 0.5)];
    const around = between(0, 2 * Math.PI);
    const steep = kind < 0.5 ? between(0, 0.15) : kind < 0.8 ? between(0, 0.9) : between(1.2, 1.7);
    const normal: Vec3 = [
      Math.sin(steep) * Math.cos(around),
      Math.cos(steep),
      Math.sin(steep) * Math.sin(around),
    ];
    const friction = next() < 0.1 ? 0 : between(0.2, 0.9);
    return next() < 0.3
      ? { point, normal, friction, cap: between(0.2, 0.8) }
      : { point, normal, friction };
  });
}
