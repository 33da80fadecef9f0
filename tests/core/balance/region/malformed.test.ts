import { describe, expect, it } from 'vitest';
import {
  type ContactPoint,
  equilibriumRegion,
  frictionScale,
  pushLimit,
  staticLoads,
  tiltAngle,
} from '../../../../core/balance/region/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';
import { random } from '../../../helpers/random.ts';

const good: ContactPoint = { point: [0, 0, 0], normal: [0, 1, 0], friction: 0.5 };
const other: ContactPoint = { ...good, point: [1, 0, 0] };

describe('malformed input is named, with the mend', () => {
  const nan = Number.NaN;
  it.each([
    [{ ...good, point: [0, nan, 0] as Vec3 }, /contacts\[1\]\.point .* three finite numbers/],
    [{ ...good, point: [0, 0] as unknown as Vec3 }, /contacts\[1\]\.point/],
    [{ ...good, normal: [0, 0, 0] as Vec3 }, /contacts\[1\]\.normal .* direction/],
    [{ ...good, normal: [0, Number.POSITIVE_INFINITY, 0] as Vec3 }, /contacts\[1\]\.normal/],
    [{ ...good, friction: -0.1 }, /contacts\[1\]\.friction is -0\.1; give a finite coefficient/],
    [{ ...good, friction: nan }, /contacts\[1\]\.friction/],
    [{ ...good, cap: -1 }, /contacts\[1\]\.cap is -1/],
    [{ ...good, hold: nan }, /contacts\[1\]\.hold/],
  ])('%j', (bad, message) => {
    expect(() => equilibriumRegion([other, bad])).toThrow(RangeError);
    expect(() => equilibriumRegion([other, bad])).toThrow(message);
  });

  it('options and quantities', () => {
    expect(() => equilibriumRegion([good], { edges: 2 })).toThrow(/options\.edges is 2/);
    expect(() => equilibriumRegion([good], { edges: 7.5 })).toThrow(/options\.edges/);
    expect(() => equilibriumRegion([good], { tolerance_m: 0 })).toThrow(/options\.tolerance_m/);
    expect(() => equilibriumRegion([good], { reach_m: -1 })).toThrow(/options\.reach_m/);
    expect(() => staticLoads([good], [0, nan, 0], 700)).toThrow(/centre/);
    expect(() => staticLoads([good], [0, 1, 0], 0)).toThrow(/weight_N is 0/);
    expect(() => tiltAngle([good], [0, 1, 0], [0, 0])).toThrow(/direction/);
    expect(() => pushLimit([good], [0, 1, 0], 700, [0, nan, 0], [1, 0])).toThrow(/at is/);
  });
});

describe('nothing to stand on', () => {
  it('is empty, with the reason', () => {
    expect(equilibriumRegion([])).toEqual({ kind: 'empty', reason: 'no contact' });
    expect(staticLoads([], [0, 1, 0], 700)).toEqual({ kind: 'not held' });
    expect(frictionScale([], [0, 1, 0])).toBeNull();
    expect(tiltAngle([], [0, 1, 0], [1, 0])).toBeNull();
    const ceiling: ContactPoint = { point: [0, 2, 0], normal: [0, -1, 0], friction: 0.5 };
    expect(equilibriumRegion([ceiling])).toEqual({ kind: 'empty', reason: 'nothing carries' });
  });

  it('a point is a region of one vertex, a line of two', () => {
    expect(equilibriumRegion([good])).toEqual({
      kind: 'region',
      vertices: [[0, 0]],
      area_m2: 0,
      exact: true,
      error_m: 0,
    });
    const tilted: ContactPoint = { ...good, normal: [0.2, 1, 0] };
    const point = equilibriumRegion([tilted, { ...tilted, normal: [-0.2, 1, 0] }]);
    expect(point.kind === 'region' && point.vertices.length).toBe(1);
    const line = equilibriumRegion([good, other]);
    expect(line.kind === 'region' && line.vertices).toEqual([
      [0, 0],
      [1, 0],
    ]);
  });
});

describe('degenerate sets never give NaN, never throw', () => {
  it('150 seeded sets of coincident, collinear, opposed and far contacts', () => {
    for (let seed = 1; seed <= 150; seed++) {
      const next = random(seed);
      const pick = (values: readonly number[]) => values[Math.floor(next() * values.length)]!;
      const far = pick([0, 0, 0, 1e4]);
      const contacts = Array.from(
        { length: 1 + Math.floor(next() * 7) },
        (): ContactPoint => ({
          point: [
            far + pick([0, 0, 0.5, 1, 1 + 1e-10]),
            pick([0, 0, 1e-12, 1]),
            pick([0, 0, 0, 0.3]),
          ],
          normal:
            pick([0, 1]) === 0
              ? [0, 1, 0]
              : [pick([1, -1, 0]), pick([0, 1, 1e-9]), pick([0, 1e-12, 1])],
          friction: pick([0, 0, 0.5, 1, 1e-9, 50]),
          cap: pick([0, 1]) === 0 ? undefined : pick([0, 0.1, 1, 1e6]),
          hold: next() < 0.1 ? pick([0, 0.2, Number.POSITIVE_INFINITY]) : undefined,
          patch: next() < 0.3 ? 'shared' : undefined,
        }),
      ).filter((c) => Math.hypot(...c.normal) > 1e-6);
      const note = `seed ${seed}: ${JSON.stringify(contacts)}`;
      const region = equilibriumRegion(contacts);
      const centre: Vec3 = [far + 0.5, 1, 0.1];
      const balance = contacts.length > 0 ? staticLoads(contacts, centre, 700) : null;
      const scale = frictionScale(contacts, centre);
      const tilt = tiltAngle(contacts, centre, [1, 0.5]);
      const numbers: (number | null)[] = [scale, tilt?.value ?? null];
      if (region.kind === 'region')
        numbers.push(region.area_m2, region.error_m, ...region.vertices.flat());
      if (region.kind === 'unbounded')
        numbers.push(...region.directions.flat(), ...region.within.vertices.flat());
      if (balance?.kind === 'holds')
        for (const load of balance.loads)
          numbers.push(...load.vertical_N, ...load.normal_N, load.likely_N, load.frictionUsed);
      for (const value of numbers) expect(value === null || !Number.isNaN(value), note).toBe(true);
      if (region.kind === 'region') expect(region.vertices.length, note).toBeGreaterThan(0);
    }
  });
});
