import { describe, expect, it } from 'vitest';
import {
  paiPatton,
  pendulumRate,
  riseFromSeat,
  seatOffSpeeds,
} from '../../../core/motion/index.ts';
import { readCase } from './cases.ts';

// Pai YC, Patton J (1997) Center of mass velocity-position predictions for balance control, J Biomech
// 30:347-354: numbers of the abstract.
describe('published boundary of Pai & Patton', () => {
  it('passes through the published points', () => {
    expect(paiPatton(2.4, 'upper')).toBeCloseTo(1.1, 12);
    expect(paiPatton(0, 'upper')).toBeCloseTo(0.45, 12);
    expect(paiPatton(-1, 'upper')).toBeCloseTo(0, 12);
    expect(paiPatton(2.7, 'lower')).toBeCloseTo(0.9, 12);
    expect(paiPatton(0, 'lower')).toBeCloseTo(0, 12);
  });

  it('says nothing beyond them', () => {
    expect(paiPatton(2.5, 'upper')).toBeNull();
    expect(paiPatton(2.8, 'lower')).toBeNull();
    expect(paiPatton(-1.1, 'lower')).toBeNull();
  });

  it('is 1.93, 0.79 and 1.58 m/s for a stature of 1.75 m', () => {
    expect((paiPatton(2.4, 'upper') ?? 0) * 1.75).toBeCloseTo(1.925, 6);
    expect((paiPatton(0, 'upper') ?? 0) * 1.75).toBeCloseTo(0.7875, 6);
    expect((paiPatton(2.7, 'lower') ?? 0) * 1.75).toBeCloseTo(1.575, 6);
  });

  it('asks 0.29 m/s half a foot behind the heel, where the straight rule asks 0.42', () => {
    const speeds = seatOffSpeeds({
      behindHeel: 0.133,
      footLength: 0.266,
      height: 1,
      stature: 1.75,
    });
    expect(speeds.published.least).toBeCloseTo(0.2917, 4);
    expect(speeds.hof.least).toBeCloseTo(0.4166, 4);
  });
});

describe('rising from a seat', () => {
  const { com, heelX, toeX, expected } = readCase('o20-sit-to-stand-threshold');
  const seatOff = {
    behindHeel: heelX - com[0],
    footLength: toeX - heelX,
    height: com[2],
    stature: null,
  };

  it('agrees with case o20', () => {
    const speeds = seatOffSpeeds(seatOff);
    expect(Math.abs(speeds.hof.least - expected.vMin_m_s)).toBeLessThan(1e-5);
    expect(Math.abs(speeds.hof.most - expected.vMax_m_s)).toBeLessThan(1e-5);
    expect(Math.abs(speeds.pendulum - expected.vMin_fixedPendulum_m_s)).toBeLessThan(1e-5);
  });

  it('says what becomes of it at 0.40, 0.60 and 1.60 m/s (case o20), with numbers', () => {
    const at = (speed: number) => riseFromSeat({ ...seatOff, speed });
    expect(at(0.4).outcome).toBe('falls back');
    expect(at(0.4).sentence).toBe(
      'Rising needs 0.48 m/s forwards at seat-off, has 0.40: it falls back into the seat.',
    );
    expect(at(0.6).outcome).toBe('comes to rest');
    expect(at(1.6).outcome).toBe('steps');
    expect(at(1.6).sentence).toContain('bears 1.51 m/s, has 1.60');
  });

  it('judges by the pendulum more than a foot behind the heel, and calls nothing too fast there', () => {
    const far = seatOffSpeeds({ ...seatOff, behindHeel: 0.4, height: 0.7 });
    expect(far.least).toBe(far.pendulum);
    expect(far.least).toBeLessThan(far.hof.least);
    expect(far.most).toBeNull();
  });

  // Own comparison with the published 0.9 body heights a second at 2.7 foot lengths: foot 0.152 of the
  // stature, a rod as long as the standing centre is high: straight rule over 40 % high, pendulum 6 to
  // 8 % (mechanics note 4.6).
  it.each([0.55, 0.575])('comes within 8 percent of the far published point, rod %f H', (share) => {
    const H = 1.75;
    const behindHeel = 2.7 * 0.152 * H;
    const height = Math.sqrt((share * H) ** 2 - behindHeel ** 2);
    const { pendulum } = seatOffSpeeds({ behindHeel, footLength: 0.152 * H, height, stature: H });
    expect(pendulum / H / 0.9).toBeGreaterThan(1.05);
    expect(pendulum / H / 0.9).toBeLessThan(1.09);
    expect((pendulumRate(share * H) * behindHeel) / H / 0.9).toBeGreaterThan(1.4);
  });

  it('needs no speed with the centre over the feet', () => {
    const { sentence, least } = riseFromSeat({
      ...seatOff,
      behindHeel: -0.1,
      speed: 0.1,
      stature: 1.7,
    });
    expect(least).toBe(0);
    expect(sentence).toBe(
      'Rising needs no speed at seat-off (Pai & Patton 1997 ask none), has 0.10: it can come to rest over the feet.',
    );
  });
});
