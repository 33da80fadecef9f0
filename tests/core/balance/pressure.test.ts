import { describe, expect, it } from 'vitest';
import { centreOfPressure } from '../../../core/balance/index.ts';

describe('centreOfPressure', () => {
  it('finds a body on a reaction board: x = (R2 - R1) L / W (checks.md 2c: Univ. of Delhi practical)', () => {
    // Board of 1.80 m on a pivot and a scale; the body adds 31.2 - 10.7 of its 52 to the scale.
    const onScale = 31.2 - 10.7;
    const found = centreOfPressure([
      { point: [0, 0], force: 52 - onScale },
      { point: [0, 1.8], force: onScale },
    ]);
    expect(found![1]).toBeCloseTo(0.7096, 4);
  });

  it('finds a body on two dials: 80 kg, arms of 2.01 m (checks.md 2c: markedbyteachers.com)', () => {
    for (const [before, after, expected] of [
      [33.5, 74, 1.02],
      [22.5, 41, 0.46],
    ] as const) {
      const gain = after - before;
      const found = centreOfPressure([
        { point: [0, 0], force: 80 - gain },
        { point: [2.01, 0], force: gain },
      ]);
      // The page rounds to the centimetre.
      expect(Math.abs(found![0] - expected)).toBeLessThan(0.006);
    }
  });

  it('joins two force plates: posture data set, trial PDS13OF1 at t = 0 (checks.md 2d, CC BY 4.0)', () => {
    const found = centreOfPressure([
      { point: [0.2651, 0.11232], force: 298.128 },
      { point: [0.24469, -0.12908], force: 355.798 },
    ]);
    // The file's own net centre is 0.25399, -0.01903; the mean of rounded inputs agrees to 0.009 mm.
    expect(Math.abs(found![0] - 0.25399)).toBeLessThan(9e-6);
    expect(Math.abs(found![1] - -0.01903)).toBeLessThan(9e-6);
    expect(found![0]).toBeCloseTo(0.253995, 6);
    expect(found![1]).toBeCloseTo(-0.019025, 5);
  });

  it('is nowhere without a push', () => {
    expect(centreOfPressure([])).toBeNull();
    expect(centreOfPressure([{ point: [1, 1], force: 0 }])).toBeNull();
  });
});
