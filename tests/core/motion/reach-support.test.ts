import { describe, expect, it } from 'vitest';
import type { Vec2 } from '../../../core/geometry/index.ts';
import { containsPoint } from '../../../core/geometry/index.ts';
import { outsideSum } from '../../../core/motion/convex.ts';
import { reachesSupport, type Stretch } from '../../../core/motion/index.ts';
import { seeded } from '../geometry/random.ts';

const box = (x: number, z: number, w = 0.1, d = 0.26): readonly Vec2[] => [
  [x - w / 2, z],
  [x + w / 2, z],
  [x + w / 2, z + d],
  [x - w / 2, z + d],
];
const RATE = 3.2;
const stretch = (duration: number, polygon: readonly Vec2[]): Stretch => ({
  duration,
  polygon,
  rate: RATE,
});

describe('a point against a sum of outlines', () => {
  it('is inside exactly when the point lies in the hull of all sums of corners', () => {
    // Two boxes: the sum is a box of the added sizes.
    const terms = [
      { polygon: box(0, 0), factor: 1 },
      { polygon: box(0.2, 0.1), factor: 2 },
    ];
    // x: -0.05 + 2 * 0.15 .. 0.05 + 2 * 0.25; z: 2 * 0.1 .. 0.26 + 2 * 0.36
    expect(outsideSum([0.4, 0.5], terms)).toBe(0);
    expect(outsideSum([0.24, 0.5], terms)).toBeCloseTo(0.01, 12);
    expect(outsideSum([0.4, 1.0], terms)).toBeCloseTo(0.02, 12);
  });
});

describe('reaching a coming support', () => {
  it('agrees with trying pressures, over one foot and a flight, seed 5', () => {
    const random = seeded(5);
    let reached = 0;
    for (let round = 0; round < 300; round++) {
      const before = [stretch(0.1 + 0.3 * random(), box(0, 0))];
      if (round % 3 === 0) before.push(stretch(0.2 * random(), []));
      const coming = stretch(0.5, box(0.2 - 0.4 * random(), 0.2 + 0.8 * random(), 0.1, 0.26));
      const centre: Vec2 = [0.2 * (random() - 0.5), 0.5 * (random() - 0.3)];
      const velocity: Vec2 = [0.4 * (random() - 0.5), 1.5 * random()];
      const tried = tryPressures(centre, velocity, before, coming);
      const found = reachesSupport(centre, velocity, before, coming, 0);
      const near = reachesSupport(centre, velocity, before, coming, 0.02);
      // Trying a grid finds only what is there; what it misses must be a near miss of the grid.
      if (tried) expect(near, `round ${round}`).toBe(true);
      if (found) reached++;
    }
    expect(reached).toBeGreaterThan(30);
    expect(reached).toBeLessThan(270);
  });

  it('catches an ordinary step and not one that is too slow or too far aside', () => {
    // On the right foot, centre 10 cm ahead and to its left, next foot 0.35 m ahead in 0.25 s.
    const now = [stretch(0.25, box(-0.05, 0))];
    const next = stretch(0.6, box(0.08, 0.35));
    expect(reachesSupport([0.02, 0.2], [0.05, 1.1], now, next, 0)).toBe(true);
    expect(reachesSupport([0.02, 0.2], [0.05, 1.1], now, stretch(0.6, box(1.2, 0.35)), 0)).toBe(
      false,
    );
    // Leaning back off the heel, almost still: a foot that comes down in front does not help.
    expect(reachesSupport([-0.05, -0.2], [0, 0.1], now, next, 0)).toBe(false);
  });

  it('goes straight on through the air', () => {
    const now = [stretch(0.05, box(0, 0)), stretch(0.3, [])];
    const landing = stretch(0.3, box(0, 0.95));
    expect(reachesSupport([0, 0.2], [0, 2], now, landing, 0)).toBe(true);
    expect(reachesSupport([0, 0.2], [0, 0.5], now, landing, 0)).toBe(false);
  });
});

/** Oracle: steps the pendulum with pressures on a grid and looks whether the way on crosses the support. */
function tryPressures(
  centre: Vec2,
  velocity: Vec2,
  before: readonly Stretch[],
  coming: Stretch,
): boolean {
  const [stand, air] = before;
  const corners = stand!.polygon;
  for (let i = 0; i <= 10; i++) {
    for (let k = 0; k <= 10; k++) {
      const p: Vec2 = [
        corners[0]![0] + (i / 10) * (corners[1]![0] - corners[0]![0]),
        corners[0]![1] + (k / 10) * (corners[2]![1] - corners[0]![1]),
      ];
      let [x, z] = centre;
      let [vx, vz] = velocity;
      const steps = 400;
      const dt = stand!.duration / steps;
      for (let s = 0; s < steps; s++) {
        vx += RATE * RATE * (x - p[0]) * dt;
        vz += RATE * RATE * (z - p[1]) * dt;
        x += vx * dt;
        z += vz * dt;
      }
      x += vx * (air?.duration ?? 0);
      z += vz * (air?.duration ?? 0);
      for (let share = 0; share <= 1; share += 0.02) {
        const q: Vec2 = [x + (share * vx) / RATE, z + (share * vz) / RATE];
        if (containsPoint(q, coming.polygon)) return true;
      }
    }
  }
  return false;
}
