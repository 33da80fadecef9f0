import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { weigh } from '../../../core/balance/weight.ts';
import { FUNCTIONAL_FOOT } from '../../../core/body/functional-foot.ts';
import { DELEVA_FEMALE, DELEVA_MALE } from '../../../core/body/tables/deleva.ts';
import { DEMPSTER_GROUPS, DEMPSTER_WINTER } from '../../../core/body/tables/dempster.ts';
import { massShareSum } from '../../../core/body/tables/published.ts';
import { lerp, type Vec3 } from '../../../core/geometry/index.ts';

const fixture = (path: string): string =>
  readFileSync(new URL(`../../fixtures/${path}`, import.meta.url), 'utf8');

describe('published segment tables', () => {
  it('close as printed (de Leva 1996 Table 4; Winter 2009 Table 4.1)', () => {
    expect(massShareSum(DELEVA_MALE)).toBeCloseTo(1, 9);
    // Rounding of the printed percentages.
    expect(massShareSum(DELEVA_FEMALE)).toBeCloseTo(0.9999, 9);
    expect(massShareSum(DEMPSTER_WINTER)).toBeCloseTo(1, 9);
  });

  it('parts of the trunk add up to the trunk (de Leva 1996: 0.4346 men, 0.4257 women)', () => {
    const trunk = (t: typeof DELEVA_MALE) => t.chest.mass + t.abdomen.mass + t.pelvis.mass;
    expect(trunk(DELEVA_MALE)).toBeCloseTo(0.4346, 9);
    expect(trunk(DELEVA_FEMALE)).toBeCloseTo(0.4257, 9);
    expect(trunk(DEMPSTER_WINTER)).toBeCloseTo(0.497, 9);
    // CERV-MIDH of the whole trunk's row.
    const long = (t: typeof DELEVA_MALE) =>
      (t.chest.length ?? 0) + (t.abdomen.length ?? 0) + (t.pelvis.length ?? 0);
    expect(long(DELEVA_MALE)).toBeCloseTo(0.6033, 9);
    expect(long(DELEVA_FEMALE)).toBeCloseTo(0.6148, 9);
  });

  it('head, arms and trunk with two legs are a whole body (Winter 2009 Table 4.1)', () => {
    expect(DEMPSTER_GROUPS.headArmsTrunk + 2 * DEMPSTER_GROUPS.leg).toBeCloseTo(1, 9);
    const { thigh, shank, foot } = DEMPSTER_WINTER;
    expect(thigh.mass + shank.mass + foot.mass).toBeCloseTo(DEMPSTER_GROUPS.leg, 9);
  });

  it("puts the shank's centre where de Leva's other definitions of it do, 193.5 and 190.9 mm below the knee", () => {
    const below = (t: typeof DELEVA_MALE) => (t.shank.length ?? 0) * t.shank.centre;
    expect(Math.abs(below(DELEVA_MALE) - 0.1935)).toBeLessThan(3e-4);
    expect(Math.abs(below(DELEVA_FEMALE) - 0.1909)).toBeLessThan(3e-4);
  });

  it('holds the functional foot of Millard & Sloot 2025 as published', () => {
    const rows = fixture('fbos/normBosModelIorBare.csv')
      .trim()
      .split(/\r?\n/)
      .map((row) => row.split(',').map(Number));
    const seen = new Set(FUNCTIONAL_FOOT.map(([x, y]) => `${x} ${y}`));
    expect(seen.size).toBe(53);
    for (const [x, y] of rows) {
      expect(seen.has(`${Math.abs(x ?? 0) < 1e-12 ? 0 : x} ${y}`), `${x}, ${y}`).toBe(true);
    }
  });
});

describe('worked examples', () => {
  it('lower limb in the sagittal plane (Duarte, BMClab notebook, CC BY 4.0; Winter example)', () => {
    const at = (x: number, y: number): Vec3 => [0, y, x];
    const [toe, ankle, knee, hip] = [
      at(1.011, 0.013),
      at(0.849, 0.11),
      at(0.864, 0.549),
      at(0.721, 0.928),
    ];
    const { foot, shank, thigh } = DEMPSTER_WINTER;
    const parts = [
      { name: 'foot', mass: foot.mass, centre: lerp(ankle, toe, foot.centre) },
      { name: 'shank', mass: shank.mass, centre: lerp(knee, ankle, shank.centre) },
      { name: 'thigh', mass: thigh.mass, centre: lerp(hip, knee, thigh.centre) },
    ];
    const expected = [
      [0.93, 0.0615],
      [0.8575, 0.3589],
      [0.7829, 0.7639],
      [0.8177, 0.5837],
    ];
    const centres = [...parts.map(({ centre }) => centre), weigh(parts).centre as Vec3];
    centres.forEach(([, y, x], i) => {
      expect(Math.abs(x - (expected[i]?.[0] ?? 0))).toBeLessThan(1e-4);
      expect(Math.abs(y - (expected[i]?.[1] ?? 0))).toBeLessThan(1e-4);
    });
  });

  it('leg of two uniform halves, straight and bent (Young & Freedman exercise, masses from memory)', () => {
    const leg = (thigh: number, shank: number, shankCentre: Vec3) =>
      weigh([
        { name: 'thigh', mass: thigh, centre: [0.23, 0, 0] },
        { name: 'shank', mass: shank, centre: shankCentre },
      ]).centre as Vec3;
    expect(leg(8.6, 5.25, [0.69, 0, 0])[0]).toBeCloseTo(0.4044, 4);
    const bent = leg(8.6, 5.25, [0.46, -0.23, 0]);
    expect(bent[0]).toBeCloseTo(0.3172, 4);
    expect(bent[1]).toBeCloseTo(-0.0872, 4);
  });

  it('whole-body centres of the Rajagopal 2016 model, six poses (see rajagopal-points.json)', () => {
    const { masses, poses } = JSON.parse(fixture('rajagopal-points.json')) as {
      masses: Record<string, number>;
      poses: { name: string; total: Vec3; centres: Record<string, Vec3> }[];
    };
    expect(poses).toHaveLength(6);
    for (const { name, total, centres } of poses) {
      const found = weigh(
        Object.entries(centres).map(([body, centre]) => ({
          name: body,
          mass: masses[body] ?? Number.NaN,
          centre,
        })),
      );
      expect(found.mass).toBeCloseTo(75.337, 6);
      for (const axis of [0, 1, 2] as const) {
        expect(Math.abs((found.centre as Vec3)[axis] - total[axis]), name).toBeLessThan(1e-5);
      }
    }
  });
});
