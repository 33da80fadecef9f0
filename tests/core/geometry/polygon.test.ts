import { polygonArea as theirArea } from 'd3-polygon';
import { describe, expect, it } from 'vitest';
import { convexHull } from '../../../core/geometry/hull.ts';
import { inscribedCircle } from '../../../core/geometry/inscribed-circle.ts';
import { containsPoint, signedMargin } from '../../../core/geometry/margin.ts';
import { clipByHalfSpace, clipConvex, polygonArea } from '../../../core/geometry/polygon.ts';
import type { Vec2, Vec3 } from '../../../core/geometry/types.ts';
import { seeded } from './random.ts';

const randomHull = (random: () => number, count: number): readonly Vec2[] =>
  convexHull(Array.from({ length: count }, (): Vec2 => [random(), random()])).vertices;

describe('polygonArea', () => {
  it('agrees with d3-polygon, and keeps its digits far from the origin', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const hull = randomHull(seeded(seed), 10);
      const theirs = Math.abs(theirArea(hull.map((p): [number, number] => [p[0], p[1]])));
      expect(polygonArea(hull), `seed ${seed}`).toBeCloseTo(theirs, 12);
      const far = hull.map((p): Vec2 => [p[0] + 10_000, p[1] - 10_000]);
      expect(polygonArea(far), `seed ${seed}`).toBeCloseTo(theirs, 10);
    }
    expect(
      polygonArea([
        [0, 0],
        [1, 1],
      ]),
    ).toBe(0);
  });
});

describe('clipConvex', () => {
  const square: Vec2[] = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ];

  it('cuts squares to what they share', () => {
    const moved = square.map((p): Vec2 => [p[0] + 0.75, p[1] + 0.5]);
    const shared = clipConvex(square, moved);
    expect(polygonArea(shared)).toBeCloseTo(0.125, 12);
    expect(clipConvex(square, [...moved].reverse())).toHaveLength(4);
    expect(
      clipConvex(
        square,
        square.map((p): Vec2 => [p[0] + 3, p[1]]),
      ),
    ).toEqual([]);
    expect(
      clipConvex(square, [
        [0, 0],
        [1, 1],
      ]),
    ).toEqual([]);
  });

  it('cuts segments and points', () => {
    expect(
      clipConvex(
        [
          [0.5, -1],
          [0.5, 3],
        ],
        square,
      ),
    ).toEqual([
      [0.5, 0],
      [0.5, 1],
    ]);
    expect(clipConvex([[0.5, 0.5]], square)).toEqual([[0.5, 0.5]]);
    expect(clipConvex([[1.5, 0.5]], square)).toEqual([]);
  });

  it('is what lies in both, whichever is cut by which (random probes)', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const random = seeded(seed);
      const a = randomHull(random, 7);
      const b = randomHull(random, 7).map((p): Vec2 => [p[0] + 0.4, p[1] - 0.3]);
      const shared = clipConvex(a, b);
      expect(polygonArea(clipConvex(b, a)), `seed ${seed}`).toBeCloseTo(polygonArea(shared), 12);
      for (let i = 0; i < 50; i++) {
        const p: Vec2 = [random() * 1.5, random() * 1.5 - 0.4];
        if (Math.min(...[a, b].map((q) => Math.abs(signedMargin(p, q)))) < 1e-9) continue;
        expect(containsPoint(p, shared), `seed ${seed} ${p}`).toBe(
          containsPoint(p, a) && containsPoint(p, b),
        );
      }
    }
  });
});

describe('clipByHalfSpace', () => {
  it('keeps the near part of a tilted outline', () => {
    // A sole of 25 cm, heel raised 10 cm: below 2 cm lies the front fifth.
    const sole: Vec3[] = [
      [0, 0.1, 0],
      [0.1, 0.1, 0],
      [0.1, 0, 0.25],
      [0, 0, 0.25],
    ];
    const near = clipByHalfSpace(sole, [0, 1, 0], 0.02);
    expect(near).toHaveLength(4);
    expect(Math.min(...near.map((p) => p[2]))).toBeCloseTo(0.2, 12);
    expect(clipByHalfSpace(sole, [0, 1, 0], -0.01)).toEqual([]);
    expect(clipByHalfSpace(sole, [0, 1, 0], 0)).toEqual([
      [0.1, 0, 0.25],
      [0, 0, 0.25],
    ]);
  });
});

describe('inscribedCircle', () => {
  it('fits closed forms', () => {
    // Right triangle 3-4-5: r = (3 + 4 - 5) / 2. Regular hexagon of side 1: r = sqrt(3) / 2.
    const triangle = inscribedCircle([
      [0, 0],
      [3, 0],
      [0, 4],
    ]);
    expect(triangle?.radius).toBeCloseTo(1, 12);
    expect(triangle?.centre[0]).toBeCloseTo(1, 12);
    expect(triangle?.centre[1]).toBeCloseTo(1, 12);
    const hexagon = Array.from(
      { length: 6 },
      (_, i): Vec2 => [5 + Math.cos((i * Math.PI) / 3), Math.sin((i * Math.PI) / 3)],
    );
    expect(inscribedCircle(hexagon)?.radius).toBeCloseTo(Math.sqrt(3) / 2, 12);
    const sole: Vec2[] = [
      [0, 0],
      [0.1, 0],
      [0.1, 0.26],
      [0, 0.26],
    ];
    expect(inscribedCircle(sole)?.radius).toBeCloseTo(0.05, 12);
    expect(inscribedCircle([...sole].reverse())?.radius).toBeCloseTo(0.05, 12);
  });

  it('has no radius without area', () => {
    expect(inscribedCircle([])).toBeNull();
    expect(inscribedCircle([[1, 2]])).toEqual({ centre: [1, 2], radius: 0 });
    expect(
      inscribedCircle([
        [0, 0],
        [1, 1],
      ])?.radius,
    ).toBe(0);
    expect(
      inscribedCircle([
        [0, 0],
        [1, 0],
        [2, 0],
      ])?.radius,
    ).toBe(0);
  });

  it('lies inside and is not beaten anywhere on random hulls (nested ternary search)', () => {
    // signedMargin is concave inside a convex polygon, so the search converges on the best centre.
    for (let seed = 1; seed <= 60; seed++) {
      const hull = randomHull(seeded(seed), 3 + (seed % 20));
      if (hull.length < 3) continue;
      const circle = inscribedCircle(hull)!;
      expect(signedMargin(circle.centre, hull), `seed ${seed}`).toBeGreaterThan(
        circle.radius - 1e-9,
      );
      const best = highest((x) => highest((z) => signedMargin([x, z], hull)).value);
      expect(Math.abs(circle.radius - best.value), `seed ${seed}`).toBeLessThan(1e-6);
    }
  });

  it('is not upset by edges that run on almost straight', () => {
    const bent: Vec2[] = [
      [0, 0],
      [0.5, -1e-12],
      [1, 0],
      [1, 1],
      [0.5, 1 + 1e-9],
      [0, 1],
    ];
    expect(inscribedCircle(bent)?.radius).toBeCloseTo(0.5, 8);
  });
});

function highest(value: (at: number) => number): { at: number; value: number } {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 60; i++) {
    const a = low + (high - low) / 3;
    const b = high - (high - low) / 3;
    if (value(a) < value(b)) low = a;
    else high = b;
  }
  return { at: (low + high) / 2, value: value((low + high) / 2) };
}
