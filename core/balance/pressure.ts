import type { Vec2 } from '../geometry/index.ts';

/** What one part of the floor (a scale, a force plate) pushes up with, and where. */
export interface Push {
  /** Plan, metres. */
  readonly point: Vec2;
  /** Vertical force; any unit, the same for all. */
  readonly force: number;
}

/**
 * Centre of pressure of pushes on one level floor: sum(v p) / sum(v). At rest it lies under the mass
 * centre, which is how scales and a board find it. Null where nothing pushes (or the sum is not
 * positive). Contacts at different heights have no single centre of pressure.
 */
export function centreOfPressure(pushes: readonly Push[]): Vec2 | null {
  let total = 0;
  let x = 0;
  let z = 0;
  for (const { point, force } of pushes) {
    total += force;
    x += force * point[0];
    z += force * point[1];
  }
  return total > 0 ? [x / total, z / total] : null;
}
