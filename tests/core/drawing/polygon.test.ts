import { describe, expect, it } from 'vitest';
import { chord, hatch, inside, outlineOf, uncovered } from '../../../core/drawing/polygon.ts';
import type { PagePoint } from '../../../core/drawing/view.ts';

const square: PagePoint[] = [
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
];

const lengthOf = (lines: readonly (readonly PagePoint[])[]): number =>
  lines
    .flatMap((line) => line.slice(1).map((p, i) => [line[i] as PagePoint, p] as const))
    .reduce((sum, [a, b]) => sum + Math.hypot(b[0] - a[0], b[1] - a[1]), 0);

describe('chord', () => {
  it('is the piece of a line inside, whichever way round the polygon runs', () => {
    for (const polygon of [square, [...square].reverse()])
      expect(chord(polygon, [-5, 4], [2, 0])).toEqual([
        [0, 4],
        [10, 4],
      ]);
  });

  it('is null beside the polygon and along nothing', () => {
    expect(chord(square, [0, 11], [1, 0])).toBeNull();
    expect(inside(square, [5, 0], [1, 0], 0.01)).toBeNull();
  });
});

describe('hatch', () => {
  // Closed form: strokes at 45 degrees, d apart, have a total length of area / d within the border.
  it('covers the area evenly', () => {
    const spacing = 0.25;
    expect(lengthOf(hatch(square, spacing)) * spacing).toBeCloseTo(100, 0);
  });
});

describe('uncovered', () => {
  it('is the whole outline, closed, when nothing covers it', () => {
    const lines = uncovered(square, []);
    expect(lines).toHaveLength(1);
    expect(lengthOf(lines)).toBeCloseTo(40, 9);
  });

  it('leaves the outline of a union of two overlapping squares', () => {
    const other: PagePoint[] = square.map(([x, y]) => [x + 4, y + 4]);
    const lines = [...uncovered(square, [[other]]), ...uncovered(other, [[square]])];
    // Perimeter of the union of two 10-squares shifted by (4, 4): 2 * 40 - 2 * (6 + 6) = 56.
    expect(lengthOf(lines)).toBeCloseTo(56, 0);
    expect(lines).toHaveLength(2);
  });

  it('hides only what lies in all polygons of a cover', () => {
    const left: PagePoint[] = [
      [-5, -5],
      [5, -5],
      [5, 15],
      [-5, 15],
    ];
    const top: PagePoint[] = [
      [-5, -5],
      [15, -5],
      [15, 5],
      [-5, 5],
    ];
    // In both: the corner at (0, 0), 5 along each of its edges.
    expect(lengthOf(uncovered(square, [[left, top]]))).toBeCloseTo(30, 0);
  });

  it('keeps an edge that the cover shares', () => {
    expect(lengthOf(uncovered(square, [[square]]))).toBeCloseTo(40, 9);
  });
});

describe('outlineOf', () => {
  it('is null for points without area', () => {
    expect(
      outlineOf([
        [0, 0],
        [1, 1],
        [2, 2],
      ]),
    ).toBeNull();
  });
});
