import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { differentiate, exposures, heldShare, pressureOf } from '../../../core/motion/index.ts';
import { readCase } from './cases.ts';

const track = (count: number, at: (i: number) => Vec3) =>
  Array.from({ length: count }, (_, i) => at(i));

describe('velocity and acceleration of a centre', () => {
  it('give back the constant pressure of the pendulum clip (case o19)', () => {
    const { com, fps, mass, expected, tolerance } = readCase('o19-lipm-clip');
    // (x, y, z) there, z up, is (x, z, -y) here.
    const centre = (com as number[][]).map(([x, y, z]): Vec3 => [x!, z!, -y!]);
    const { velocity, acceleration } = differentiate(centre, fps);
    centre.forEach((c, i) => {
      const extrapolated = c[0] + velocity[i]![0] / expected.omega0;
      expect(Math.abs(extrapolated - expected.xcom_x[i])).toBeLessThan(0.003);
      // Interior: the filter's ends reach a period of the cut-off (4 frames) and two more inwards.
      if (i < 2 || i > 18) return;
      expect(Math.abs(extrapolated - expected.xcom_x[i])).toBeLessThan(tolerance.xcom_m);
      const point = pressureOf({ mass, centre: c, acceleration: acceleration[i]! });
      expect(Math.abs(point![0] - expected.cop_x_constant)).toBeLessThan(
        3 * tolerance.cop_m_interior,
      );
      if (i > 3 && i < 18)
        expect(Math.abs(point![0] - expected.cop_x_constant)).toBeLessThan(
          tolerance.cop_m_interior,
        );
    });
  });

  it('keep a landing sharp where the support changes', () => {
    // Falls for half a second, then lands and settles slowly.
    const rate = 60;
    const centre = track(60, (i) => [
      0,
      i < 30 ? 2 - 4.905 * (i / rate) ** 2 : 0.78 - 0.02 * ((i - 30) / rate),
      0,
    ]);
    const parted = differentiate(centre, rate, { breaks: [30] });
    expect(parted.velocity[29]![1]).toBeCloseTo((-9.81 * 29) / rate, 2);
    expect(parted.velocity[30]![1]).toBeCloseTo(-0.02, 6);
    expect(parted.acceleration[28]![1]).toBeCloseTo(-9.81, 1);
    const smeared = differentiate(centre, rate);
    expect(Math.abs(smeared.velocity[30]![1])).toBeGreaterThan(1);
  });

  it.each([2, 3])('recognise poses held for %d frames', (held) => {
    const rate = 24;
    const path = (t: number): Vec3 => [0.1 * t * t + 0.3 * t, 1, -0.2 * t];
    const centre = track(48, (i) => path((i - (i % held)) / rate));
    expect(heldShare(exposures(centre, rate))).toBeCloseTo(1 - 1 / held, 12);
    const { velocity, acceleration } = differentiate(centre, rate);
    for (let i = 0; i < 48; i++) {
      const t = (i - (i % held)) / rate;
      expect(velocity[i]![0]).toBeCloseTo(0.2 * t + 0.3, 9);
      expect(velocity[i]![2]).toBeCloseTo(-0.2, 9);
      expect(acceleration[i]![0]).toBeCloseTo(0.2, 7);
    }
  });

  it('give a stop no speed, and do not smear it over the frames around it', () => {
    const rate = 24;
    const centre = track(40, (i) => [i < 15 ? i * 0.02 : 0.3, 1, 0]);
    const { velocity } = differentiate(centre, rate);
    expect(velocity[10]![0]).toBeCloseTo(0.48, 6);
    for (let i = 15; i < 40; i++) expect(velocity[i]).toEqual([0, 0, 0]);
  });

  it('tell how well a shaken track is known', () => {
    let state = 11;
    const random = () => {
      state = (state * 1664525 + 1013904223) % 4294967296;
      return (state / 4294967296 - 0.5) * Math.sqrt(12) * 0.002;
    };
    const shaken = track(
      2000,
      (i): Vec3 => [0.3 * Math.sin(i / 60) + random(), 1 + random(), random()],
    );
    const { noise, acceleration } = differentiate(shaken, 120);
    expect(noise.position).toBeGreaterThan(0.0018);
    expect(noise.position).toBeLessThan(0.0022);
    const rms = Math.sqrt(
      acceleration.slice(100, 1900).reduce((sum, a) => sum + a![2] ** 2, 0) / 1800,
    );
    expect(noise.acceleration / rms).toBeGreaterThan(0.8);
    expect(noise.acceleration / rms).toBeLessThan(1.25);
  });

  it('live with a single frame, two frames and a break at each frame', () => {
    expect(differentiate([[1, 2, 3]], 24).velocity).toEqual([[0, 0, 0]]);
    const two = differentiate(
      [
        [0, 1, 0],
        [0.1, 1, 0],
      ],
      24,
    );
    expect(two.velocity[0]![0]).toBeCloseTo(2.4, 9);
    expect(two.acceleration).toEqual([null, null]);
    const steady = track(5, (i) => [i * 0.1, 1, 0]);
    const parted = differentiate(steady, 10, { breaks: [0, 1, 2, 3, 4] });
    for (const v of parted.velocity) expect(v[0]).toBeCloseTo(1, 9);
    expect(differentiate([], 24).velocity).toEqual([]);
  });

  it('refuse a rate or a cut-off that is not positive', () => {
    expect(() => differentiate([], 0)).toThrow(RangeError);
    expect(() => differentiate([], 24, { cutoff: -1 })).toThrow(RangeError);
  });
});
