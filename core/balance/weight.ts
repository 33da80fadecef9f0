import type { Vec3 } from '../geometry/index.ts';

/** Something with weight, in the world. */
export interface Part {
  readonly name: string;
  /** Kilograms; null means unknown. */
  readonly mass: number | null;
  readonly centre: Vec3;
}

export interface Weight {
  /** Kilograms; null while a part's mass is unknown. */
  readonly mass: number | null;
  /** World mass centre, metres; null while it is unknown, or where nothing has mass. */
  readonly centre: Vec3 | null;
  /** Names of the parts whose mass is missing. */
  readonly missing: readonly string[];
}

/**
 * Total mass and mass centre: sum(m c) / sum(m). One thing alone has its centre whatever it weighs.
 * Summed in the given order relative to the first part, so that a scene far from the origin keeps
 * its digits.
 */
export function weigh(parts: readonly Part[]): Weight {
  const missing = parts.filter(({ mass }) => mass === null).map(({ name }) => name);
  const first = parts[0];
  if (first === undefined) return { mass: 0, centre: null, missing };
  if (parts.length === 1) {
    const centre = first.mass === 0 ? null : first.centre;
    return { mass: first.mass, centre, missing: [] };
  }
  if (missing.length > 0) return { mass: null, centre: null, missing };

  const origin = first.centre;
  let total = 0;
  let x = 0;
  let y = 0;
  let z = 0;
  for (const { mass, centre } of parts) {
    const m = mass ?? 0;
    total += m;
    x += m * (centre[0] - origin[0]);
    y += m * (centre[1] - origin[1]);
    z += m * (centre[2] - origin[2]);
  }
  if (total === 0) return { mass: 0, centre: null, missing };
  const centre: Vec3 = [origin[0] + x / total, origin[1] + y / total, origin[2] + z / total];
  return { mass: total, centre, missing };
}
