import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convexHull } from '../../../core/geometry/hull.ts';
import { nearestOnPolygon, signedMargin } from '../../../core/geometry/margin.ts';
import type { Vec2 } from '../../../core/geometry/types.ts';
import { seeded } from './random.ts';

const square: Vec2[] = [
  [0, 0],
  [2, 0],
  [2, 1],
  [0, 1],
];

describe('signedMargin', () => {
  it('is the distance to the nearest edge inside, minus the true distance outside', () => {
    expect(signedMargin([0.3, 0.5], square)).toBeCloseTo(0.3, 12);
    expect(signedMargin([1, 0.8], square)).toBeCloseTo(0.2, 12);
    expect(signedMargin([1, -0.25], square)).toBeCloseTo(-0.25, 12);
    // Beyond a corner: the 3-4-5 triangle, where the distance to edge lines would say 0.3 or 0.4.
    expect(signedMargin([2.3, 1.4], square)).toBeCloseTo(-0.5, 12);
    expect(signedMargin([2, 0.5], square)).toBe(0);
    expect(Object.is(signedMargin([0, 0], square), 0)).toBe(true);
    expect(signedMargin([0.3, 0.5], [...square].reverse())).toBeCloseTo(0.3, 12);
  });

  it('has no inside on a segment or a point, and no support without either', () => {
    expect(
      signedMargin(
        [1, 0],
        [
          [0, 0],
          [2, 0],
        ],
      ),
    ).toBe(0);
    expect(
      signedMargin(
        [1, 0.02],
        [
          [0, 0],
          [2, 0],
        ],
      ),
    ).toBeCloseTo(-0.02, 12);
    expect(
      signedMargin(
        [3, 0],
        [
          [0, 0],
          [2, 0],
        ],
      ),
    ).toBe(-1);
    expect(signedMargin([3, 4], [[0, 0]])).toBe(-5);
    expect(signedMargin([0, 0], [])).toBe(Number.NEGATIVE_INFINITY);
    expect(
      signedMargin(
        [1, 1],
        [
          [0, 0],
          [1, 0],
          [2, 0],
        ],
      ),
    ).toBe(-1);
  });

  it('is min over directions of (support function - c.u), its definition, on random hulls', () => {
    // Brute force over 20,000 directions: too large by at most R (1 - cos(step)) ~ 5e-8 R.
    for (let seed = 1; seed <= 25; seed++) {
      const random = seeded(seed);
      const hull = convexHull(
        Array.from({ length: 9 }, (): Vec2 => [random() - 0.5, random() - 0.5]),
      ).vertices;
      const c: Vec2 = [random() * 2 - 1, random() * 2 - 1];
      let least = Number.POSITIVE_INFINITY;
      for (let i = 0; i < 20_000; i++) {
        const u = (i * 2 * Math.PI) / 20_000;
        const reach = Math.max(...hull.map((p) => p[0] * Math.cos(u) + p[1] * Math.sin(u)));
        least = Math.min(least, reach - c[0] * Math.cos(u) - c[1] * Math.sin(u));
      }
      const margin = signedMargin(c, hull);
      expect(Math.abs(margin - least), `seed ${seed}`).toBeLessThan(2e-4);
      expect(margin, `seed ${seed}`).toBeLessThanOrEqual(least + 1e-12);
    }
  });

  it('moves and turns with the scene, never shrinks when a point is added', () => {
    const plan = fc.tuple(
      fc.double({ min: -1, max: 1, noNaN: true }),
      fc.double({ min: -1, max: 1, noNaN: true }),
    );
    const angle = fc.double({ min: 0, max: 6.3, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(plan, { minLength: 3, maxLength: 12 }),
        plan,
        plan,
        angle,
        (points, c, shift, a) => {
          const move = (p: Vec2): Vec2 => [
            p[0] * Math.cos(a) + p[1] * Math.sin(a) + shift[0] * 100,
            -p[0] * Math.sin(a) + p[1] * Math.cos(a) + shift[1] * 100,
          ];
          const before = convexHull(points);
          const after = convexHull(points.map(move));
          const margin = signedMargin(c, before.vertices);
          expect(signedMargin(move(c), after.vertices)).toBeCloseTo(margin, 8);
          const wider = convexHull([...points, shift]);
          expect(signedMargin(c, wider.vertices)).toBeGreaterThanOrEqual(margin - 1e-8);
        },
      ),
      { seed: 12 },
    );
  });
});

describe('nearestOnPolygon', () => {
  it('names the edge and the point on it', () => {
    expect(nearestOnPolygon([1.9, 0.4], square)).toEqual({
      from: [2, 0],
      to: [2, 1],
      nearest: [2, 0.4],
      distance: expect.closeTo(0.1, 12),
    });
    expect(nearestOnPolygon([3, 4], [[0, 0]])).toEqual({
      from: [0, 0],
      to: [0, 0],
      nearest: [0, 0],
      distance: 5,
    });
    expect(nearestOnPolygon([3, 4], [])).toBeNull();
  });
});
