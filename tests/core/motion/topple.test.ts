import { describe, expect, it } from 'vitest';
import { toppleConstant, toppleTime } from '../../../core/motion/index.ts';

const DEGREE = Math.PI / 180;

describe('time to topple', () => {
  // Exact values for a point mass 1 m from the edge, g 9.81, by separate quadrature of the energy
  // integral (mechanics note 4.5); the linear value acosh(th1 / th0) / sqrt(k) is 0.3 to 1.1 % shorter.
  it.each([
    [2, 45, 1.219445, 1.215216],
    [5, 45, 0.926392, 0.921835],
    [10, 60, 0.799973, 0.791129],
  ])('from %d to %d degrees', (from, to, exact, linear) => {
    const k = toppleConstant(1);
    const time = toppleTime({ lean: from * DEGREE, until: to * DEGREE, k });
    expect(Math.abs((time ?? 0) - exact)).toBeLessThan(1e-6);
    const small = Math.acosh(to / from) / Math.sqrt(k);
    expect(Math.abs(small - linear)).toBeLessThan(1e-6);
    expect(small).toBeLessThan(time ?? 0);
  });

  // Oracle: Runge-Kutta on theta'' = k sin(theta) until the angle is passed.
  it.each([
    [5, 45, 0],
    [5, 45, 0.5],
    [5, 45, -0.2],
    [20, 90, -0.9],
    [1, 80, 2],
    [8, 30, 0.4369],
  ])(
    'from %d to %d degrees with %f rad/s agrees with stepping the equation',
    (from, to, leanRate) => {
      const k = 9.81 / 0.93;
      const time = toppleTime({ lean: from * DEGREE, until: to * DEGREE, leanRate, k });
      expect(
        Math.abs((time ?? -1) - stepped(from * DEGREE, leanRate, to * DEGREE, k)),
      ).toBeLessThan(2e-4);
    },
  );

  it('is nothing when it has toppled, and never when it swings back over the vertical', () => {
    expect(toppleTime({ lean: 0.9, until: 0.8, k: 9.81 })).toBe(0);
    expect(toppleTime({ lean: 0.05, leanRate: -0.5, until: 0.8, k: 9.81 })).toBeNull();
  });

  it('scales with the root of size: a figure four times as tall takes twice as long', () => {
    const small = toppleTime({ lean: 0.1, until: 0.8, k: toppleConstant(0.5) }) ?? 0;
    const tall = toppleTime({ lean: 0.1, until: 0.8, k: toppleConstant(2) }) ?? 0;
    expect(tall / small).toBeCloseTo(2, 10);
  });

  it('starts from half a degree where the lean is smaller', () => {
    const none = toppleTime({ lean: 0, until: 0.8, k: 9.81 });
    expect(none).toBe(toppleTime({ lean: 0.5 * DEGREE, until: 0.8, k: 9.81 }));
  });

  it('refuses what cannot topple', () => {
    expect(() => toppleTime({ lean: 0.1, until: 0.8, k: 0 })).toThrow(RangeError);
    expect(() => toppleTime({ lean: 0.1, until: 4, k: 9.81 })).toThrow(RangeError);
  });
});

function stepped(lean: number, leanRate: number, until: number, k: number): number {
  const step = 1e-4;
  let [theta, speed, time] = [lean, leanRate, 0];
  while (theta < until && time < 5) {
    const a1 = k * Math.sin(theta);
    const a2 = k * Math.sin(theta + speed * step + (a1 * step * step) / 2);
    theta += speed * step + (a1 * step * step) / 2;
    speed += ((a1 + a2) / 2) * step;
    time += step;
  }
  return time;
}
