import { polygonContains, polygonHull } from 'd3-polygon';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convexHull, supportPolygon, turn } from '../../../core/geometry/hull.ts';
import { containsPoint } from '../../../core/geometry/margin.ts';
import { signedArea } from '../../../core/geometry/polygon.ts';
import type { Vec2 } from '../../../core/geometry/types.ts';
import { seeded } from './random.ts';

const key = (points: readonly (readonly number[])[]) => points.map((p) => p.join(',')).sort();
const plan = fc.tuple(
  fc.double({ min: -3, max: 3, noNaN: true }),
  fc.double({ min: -3, max: 3, noNaN: true }),
);

describe('convexHull', () => {
  it('gives a square counter-clockwise seen with x right and z up, without points on its edges', () => {
    const hull = convexHull([
      [1, 1],
      [0, 0],
      [0.5, 0],
      [1, 0],
      [0.5, 0.5],
      [0, 1],
    ]);
    expect(hull).toEqual({
      kind: 'area',
      vertices: [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ],
    });
    expect(signedArea(hull.vertices)).toBe(1);
  });

  it('says what is left of degenerate sets', () => {
    expect(convexHull([])).toEqual({ kind: 'none', vertices: [] });
    expect(convexHull([[2, 3]]).kind).toBe('point');
    expect(
      convexHull([
        [2, 3],
        [2 + 5e-10, 3 - 5e-10],
      ]),
    ).toEqual({ kind: 'point', vertices: [[2, 3]] });
    expect(
      convexHull([
        [0, 0],
        [1, 1],
      ]).kind,
    ).toBe('line');
    const line = convexHull([
      [0.1, 0.1],
      [0.3, 0.3],
      [0.2, 0.2],
      [0.7, 0.7],
    ]);
    expect(line).toEqual({
      kind: 'line',
      vertices: [
        [0.1, 0.1],
        [0.7, 0.7],
      ],
    });
  });

  it('calls an edge that was turned a line, though rounding gives it a sliver of area', () => {
    for (let degrees = 1; degrees < 180; degrees += 7) {
      const angle = (degrees * Math.PI) / 180;
      const points = [0, 0.1, 0.15, 0.23, 0.4].map(
        (t): Vec2 => [1 + t * Math.cos(angle), -2 + t * Math.sin(angle)],
      );
      expect(convexHull(points).kind, `${degrees} degrees`).toBe('line');
    }
  });

  it('agrees with d3-polygon on seeded random points (independent implementation)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const random = seeded(seed);
      const count = 3 + Math.floor(random() * 40);
      const points = Array.from({ length: count }, (): Vec2 => [random() * 2 - 1, random() * 3]);
      const hull = convexHull(points).vertices;
      const theirs = polygonHull(points.map((p): [number, number] => [p[0], p[1]]));
      expect(key(hull), `seed ${seed}`).toEqual(key(theirs ?? []));
      for (let i = 0; i < 50; i++) {
        const probe: Vec2 = [random() * 2.4 - 1.2, random() * 3.4 - 0.2];
        expect(containsPoint(probe, hull), `seed ${seed} probe ${probe}`).toBe(
          polygonContains(theirs!, [probe[0], probe[1]]),
        );
      }
    }
  });

  it('holds every point, turns left at every vertex, and does not depend on order', () => {
    fc.assert(
      fc.property(fc.array(plan, { minLength: 1, maxLength: 30 }), (points) => {
        const hull = convexHull(points);
        const again = convexHull([...points].reverse());
        expect(again).toEqual(hull);
        const { vertices } = hull;
        if (hull.kind !== 'area') return;
        for (let i = 0; i < vertices.length; i++) {
          const a = vertices[i]!;
          const b = vertices[(i + 1) % vertices.length]!;
          const c = vertices[(i + 2) % vertices.length]!;
          expect(turn(a, b, c)).toBeGreaterThan(0);
        }
        // Points dropped as doubles may lie outside by as much as they were apart.
        for (const p of points) {
          const out = vertices.some((a, i) => {
            const b = vertices[(i + 1) % vertices.length]!;
            return turn(a, b, p) < -2e-9 * Math.hypot(b[0] - a[0], b[1] - a[1]);
          });
          expect(out).toBe(false);
        }
      }),
      { seed: 11 },
    );
  });
});

describe('supportPolygon', () => {
  it('drops points in space along gravity', () => {
    expect(
      supportPolygon([
        [0, 5, 0],
        [1, 2, 0],
        [0, 0, 1],
      ]),
    ).toEqual([
      [0, 0],
      [1, 0],
      [0, 1],
    ]);
    expect(
      supportPolygon([
        [0, 0],
        [1, 0],
        [0, 1],
      ]),
    ).toEqual([
      [0, 0],
      [1, 0],
      [0, 1],
    ]);
  });
});
