import { describe, expect, it } from 'vitest';
import {
  type ContactPoint,
  coneGenerators,
  equilibriumRegion,
  frictionScale,
  type Region,
  staticLoads,
  tiltAngle,
} from '../../../../core/balance/region/index.ts';
import {
  containsPoint,
  dot,
  length,
  scale,
  signedMargin,
  subtract,
  supportPolygon,
  type Vec2,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import { contactSet } from '../../../helpers/contact-sets.ts';
import { random } from '../../../helpers/random.ts';

// Laws that any right answer keeps (mechanics.md 8), on seeded random contact sets.

const SEEDS = Array.from({ length: 80 }, (_, i) => 7000 + i);
const DIRECTIONS = Array.from({ length: 32 }, (_, i): Vec2 => {
  const a = (2 * Math.PI * i) / 32;
  return [Math.cos(a), Math.sin(a)];
});
const reach = (r: Region, u: Vec2) => Math.max(...r.vertices.map((v) => v[0] * u[0] + v[1] * u[1]));
const fine = { edges: 8, tolerance_m: 1e-9 };

/** Seeds whose set has a bounded region, with it. */
function regions(
  change: (contacts: readonly ContactPoint[]) => readonly ContactPoint[] = (c) => c,
) {
  return SEEDS.flatMap((seed) => {
    const contacts = change(contactSet(seed));
    const region = equilibriumRegion(contacts, fine);
    return region.kind === 'region' ? [{ seed, contacts, region }] : [];
  });
}

function expectSame(a: Region, b: Region, within: number, seed: number) {
  for (const u of DIRECTIONS)
    expect(Math.abs(reach(a, u) - reach(b, u)), `seed ${seed}`).toBeLessThan(within);
}

function asRegion(contacts: readonly ContactPoint[], seed: number, options = fine): Region {
  const region = equilibriumRegion(contacts, options);
  if (region.kind !== 'region') throw new Error(`seed ${seed}: ${region.kind}`);
  return region;
}

/** A place of the centre well inside the region, at some height. */
function middle(region: Region): Vec3 {
  const n = region.vertices.length;
  const sum = region.vertices.reduce((s, v) => [s[0] + v[0] / n, s[1] + v[1] / n] as const, [
    0, 0,
  ] as const);
  return [sum[0], 0.9, sum[1]];
}

describe('the region', () => {
  const sets = regions();
  it('has enough random sets to speak of', () => {
    expect(sets.length).toBeGreaterThan(40);
  });

  it('runs counter-clockwise seen with x right and z up, is convex, and has its own area', () => {
    for (const { seed, region } of sets) {
      const v = region.vertices;
      if (v.length < 3) continue;
      let area = 0;
      v.forEach((a, i) => {
        const b = v[(i + 1) % v.length]!;
        const c = v[(i + 2) % v.length]!;
        area += (a[0] * b[1] - b[0] * a[1]) / 2;
        const turn = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
        expect(turn, `seed ${seed}`).toBeGreaterThan(0);
      });
      expect(area, `seed ${seed}`).toBeGreaterThan(0);
      expect(Math.abs(area - region.area_m2)).toBeLessThan(1e-9 * Math.max(1, area));
    }
  });

  it('does not depend on the order of contacts', () => {
    for (const { seed, contacts, region } of sets)
      expectSame(region, asRegion([...contacts].reverse(), seed), 1e-7, seed);
  });

  it('moves with the scene, also by a kilometre', () => {
    for (const { seed, contacts, region } of sets) {
      const moved = contacts.map((c) => ({
        ...c,
        point: [c.point[0] + 1000, c.point[1] + 50, c.point[2] - 1000] as Vec3,
      }));
      const back = asRegion(moved, seed).vertices.map((v): Vec2 => [v[0] - 1000, v[1] + 1000]);
      expectSame(region, { ...region, vertices: back }, 1e-7, seed);
    }
  });

  it('turns with the scene (round cones)', () => {
    const turn = (v: Vec3): Vec3 => [0.6 * v[0] + 0.8 * v[2], v[1], -0.8 * v[0] + 0.6 * v[2]];
    for (const { seed, contacts } of sets.slice(0, 25)) {
      const round = { edges: 'round', tolerance_m: 1e-5 } as const;
      const one = equilibriumRegion(contacts, round);
      const two = equilibriumRegion(
        contacts.map((c) => ({ ...c, point: turn(c.point), normal: turn(c.normal) })),
        round,
      );
      expect(two.kind, `seed ${seed}`).toBe(one.kind);
      if (one.kind !== 'region' || two.kind !== 'region') continue;
      for (const u of DIRECTIONS) {
        const [x, , z] = turn([u[0], 0, u[1]]);
        expect(Math.abs(reach(one, u) - reach(two, [x, z])), `seed ${seed}`).toBeLessThan(2.1e-5);
      }
    }
  });

  it('never shrinks when a contact is added, friction or a cap rises', () => {
    for (const { seed, contacts, region } of sets) {
      const more = [
        [...contacts, { point: [0.1, 0.2, 0.3], normal: [0, 1, 0], friction: 0.5 } as ContactPoint],
        contacts.map((c) => ({ ...c, friction: c.friction * 1.1 })),
        contacts.map((c) => ({ ...c, cap: c.cap === undefined ? undefined : c.cap * 1.2 })),
      ];
      for (const changed of more) {
        const bigger = equilibriumRegion(changed, fine);
        expect(bigger.kind, `seed ${seed}`).not.toBe('empty');
        if (bigger.kind === 'region')
          for (const u of DIRECTIONS)
            expect(reach(bigger, u), `seed ${seed}`).toBeGreaterThan(reach(region, u) - 1e-7);
      }
    }
  });

  it('with k edges lies inside that with 2 k edges (the edges nest)', () => {
    for (const { seed, contacts, region } of sets) {
      const finer = equilibriumRegion(contacts, { ...fine, edges: 16 });
      if (finer.kind !== 'region') continue;
      for (const u of DIRECTIONS)
        expect(reach(finer, u), `seed ${seed}`).toBeGreaterThan(reach(region, u) - 1e-7);
    }
  });

  it('is the hull when all contacts lie on one floor', () => {
    for (const seed of SEEDS) {
      const contacts = contactSet(seed).map(
        (c): ContactPoint => ({
          point: [c.point[0], 0.3, c.point[2]],
          normal: [0, 2, 0],
          friction: c.friction,
        }),
      );
      const region = asRegion(contacts, seed);
      expect(region.exact).toBe(true);
      expect(region.vertices).toEqual(supportPolygon(contacts.map((c) => c.point)));
      // The same through the programs: one point a little off the plane closes the short cut.
      const lifted = contacts.map((c, i) =>
        i === 0 ? { ...c, point: [c.point[0], 0.3 + 2e-6, c.point[2]] as Vec3 } : c,
      );
      const solved = asRegion(lifted, seed);
      expect(solved.exact).toBe(false);
      expectSame(region, solved, 1e-5, seed);
    }
  });

  it('a point split in two coincident ones changes nothing', () => {
    for (const { seed, contacts, region } of sets) {
      const named = contacts.map((c, i) => ({ ...c, patch: `p${i}` }));
      expectSame(region, asRegion([...named, named[0]!], seed), 1e-7, seed);
    }
  });
});

describe('loads', () => {
  const sets = regions().slice(0, 40);

  it('likely loads sum to the weight and lie in their ranges; likely forces balance inside the cones', () => {
    let asked = 0;
    for (const { seed, contacts, region } of sets) {
      const centre = middle(region);
      const balance = staticLoads(contacts, centre, 700);
      if (balance.kind !== 'holds') throw new Error(`seed ${seed}`);
      const total = balance.loads.reduce((sum, load) => sum + load.likely_N, 0);
      expect(Math.abs(total - 700), `seed ${seed}`).toBeLessThan(1e-3);
      for (const load of balance.loads) {
        expect(load.likely_N, `seed ${seed}`).toBeGreaterThan(load.vertical_N[0] - 1e-2);
        expect(load.likely_N, `seed ${seed}`).toBeLessThan(load.vertical_N[1] + 1e-2);
      }
      if (balance.likelyForces_N === null) continue;
      asked++;
      const moment = [0, 0, 0];
      contacts.forEach((c, i) => {
        const f = balance.likelyForces_N![i]!;
        const n = scale(c.normal, 1 / length(c.normal));
        const normal = dot(f, n);
        expect(normal, `seed ${seed}`).toBeGreaterThan(-1e-6);
        expect(length(subtract(f, scale(n, normal))), `seed ${seed}`).toBeLessThan(
          c.friction * normal + 1e-3,
        );
        if (c.cap !== undefined) expect(normal, `seed ${seed}`).toBeLessThan(c.cap * 700 + 1e-3);
        const r = subtract(c.point, centre);
        moment[0]! += r[1] * f[2] - r[2] * f[1];
        moment[1]! += r[2] * f[0] - r[0] * f[2];
        moment[2]! += r[0] * f[1] - r[1] * f[0];
      });
      for (const m of moment) expect(Math.abs(m), `seed ${seed}`).toBeLessThan(1e-3);
    }
    expect(asked).toBeGreaterThan(25);
  });

  it('scale with the weight', () => {
    for (const { contacts, region } of sets.slice(0, 10)) {
      const one = staticLoads(contacts, middle(region), 1);
      const many = staticLoads(contacts, middle(region), 700);
      if (one.kind !== 'holds' || many.kind !== 'holds') throw new Error('falls');
      one.loads.forEach((load, i) => {
        expect(load.likely_N * 700).toBeCloseTo(many.loads[i]!.likely_N, 6);
        expect(load.vertical_N[1] * 700).toBeCloseTo(many.loads[i]!.vertical_N[1], 3);
      });
    }
  });

  it('mirror with the scene', () => {
    for (const { seed, contacts, region } of sets.slice(0, 20)) {
      const flip = (v: Vec3): Vec3 => [-v[0], v[1], v[2]];
      const centre = middle(region);
      const one = staticLoads(contacts, centre, 700);
      const two = staticLoads(
        contacts.map((c) => ({ ...c, point: flip(c.point), normal: flip(c.normal) })),
        flip(centre),
        700,
      );
      if (one.kind !== 'holds' || two.kind !== 'holds') throw new Error(`seed ${seed}`);
      one.loads.forEach((load, i) => {
        for (const end of [0, 1] as const)
          expect(
            Math.abs(load.vertical_N[end] - two.loads[i]!.vertical_N[end]),
            `seed ${seed}`,
          ).toBeLessThan(0.01);
        if (one.likelyForces_N && two.likelyForces_N)
          expect(Math.abs(load.likely_N - two.loads[i]!.likely_N), `seed ${seed}`).toBeLessThan(
            0.01,
          );
      });
    }
  });

  it('a smooth wall gets exactly nothing while the centre is over smooth feet', () => {
    const feet = [-0.06, 0.2].flatMap((x) =>
      [-0.1, 0.1].map(
        (z): ContactPoint => ({ point: [x, 0, z], normal: [0, 1, 0], friction: 0, patch: 'feet' }),
      ),
    );
    const wall: ContactPoint = {
      point: [0.6, 1.3, 0],
      normal: [-1, 0, 0],
      friction: 0,
      patch: 'wall',
    };
    const balance = staticLoads([...feet, wall], [0.05, 1, 0], 700);
    if (balance.kind !== 'holds') throw new Error('falls');
    expect(balance.loads[1]!.normal_N[0]).toBeCloseTo(0, 9);
    expect(balance.loads[1]!.normal_N[1]).toBeCloseTo(0, 9);
    expect(balance.loads[0]!.likely_N).toBeCloseTo(700, 6);
  });

  it('follow the lever rule between two level contacts', () => {
    const ends = [0, 1].map(
      (x): ContactPoint => ({ point: [x, 0, 0], normal: [0, 1, 0], friction: 0.5 }),
    );
    for (const x of [0, 0.2, 0.62, 1]) {
      const balance = staticLoads(ends, [x, 0.8, 0], 600);
      if (balance.kind !== 'holds') throw new Error('falls');
      expect(balance.loads[1]!.likely_N).toBeCloseTo(600 * x, 5);
      expect(balance.loads[1]!.vertical_N[0]).toBeCloseTo(600 * x, 5);
      expect(balance.loads[1]!.unique).toBe(true);
    }
  });

  it('likely loads change little when the centre moves little, also where a contact lets go', () => {
    const four = [
      [0, 0],
      [1.2, 0],
      [1.2, 0.8],
      [0, 0.8],
    ].map(([x, z]): ContactPoint => ({ point: [x!, 0, z!], normal: [0, 1, 0], friction: 0.5 }));
    let last: number[] | null = null;
    for (let x = 0.3; x < 1.15; x += 0.01) {
      const balance = staticLoads(four, [x, 0.6, 0.2], 100);
      if (balance.kind !== 'holds') throw new Error('falls');
      const now = balance.loads.map((load) => load.likely_N);
      now.forEach((value, i) => {
        expect(value).toBeGreaterThanOrEqual(0);
        if (last) expect(Math.abs(value - last[i]!)).toBeLessThan(2);
      });
      last = now;
    }
  });
});

describe('demand and tilt', () => {
  const sets = regions((contacts) => contacts.map((c) => ({ ...c, cap: undefined }))).slice(0, 25);

  it('frictionScale is where the region just reaches the centre', () => {
    let asked = 0;
    for (const { seed, contacts, region } of sets) {
      const centre = middle(region);
      const factor = frictionScale(contacts, centre);
      if (factor === null || factor === 0) continue;
      asked++;
      const margin = (by: number) => {
        const scaled = contacts.map((c) => ({ ...c, friction: c.friction * by }));
        const r = equilibriumRegion(scaled, { tolerance_m: 1e-7 });
        if (r.kind !== 'region') return r.kind === 'empty' ? -1 : 1;
        return r.vertices.length < 3 ? 0 : signedMargin([centre[0], centre[2]], r.vertices);
      };
      expect(margin(factor * 1.01), `seed ${seed}`).toBeGreaterThanOrEqual(0);
      expect(margin(factor * 0.99), `seed ${seed}`).toBeLessThanOrEqual(0);
    }
    expect(asked).toBeGreaterThan(5);
  });

  it('a higher centre tips or slides no later, the region is the same at any height', () => {
    const next = random(11);
    for (const { seed, contacts, region } of sets) {
      const [x, , z] = middle(region);
      if (!containsPoint([x, z], region.vertices)) continue;
      const a = next() * 2 * Math.PI;
      const u: Vec2 = [Math.cos(a), Math.sin(a)];
      const low = tiltAngle(contacts, [x, 2, z], u)!;
      const high = tiltAngle(contacts, [x, 4, z], u)!;
      // Above all contacts (all below 1.4 m) a longer lever only helps gravity.
      expect(high.value, `seed ${seed}`).toBeLessThan(low.value + 1e-6);
    }
  });
});

describe('friction cones', () => {
  it('inner generators lie on the cone, outer ones around it', () => {
    const next = random(5);
    for (let i = 0; i < 50; i++) {
      const raw: Vec3 = [next() - 0.5, next() - 0.5, next() - 0.5];
      const n = scale(raw, 1 / length(raw));
      for (const g of coneGenerators(n, 0.6, 8, 'inner')) {
        expect(dot(g, n)).toBeCloseTo(1, 12);
        expect(length(subtract(g, n))).toBeCloseTo(0.6, 12);
      }
      const outer = coneGenerators(n, 0.6, 8, 'outer').map((g) => subtract(g, n));
      outer.forEach((a, j) => {
        const b = outer[(j + 1) % 8]!;
        expect(length(scale(subtract(a, scale(b, -1)), 0.5))).toBeCloseTo(0.6, 12);
      });
    }
  });
});
