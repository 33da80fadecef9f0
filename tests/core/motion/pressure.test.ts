import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { centreOfPressure } from '../../../core/balance/index.ts';
import { groundForce, pressureOf, pressurePoint } from '../../../core/motion/index.ts';

describe('centre of pressure of a moving body', () => {
  it('is under the centre at rest', () => {
    expect(pressureOf({ mass: 60, centre: [0.1, 0.9, -0.2], acceleration: [0, 0, 0] })).toEqual([
      0.1, -0.2,
    ]);
  });

  it('lags behind an acceleration by h a / g, and counts the floor', () => {
    // Mechanics note 4.1: 1.41 m/s2 at a height of 0.9 m is 129 mm.
    const body = { mass: 60, centre: [0, 1.2, 0], acceleration: [1.41, 0, -1.41] } as const;
    const point = pressureOf(body, 0.3);
    expect(point![0]).toBeCloseTo(-0.1294, 3);
    expect(point![1]).toBeCloseTo(0.1294, 3);
  });

  it('is moved 27.4 mm by a turning of 18.85 N m at 70 kg (mechanics note, case h12)', () => {
    const body = { mass: 70, centre: [0, 1, 0], acceleration: [0, 0, 0] } as const;
    const bend = pressureOf({ ...body, turning: [18.85, 0, 0] });
    expect(bend![1]).toBeCloseTo(-0.02745, 4);
    const lean = pressureOf({ ...body, turning: [0, 0, 18.85] });
    expect(lean![0]).toBeCloseTo(0.02745, 4);
  });

  it('is nothing where the floor carries less than a tenth', () => {
    const body = { mass: 70, centre: [0, 1, 0] } as const;
    expect(pressureOf({ ...body, acceleration: [0, -9.81, 0] })).toBeNull();
    expect(pressureOf({ ...body, acceleration: [0, -8.9, 0] })).toBeNull();
    expect(pressureOf({ ...body, acceleration: [0, -8.7, 0] })).not.toBeNull();
    expect(groundForce(70, [1, -9.81, 0]).friction).toBeNull();
  });

  it('comes with its distance to the edge and its noise', () => {
    const square = [
      [-0.1, -0.1],
      [0.1, -0.1],
      [0.1, 0.1],
      [-0.1, 0.1],
    ] as const;
    const body = { mass: 70, centre: [0, 0.981, 0], acceleration: [-1.5, 0, 0] } as const;
    const point = pressurePoint(body, square, 0, 0.2);
    expect(point!.margin).toBeCloseTo(-0.05, 9);
    expect(point!.noise).toBeCloseTo(0.02, 9);
  });

  it('asks for friction as the level force over the vertical one', () => {
    const { force, friction } = groundForce(50, [3, 0.19, 4]);
    expect(force).toEqual([150, 500, 200]);
    expect(friction).toBeCloseTo(0.5, 12);
  });
});

describe('net pressure of two force plates', () => {
  // dos Santos et al. 2017 (PeerJ 5:e3626), CC BY 4.0: see tests/fixtures/posture/README.md.
  const rows = readFileSync(
    new URL('../../fixtures/posture/pds13_OR1_10hz.csv', import.meta.url),
    'utf8',
  )
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number));

  it('reproduces the recorded one within 0.01 mm in all 600 rows', () => {
    expect(rows).toHaveLength(600);
    for (const [, , ry, , , ly, , rx, rz, lx, lz, nx, nz] of rows) {
      const net = centreOfPressure([
        { point: [rx!, rz!], force: ry! },
        { point: [lx!, lz!], force: ly! },
      ]);
      expect(Math.hypot(net![0] - nx!, net![1] - nz!)).toBeLessThan(1e-5);
    }
  });

  it('reproduces trial PDS13OF1 at its start', () => {
    // Numbers of that trial's first row: right 298.128 N, left 355.798 N, net (0.25399, -0.01903).
    const net = centreOfPressure([
      { point: [0.2651, 0.11232], force: 298.128 },
      { point: [0.24469, -0.12908], force: 355.798 },
    ]);
    expect(net![0]).toBeCloseTo(0.253995, 6);
    expect(net![1]).toBeCloseTo(-0.019025, 6);
  });
});
