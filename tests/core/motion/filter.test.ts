import { describe, expect, it } from 'vitest';
import { localFit, lowPass, smoothTrack } from '../../../core/motion/index.ts';

const rate = 120;
const wave = (hertz: number, count = 600) =>
  Float64Array.from({ length: count }, (_, i) => Math.sin((2 * Math.PI * hertz * i) / rate));

/** Size of a wave in the middle of a track, from whole cycles of it. */
const sizeOf = (track: Float64Array) =>
  Math.sqrt(track.slice(180, 420).reduce((sum, v) => sum + v * v, 0) / 120);

/** Deterministic normal noise (sum of twelve uniforms of a linear congruential generator). */
function noise(seed: number, count: number): Float64Array {
  let state = seed;
  const uniform = () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296;
  };
  return Float64Array.from({ length: count }, () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += uniform();
    return sum;
  });
}

describe('zero-phase low-pass', () => {
  // Two passes of a 2nd-order Butterworth: amplitude 1 / (1 + (tan(pi f / r) / k)^4), k = tan(pi c / r)
  // / 0.8022; 1 / sqrt 2 at the cut-off c. (Textbook response of the filter, bilinear transform.)
  it.each([1, 3, 6, 8, 12, 20])('passes %d Hz as the double Butterworth response says', (hertz) => {
    const k = Math.tan((Math.PI * 6) / rate) / 0.80225;
    const gain = 1 / (1 + (Math.tan((Math.PI * hertz) / rate) / k) ** 4);
    expect(sizeOf(lowPass(wave(hertz), rate, 6))).toBeCloseTo(gain, 2);
    if (hertz === 6) expect(gain).toBeCloseTo(Math.SQRT1_2, 4);
  });

  it('delays nothing', () => {
    const filtered = lowPass(wave(4), rate, 6);
    const shifted = (by: number) =>
      filtered.slice(200, 400).reduce((sum, v, i) => sum + v * wave(4)[200 + i + by]!, 0);
    expect(shifted(0)).toBeGreaterThan(shifted(1));
    expect(shifted(0)).toBeGreaterThan(shifted(-1));
  });

  it('keeps a parabola to its very ends', () => {
    const fall = Float64Array.from(
      { length: 40 },
      (_, i) => 5 + (2 * i) / rate - 4.905 * (i / rate) ** 2,
    );
    const { value, velocity, acceleration } = smoothTrack(fall, rate, 6);
    for (let i = 0; i < 40; i++) {
      expect(value[i]).toBeCloseTo(fall[i]!, 6);
      expect(velocity[i]).toBeCloseTo(2 - (9.81 * i) / rate, 4);
      expect(acceleration[i]).toBeCloseTo(-9.81, 3);
    }
  });

  it('does not care where the origin is', () => {
    const far = lowPass(
      wave(3).map((v) => v + 1000),
      rate,
      6,
    );
    const near = lowPass(wave(3), rate, 6);
    far.forEach((v, i) => {
      expect(Math.abs(v - 1000 - near[i]!)).toBeLessThan(1e-9);
    });
  });

  it('makes 1 mm of noise far smaller in acceleration than plain differences do', () => {
    // Plain second differences: sqrt 6 s r^2 = 35 m/s2 at 120 Hz (mechanics note 4.1).
    const shaken = noise(7, 600).map((v) => v * 0.001);
    const rms = (list: Float64Array) =>
      Math.sqrt(list.slice(100, 500).reduce((sum, v) => sum + v * v, 0) / 400);
    const plain = shaken.map(
      (v, i) => ((shaken[i + 1] ?? v) - 2 * v + (shaken[i - 1] ?? v)) * rate * rate,
    );
    expect(rms(plain)).toBeGreaterThan(30);
    expect(rms(smoothTrack(shaken, rate, 6).acceleration)).toBeLessThan(0.6);
  });

  it('refuses a cut-off that the rate cannot carry', () => {
    expect(() => lowPass(wave(1), 24, 12)).toThrow(RangeError);
    expect(() => lowPass(wave(1), 24, 0)).toThrow(RangeError);
    expect(() => lowPass([1, 2], 24, 6)).toThrow(RangeError);
  });
});

describe('local fit', () => {
  it('reads a parabola exactly from unevenly timed samples', () => {
    const times = [0, 0.1, 0.15, 0.4, 0.45, 0.7];
    const values = times.map((t) => 1 + 2 * t - 3 * t * t);
    for (const at of [-0.1, 0.2, 0.7]) {
      const fit = localFit(times, values, at);
      expect(fit.value).toBeCloseTo(1 + 2 * at - 3 * at * at, 10);
      expect(fit.velocity).toBeCloseTo(2 - 6 * at, 10);
      expect(fit.acceleration).toBeCloseTo(-6, 9);
    }
  });

  // Savitzky & Golay: five evenly spaced points, quadratic: smoothing (-3 12 17 12 -3) / 35, slope
  // (-2 -1 0 1 2) / 10, curvature (2 -1 -2 -1 2) / 7 (their tables, from memory).
  it('has the published weights for five points', () => {
    const unit = (k: number) => [0, 1, 2, 3, 4].map((i) => (i === k ? 1 : 0));
    [-3, 12, 17, 12, -3].forEach((weight, k) => {
      expect(localFit([0, 1, 2, 3, 4], unit(k), 2).value).toBeCloseTo(weight / 35, 12);
    });
    [-2, -1, 0, 1, 2].forEach((weight, k) => {
      expect(localFit([0, 1, 2, 3, 4], unit(k), 2).velocity).toBeCloseTo(weight / 10, 12);
    });
    [2, -1, -2, -1, 2].forEach((weight, k) => {
      expect(localFit([0, 1, 2, 3, 4], unit(k), 2).acceleration).toBeCloseTo(weight / 7, 12);
    });
  });

  it('is a line through two samples and a constant through one', () => {
    expect(localFit([0, 2], [1, 5], 1)).toEqual({ value: 3, velocity: 2, acceleration: 0 });
    expect(localFit([3], [7], 1)).toEqual({ value: 7, velocity: 0, acceleration: 0 });
    expect(() => localFit([], [], 0)).toThrow(RangeError);
  });
});
