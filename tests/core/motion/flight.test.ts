import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { fitFlight } from '../../../core/motion/index.ts';

const fall = (rate: number, count: number, gravity: number, up = 2.5): Vec3[] =>
  Array.from({ length: count }, (_, i) => {
    const t = i / rate;
    return [0.5 * t, 1 + up * t - (gravity * t * t) / 2, 0];
  });

describe('free flight', () => {
  // A jump of 0.50931 s that leaves and lands at a centre of 0.975 m rises to 1.293578 m (mechanics
  // note 4.4): g (t / 2)^2 / 2.
  it('finds 9.81 at any frame rate', () => {
    for (const rate of [24, 25, 30, 120]) {
      const frames = Math.floor(0.50931 * rate);
      const flight = fitFlight(fall(rate, frames, 9.81, (9.81 * 0.50931) / 2), 0, frames - 1, rate);
      expect(flight?.gravity).toBeCloseTo(9.81, 6);
      expect(flight?.kind).toBe('flies');
      expect(flight?.residual).toBeLessThan(1e-9);
      expect(flight?.sentence).toContain('as it should on earth');
    }
    expect((9.81 * (0.50931 / 2) ** 2) / 2).toBeCloseTo(1.293578 - 0.975, 3);
  });

  it('calls a slow fall floating, with the scale that would mend it', () => {
    const flight = fitFlight(fall(24, 12, 4.905), 0, 11, 24);
    expect(flight?.kind).toBe('floats');
    expect(flight?.scale).toBeCloseTo(0.5, 6);
    expect(flight?.sentence).toBe(
      "In the air from frame 0 to 11 the centre falls at 4.91 m/s² (± 0.00), slower than 9.81 m/s²: the clip's scale is off by a factor of 0.50, its timing by 1.41, or something carries it that does not touch.",
    );
    expect(fitFlight(fall(24, 12, 20), 0, 11, 24)?.kind).toBe('dives');
    expect(fitFlight(fall(24, 12, -1), 0, 11, 24)?.sentence).toContain('does not fall at all');
  });

  it('does not judge what is too short or too noisy', () => {
    expect(fitFlight(fall(24, 3, 1), 0, 2, 24)).toBeNull();
    const shaken = fall(60, 8, 9.81).map(
      ([x, y, z], i): Vec3 => [x, y + (i % 2 ? 0.004 : -0.004), z],
    );
    expect(fitFlight(shaken, 0, 7, 60)?.kind).toBe('unclear');
  });

  it('reads the named frames only', () => {
    const centre: Vec3[] = [[0, 9, 0], [0, 8, 0], ...fall(30, 10, 9.81), [0, 5, 0]];
    const flight = fitFlight(centre, 2, 11, 30);
    expect(flight?.gravity).toBeCloseTo(9.81, 6);
    expect([flight?.from, flight?.to]).toEqual([2, 11]);
    expect(flight?.duration).toBeCloseTo(0.3, 12);
  });
});
