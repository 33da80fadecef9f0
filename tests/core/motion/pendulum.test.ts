import { describe, expect, it } from 'vitest';
import {
  capturePoint,
  extrapolatedCentre,
  marginOfStability,
  pendulumAfter,
  pendulumRate,
  timeForExtrapolated,
  timeToReach,
} from '../../../core/motion/index.ts';
import { planOf, readCase } from './cases.ts';

describe('extrapolated centre', () => {
  // Worked values for Hof, Gazendam & Sinke 2005 (J Biomech 38:1-8), g = 9.81, computed by hand from
  // x + v / sqrt(g / l); lengths: his standing subjects' leg 0.936 m, its 1.2 and 1.34 fold, his walkers.
  const HOF: readonly (readonly [l: number, w: number, at01: number, at05: number, at1: number])[] =
    [
      [0.9, 3.3015, 0.0303, 0.1514, 0.3029],
      [0.936, 3.2374, 0.0309, 0.1544, 0.3089],
      [1.0, 3.1321, 0.0319, 0.1596, 0.3193],
      [1.06, 3.0422, 0.0329, 0.1644, 0.3287],
      [1.1232, 2.9553, 0.0338, 0.1692, 0.3384],
      [1.17, 2.8956, 0.0345, 0.1727, 0.3453],
      [1.2542, 2.7967, 0.0358, 0.1788, 0.3576],
    ];
  it.each(HOF)('of a pendulum of %f m', (l, w, at01, at05, at1) => {
    expect(Math.abs(pendulumRate(l) - w)).toBeLessThan(1e-4);
    for (const [v, added] of [
      [0.1, at01],
      [0.5, at05],
      [1, at1],
    ] as const) {
      const [x, y, z] = extrapolatedCentre([0.2, 0.8, -0.1], [v, 3, -v], l);
      expect(Math.abs(x - 0.2 - added)).toBeLessThan(1e-4);
      expect(Math.abs(z + 0.1 + added)).toBeLessThan(1e-4);
      expect(y).toBe(0.8);
    }
  });

  it('is the centre itself at rest', () => {
    expect(extrapolatedCentre([0.3, 1, 0.4], [0, -2, 0], 1)).toEqual([0.3, 1, 0.4]);
  });

  it('agrees with case o18 in place and margin', () => {
    const { com, velocity, pendulumLength, support, expected } = readCase('o18-xcom-margin');
    const [cx, cy, cz] = com as number[];
    const [vx, vy, vz] = velocity as number[];
    // (x, y, z) there, z up, is (x, z, -y) here.
    const [x, , z] = extrapolatedCentre([cx!, cz!, -cy!], [vx!, vz!, -vy!], pendulumLength);
    expect(Math.abs(x - expected.xcom[0])).toBeLessThan(1e-6);
    expect(Math.abs(-z - expected.xcom[1])).toBeLessThan(1e-6);
    const margin = marginOfStability([x, z], support.map(planOf));
    expect(Math.abs(margin - expected.marginOfStability_m)).toBeLessThan(1e-6);
  });

  it('as capture point takes the height above the floor for its length', () => {
    const [x, z] = capturePoint([0, 1.3, 0], [0.5, 0, 1], 0.3);
    expect(x).toBeCloseTo(0.1596, 4);
    expect(z).toBeCloseTo(0.3193, 4);
  });

  it('refuses lengths that are not positive', () => {
    for (const length of [0, -1, Number.NaN])
      expect(() => extrapolatedCentre([0, 1, 0], [0, 0, 0], length)).toThrow(RangeError);
  });
});

describe('pendulum over a fixed pressure', () => {
  const rate = pendulumRate(0.9);

  it('moves as x = p + (x0 - p) cosh wt + (v0 / w) sinh wt, by small steps of x" = w2 (x - p)', () => {
    // Oracle: 4th-order Runge-Kutta on the differential equation, 1e-4 s a step.
    const p = 0.02;
    let [x, v] = [-0.05, 0.31];
    const step = 1e-4;
    for (let i = 0; i < 7000; i++) {
      const a = (at: number) => rate * rate * (at - p);
      const [k1, l1] = [v, a(x)];
      const [k2, l2] = [v + (step / 2) * l1, a(x + (step / 2) * k1)];
      const [k3, l3] = [v + (step / 2) * l2, a(x + (step / 2) * k2)];
      const [k4, l4] = [v + step * l3, a(x + step * k3)];
      x += (step / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
      v += (step / 6) * (l1 + 2 * l2 + 2 * l3 + l4);
    }
    const after = pendulumAfter({ position: -0.05, velocity: 0.31 }, p, rate, 0.7);
    expect(Math.abs(after.position - x)).toBeLessThan(1e-9);
    expect(Math.abs(after.velocity - v)).toBeLessThan(1e-9);
  });

  it('comes to rest over the pressure when the extrapolated centre is on it', () => {
    // x0 + v0 / w = p: decays as exp(-wt) and never crosses (Hof 2005).
    const state = { position: -0.2, velocity: 0.2 * rate };
    for (const time of [0.1, 0.5, 1, 2]) {
      const { position } = pendulumAfter(state, 0, rate, time);
      expect(position).toBeCloseTo(-0.2 * Math.exp(-rate * time), 9);
      expect(position).toBeLessThan(0);
    }
    expect(timeToReach(state, 0, rate, 0.001)).toBeNull();
  });

  it('reaches an edge at the time that the solution says', () => {
    const state = { position: -0.1, velocity: 0.6 };
    for (const edge of [-0.05, 0, 0.1, 0.3]) {
      const time = timeToReach(state, 0.02, rate, edge);
      expect(time).not.toBeNull();
      expect(pendulumAfter(state, 0.02, rate, time ?? 0).position).toBeCloseTo(edge, 10);
    }
    expect(timeToReach(state, 0.02, rate, -0.1)).toBe(0);
    expect(timeToReach(state, 0.02, rate, -0.2)).toBeNull();
    // Falls short and turns back: reaches an edge behind it.
    const short = { position: -0.1, velocity: 0.1 };
    expect(timeToReach(short, 0.02, rate, 0)).toBeNull();
    const back = timeToReach(short, 0.02, rate, -0.15);
    expect(pendulumAfter(short, 0.02, rate, back ?? 0).position).toBeCloseTo(-0.15, 10);
  });

  it('agrees with case o19: clip of a pendulum at 24 frames a second', () => {
    const { com, fps, expected } = readCase('o19-lipm-clip');
    const xs = (com as number[][]).map((row) => row[0]!);
    const start = { position: 0, velocity: rate * (expected.xcom_x[0] - xs[0]!) };
    xs.forEach((x, frame) => {
      const at = pendulumAfter(start, expected.cop_x_constant, rate, frame / fps);
      expect(Math.abs(at.position - x)).toBeLessThan(1e-6);
      expect(Math.abs(at.position + at.velocity / rate - expected.xcom_x[frame])).toBeLessThan(
        1e-6,
      );
    });
    const leaves = timeForExtrapolated(expected.xcom_x[0], expected.cop_x_constant, rate, 0.2);
    expect(leaves).toBeCloseTo(expected.xcomLeavesSupportAt_s, 5);
    expect(
      timeForExtrapolated(expected.xcom_x[0], expected.cop_x_constant, rate, -0.06),
    ).toBeNull();
  });
});
