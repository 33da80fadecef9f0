import { describe, expect, it } from 'vitest';
import {
  type ContactPoint,
  centringMass,
  impliedMassRange,
  riseToTip,
  speedToTip,
  toppleTime,
} from '../../../../core/balance/region/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';
import { caseById } from '../../../helpers/equilibrium-cases.ts';

const level = (x: number, z: number, y = 0, cap?: number): ContactPoint => ({
  point: [x, y, z],
  normal: [0, 1, 0],
  friction: 0.6,
  cap,
});

describe('implied load', () => {
  // Case o16 of tests/fixtures/equilibrium-cases.md: closed form m = M (s - c) / (p - s).
  const c = caseById('o16-implied-load-flat');
  const contacts = c.support.map(([x, y]: number[]) => level(x!, -y!));
  const range = (load: Vec3, centre: Vec3 = [-0.08, 0.95, 0]) =>
    impliedMassRange(contacts, 70, centre, load);

  it('a held box while leaning back: 2.745098 to 78.4 kg, centred by 27.6315789 kg', () => {
    const found = range([0.45, 1.05, 0]);
    if (found.kind !== 'range') throw new Error('none');
    expect(found.least_kg).toBeCloseTo(c.expected.massRange_kg[0], 5);
    expect(found.most_kg).toBeCloseTo(c.expected.massRange_kg[1], 5);
    const centring = centringMass(70, [-0.08, 0], [0.45, 0], [0.07, 0]);
    expect(centring.kind === 'mass' && centring.mass_kg).toBeCloseTo(
      c.expected.massForCentre_kg,
      6,
    );
  });

  it('says none, any up to, and without limit', () => {
    expect(range([-0.5, 1, 0])).toEqual({ kind: 'none' });
    const upTo = range([0.5, 1, 0], [0.1, 1, 0]);
    expect(upTo.kind === 'range' && upTo.least_kg).toBe(0);
    expect(upTo.kind === 'range' && upTo.most_kg).toBeCloseTo((70 * 0.1) / 0.3, 5);
    const over = range([0.1, 1, 0]);
    expect(over.kind === 'range' && over.most_kg).toBe(Number.POSITIVE_INFINITY);
    expect(impliedMassRange([], 70, [0, 1, 0], [0, 1, 0])).toEqual({ kind: 'none' });
  });

  it('a cap limits the mass: one foot on a step that bears 0.9 body weights', () => {
    // Own: lever rule between the feet at x = 0 and 0.5; the load hangs over the second one, which
    // carries 70 * 0.4 + m = 0.9 * 70.
    const feet = [level(0, 0), level(0.5, 0, 0, 0.9)];
    const found = impliedMassRange(feet, 70, [0.2, 1, 0], [0.5, 1, 0]);
    expect(found.kind === 'range' && found.most_kg).toBeCloseTo(70 * 0.5, 5);
  });

  it('centring: any, none, as heavy as can be', () => {
    expect(centringMass(70, [0, 0], [0, 0], [0.1, 0])).toEqual({ kind: 'any' });
    expect(centringMass(70, [0, 0], [0.4, 0], [-0.1, 0])).toEqual({ kind: 'none' });
    expect(centringMass(70, [0, 0], [0.4, 0], [0.5, 0])).toEqual({ kind: 'as heavy as can be' });
    expect(() => centringMass(70, [Number.NaN, 0], [1, 0], [0, 0])).toThrow(/centre/);
  });
});

describe('going over', () => {
  it('block 50 kg: rise 0.0123106 m, 6.03833 J (case o17)', () => {
    const rise = riseToTip([0, 0.4, 0], [-0.15, 0, 0.1], [0.15, 0, 0.1]);
    expect(rise * 50 * 9.81).toBeCloseTo(caseById('o17-block-tip').expected.energy_J, 5);
    expect(speedToTip(rise)).toBeCloseTo(Math.sqrt(2 * 9.81 * 0.0123106), 5);
  });

  it('an edge that climbs asks for less', () => {
    // Own: a vertical edge asks for nothing, a level one for sqrt(z^2 + d^2) - z.
    expect(riseToTip([0.1, 0.4, 0], [0, 0, 0], [0, 1, 0])).toBeCloseTo(0, 12);
    const flat = riseToTip([0.1, 0.4, 0], [0, 0, -1], [0, 0, 1]);
    const steep = riseToTip([0.1, 0.4, 0], [0, -0.5, -1], [0, 0.5, 1]);
    expect(flat).toBeCloseTo(Math.hypot(0.1, 0.4) - 0.4, 12);
    expect(steep).toBeLessThan(flat);
    expect(() => riseToTip([0, 1, 0], [0, 0, 0], [0, 0, 0])).toThrow(/two different ends/);
  });

  it.each([
    [2, 45, 1.219445],
    [5, 45, 0.926392],
    [10, 60, 0.799973],
  ])('pendulum of 1 m from %i to %i degrees takes %f s', (from, to, time) => {
    // mechanics.md 4.5, own quadrature, another rule.
    expect(toppleTime((from * Math.PI) / 180, (to * Math.PI) / 180, 1)).toBeCloseTo(time, 5);
  });

  it('agrees with the linear law for small leans and rates: acosh and asinh', () => {
    // theta = a cosh(w t) + (r / w) sinh(w t), small angles.
    const w = Math.sqrt(9.81 / 0.9);
    const rad = Math.PI / 180;
    const rest = toppleTime(0.5 * rad, 2 * rad, 0.9);
    expect(Math.abs(rest - Math.acosh(4) / w)).toBeLessThan(1e-3);
    const moving = toppleTime(0, 2 * rad, 0.9, { rate: 0.1 });
    expect(Math.abs(moving - Math.asinh((2 * rad * w) / 0.1) / w)).toBeLessThan(1e-3);
  });

  it('starts at half a degree, is over at once when already there, and names bad numbers', () => {
    expect(toppleTime(0, 1, 1)).toBe(toppleTime((0.5 * Math.PI) / 180, 1, 1));
    expect(toppleTime(1, 0.9, 1)).toBe(0);
    expect(() => toppleTime(0, 4, 1)).toThrow(/until is 4/);
    expect(() => toppleTime(0, 1, 0)).toThrow(/length is 0/);
    expect(() => toppleTime(0, 1, 1, { rate: -1 })).toThrow(/rate/);
  });
});
