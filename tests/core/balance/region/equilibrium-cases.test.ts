import { describe, expect, it } from 'vitest';
import {
  equilibriumRegion,
  frictionScale,
  staticLoads,
  tiltAngle,
} from '../../../../core/balance/region/index.ts';
import { signedMargin, type Vec2 } from '../../../../core/geometry/index.ts';
import { planOf, STATIC_CASES } from '../../../helpers/equilibrium-cases.ts';

// Source of all expected values: tests/fixtures/equilibrium-cases.md (exact circular cones by a
// second-order cone program, checked inside 64-edge linear programs).

const DIRECTIONS = Array.from({ length: 72 }, (_, i) => planOf(5 * i));
const support = (vertices: readonly Vec2[], u: Vec2) =>
  Math.max(...vertices.map((v) => v[0] * u[0] + v[1] * u[1]));

describe.each(STATIC_CASES)('$id', ({ contacts, centre, weight_N, expected, tolerance }) => {
  const fine = equilibriumRegion(contacts, { tolerance_m: tolerance.support_m / 4 });
  if (fine.kind !== 'region') throw new Error(`expected a region, got ${JSON.stringify(fine)}`);

  it('has the exact support function of round cones', () => {
    DIRECTIONS.forEach((u, i) => {
      const h = support(fine.vertices, u);
      expect(Math.abs(h - expected.support.exact[i]!), `${5 * i} degrees`).toBeLessThan(
        tolerance.support_m,
      );
    });
    expect(fine.error_m).toBeLessThan(tolerance.support_m);
  });

  it('keeps its own promise of error at the default tolerance, and never reaches outside', () => {
    const region = equilibriumRegion(contacts);
    if (region.kind !== 'region') throw new Error(region.kind);
    expect(region.error_m).toBeLessThanOrEqual(1e-3);
    DIRECTIONS.forEach((u, i) => {
      const h = support(region.vertices, u);
      expect(h).toBeLessThan(expected.support.exact[i]! + tolerance.support_m);
      expect(h + region.error_m).toBeGreaterThan(expected.support.exact[i]! - tolerance.support_m);
    });
  });

  it('has the area, and the number of vertices of a flat region', () => {
    expect(fine.area_m2).toBeGreaterThan(expected.area[0] - 1e-6);
    expect(fine.area_m2).toBeLessThan(expected.area[1] + 1e-6);
    expect(fine.vertices.length > 2).toBe(expected.area[1] > 0);
    expect(fine.vertices.length).toBeGreaterThan(1);
  });

  it('gives the same margin', () => {
    const margin = signedMargin([centre[0], centre[2]], fine.vertices);
    expect(Math.abs(margin - expected.signedMargin_m)).toBeLessThan(tolerance.signedMargin_m);
  });

  it.each([8, 16, 64])('with %i edges lies inside and states what the edges lost', (edges) => {
    const region = equilibriumRegion(contacts, { edges, tolerance_m: 1e-5 });
    if (region.kind !== 'region') throw new Error(region.kind);
    DIRECTIONS.forEach((u, i) => {
      const h = support(region.vertices, u);
      expect(h).toBeLessThan(expected.support.exact[i]! + tolerance.support_m);
      expect(h + region.error_m).toBeGreaterThan(expected.support.exact[i]! - tolerance.support_m);
    });
  });

  it('says whether it holds', () => {
    expect(staticLoads(contacts, centre, weight_N).kind === 'holds').toBe(expected.feasible);
  });

  if (expected.feasible) {
    it('has the range of every load', () => {
      const balance = staticLoads(contacts, centre, weight_N);
      if (balance.kind !== 'holds') throw new Error(balance.kind);
      expect(balance.loads.map((load) => load.patch)).toEqual(Object.keys(expected.loads_N));
      for (const load of balance.loads) {
        const { vertical, normal } = expected.loads_N[load.patch]!;
        for (const end of [0, 1] as const) {
          expect(Math.abs(load.vertical_N[end] - vertical[end]!)).toBeLessThan(tolerance.loads_N);
          expect(Math.abs(load.normal_N[end] - normal[end]!)).toBeLessThan(tolerance.loads_N);
        }
        expect(load.likely_N).toBeGreaterThan(vertical[0]! - tolerance.loads_N);
        expect(load.likely_N).toBeLessThan(vertical[1]! + tolerance.loads_N);
      }
      for (const [patch, share] of Object.entries(expected.equalSpring_N)) {
        const load = balance.loads.find((l) => l.patch === patch)!;
        expect(Math.abs(load.likely_N - share)).toBeLessThan(tolerance.loads_N);
      }
    });

    it('needs that share of its friction', () => {
      const scale = frictionScale(contacts, centre);
      expect(Math.abs(scale! - expected.frictionScale!)).toBeLessThan(tolerance.frictionScale);
    });

    it('tips or slides at that tilt', () => {
      expected.tilt!.directions.forEach((direction, i) => {
        const { tangent } = tiltAngle(contacts, centre, direction)!;
        const value = expected.tilt!.tangents[i]!;
        // The file stops at 50 and means "unlimited or more".
        if (value === 50) expect(tangent).toBeGreaterThanOrEqual(50);
        else expect(Math.abs(tangent - value), `direction ${i}`).toBeLessThan(tolerance.tilt);
      });
    });
  } else
    it('has no load, tilt or friction that would do', () => {
      expect(frictionScale(contacts, centre)).toBeNull();
      expect(tiltAngle(contacts, centre, [1, 0])).toBeNull();
    });
});

describe('pyramids with the azimuth of the file (first edge along t1)', () => {
  // The file's t1 is +x for level contacts and y (here -z) for walls facing x; ours is +x for level
  // contacts and +y for those walls, so only the level cases are equality tests.
  const level = STATIC_CASES.filter((c) => c.contacts.every((k) => k.normal[1] === 1));
  it.each(level)('$id', ({ contacts, expected, tolerance }) => {
    for (const [edges, values] of [
      [4, expected.support.four],
      [8, expected.support.eight],
    ] as const) {
      const region = equilibriumRegion(contacts, { edges, tolerance_m: 1e-7 });
      if (region.kind !== 'region') throw new Error(region.kind);
      DIRECTIONS.forEach((u, i) => {
        expect(Math.abs(support(region.vertices, u) - values[i]!)).toBeLessThan(
          tolerance.support_m,
        );
      });
    }
  });
});
