import { describe, expect, it } from 'vitest';
import {
  type ClipReading,
  type ClipSource,
  type WeighClipOptions,
  weighClip,
} from '../../../core/motion/index.ts';
import { figure, floor, scene } from '../../../demo-data/scenes.ts';
import { bench, type KeyPose, rising } from '../../../demo-data/shots/ben-0110.ts';

/** Feet out before him: shanks 15 degrees back of the vertical, as in the demo's first draft. */
const SLANT = -15;
const SEAT_OFF = 12;

/** Own keys: swings the trunk, leaves the seat at frame 12, draws the hips over the feet, stands. */
const KEYS: readonly KeyPose[] = [
  { frame: 0, shank: SLANT, hip: 0.53, trunk: -5, arms: 12 },
  { frame: 6, shank: SLANT, hip: 0.53, trunk: 22, arms: 55 },
  { frame: 12, shank: SLANT + 2, hip: 0.55, trunk: 50, arms: 75 },
  { frame: 18, shank: 4, hip: 0.62, trunk: 52, arms: 72 },
  { frame: 26, shank: 10, hip: 0.79, trunk: 38, arms: 40 },
  { frame: 36, shank: 3.3, hip: 0.9065, trunk: 9.8, arms: 6 },
  { frame: 90, shank: 3.3, hip: 0.9065, trunk: 9.8, arms: 6 },
];

/** Between the keys by a cubic through them (Catmull-Rom), so that speeds do not jump at a key. */
function keyAt(frame: number): KeyPose {
  const i = Math.max(
    0,
    KEYS.findLastIndex((key, k) => key.frame <= frame && k < KEYS.length - 1),
  );
  const [a, b] = [KEYS[i]!, KEYS[i + 1]!];
  const [before, after] = [KEYS[i - 1] ?? a, KEYS[i + 2] ?? b];
  const t = Math.min(1, (frame - a.frame) / (b.frame - a.frame));
  const between = (read: (key: KeyPose) => number): number => {
    const span = b.frame - a.frame;
    const slope = (from: KeyPose, to: KeyPose) =>
      to.frame === from.frame ? 0 : ((read(to) - read(from)) / (to.frame - from.frame)) * span;
    const [p, q, m, n] = [read(a), read(b), slope(before, b), slope(a, after)];
    return (
      (2 * t ** 3 - 3 * t ** 2 + 1) * p +
      (t ** 3 - 2 * t ** 2 + t) * m +
      (3 * t ** 2 - 2 * t ** 3) * q +
      (t ** 3 - t ** 2) * n
    );
  };
  return {
    frame,
    shank: between((key) => key.shank),
    hip: between((key) => key.hip),
    trunk: between((key) => key.trunk ?? 0),
    arms: between((key) => key.arms),
  };
}

/** The same drawings at another rate: the same rise, quicker or slower. */
const rise = (rate: number, options: WeighClipOptions = {}): ClipReading => {
  const clip: ClipSource = {
    rate,
    frameCount: 91,
    sceneAt: (frame) =>
      scene({
        figures: [
          figure('a', 'Ferryman', rising(keyAt(frame)), {
            seat: frame < SEAT_OFF ? 'planted' : 'lifted',
            soleL: 'planted',
            soleR: 'planted',
          }),
        ],
        surfaces: [floor(), ...bench(SLANT)],
      }),
  };
  return weighClip(clip, options);
};

// Feet out before him the man needs 0.4 to 0.7 m/s of forward swing (two published rules differ).
describe('rising from a bench with the feet out', () => {
  it('finds the moment the seat lets go, and both rules for it', () => {
    const { rises, spans } = rise(24);
    expect(rises).toHaveLength(1);
    expect(rises[0]!.frame).toBe(SEAT_OFF);
    expect(spans[0]!.parts).toContain('a/seat');
    expect(spans[1]!.parts).toEqual(['a/footL', 'a/footR']);
    expect(rises[0]!.least).toBeGreaterThan(0.4);
    expect(rises[0]!.least).toBeLessThan(0.7);
    expect(rises[0]!.published.least).toBeGreaterThan(0.25);
    expect(rises[0]!.published.least).toBeLessThan(rises[0]!.least);
  });

  it('carries when it is drawn quickly, and falls back when it is drawn slowly: same drawings', () => {
    const quick = rise(40);
    expect(quick.rises[0]!.outcome).toBe('comes to rest');
    expect(quick.frames[SEAT_OFF]!.reading.verdict).toBe('falls');
    expect(quick.frames[SEAT_OFF]!.verdict).toBe('carried');
    expect(quick.frames[SEAT_OFF]!.sentence).toMatch(
      /^Carried: \d+\.\d cm short of the support, needs 0\.\d\d m\/s forwards at seat-off, has 0\.\d\d\.$/,
    );
    expect(quick.counts.falls ?? 0).toBe(0);

    const slow = rise(12);
    expect(slow.rises[0]!.outcome).toBe('falls back');
    expect(slow.frames[SEAT_OFF]!.verdict).toBe('falls');
    expect(slow.frames[SEAT_OFF]!.sentence).toMatch(
      /^Falls backwards: needs 0\.\d\d m\/s forwards at/,
    );
    expect(slow.worst).toBeLessThan(SEAT_OFF + 4);
    expect(slow.frames[SEAT_OFF]!.needed).toBeCloseTo(quick.frames[SEAT_OFF]!.needed!, 1);
  });

  it('says how much quicker the slow one must be, and how much slower the quick one may be', () => {
    // Contacts as set by hand, so that they do not depend on the rate.
    const [slow, quick] = [12, 40].map((rate) => rise(rate, { slowest: true, contacts: 'single' }));
    expect(slow!.slowest).toBeGreaterThan(1);
    expect(quick!.slowest).toBeLessThan(1);
    // The same motion has one least speed, whatever it is drawn at: to a hundredth of each rate.
    expect(Math.abs(12 * slow!.slowest! - 40 * quick!.slowest!)).toBeLessThan(0.6);
    const least = 40 * quick!.slowest!;
    expect(rise(least, { contacts: 'single' }).counts.falls ?? 0).toBe(0);
    expect(rise(least - 0.8, { contacts: 'single' }).counts.falls).toBeGreaterThan(0);
  });

  it('holds before, and from the frame on from which it could stop', () => {
    const quick = rise(40);
    for (let frame = 0; frame < SEAT_OFF; frame++)
      expect(quick.frames[frame]!.verdict).toBe('holds');
    expect(quick.stopsFrom).toBeGreaterThan(SEAT_OFF);
    expect(quick.stopsFrom).toBeLessThan(60);
    expect(quick.frames[80]!.verdict).toBe('holds');
  });
});
