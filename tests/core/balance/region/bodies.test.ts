import { describe, expect, it } from 'vitest';
import {
  type Grip,
  type Group,
  type GroupContact,
  groupBalance,
  groupRegion,
  groupTilt,
  isAtRest,
  letGo,
} from '../../../../core/balance/region/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';
import { caseById, counterbalance, planOf } from '../../../helpers/equilibrium-cases.ts';

// Expected values of the pair: case o14, tests/fixtures/equilibrium-cases.md. Axes there: z up, so
// its fy is our -z and its fz our y.

describe('two figures leaning back, holding hands (o14)', () => {
  const group = counterbalance();
  const { expected, tolerance } = caseById('o14-counterbalance-pair');

  it('holds, with these loads on the feet and these forces through the hands', () => {
    const balance = groupBalance(group);
    if (balance.kind !== 'holds') throw new Error('falls');
    const near = (a: readonly number[], b: readonly number[]) =>
      [0, 1].forEach((k) => {
        expect(Math.abs(a[k]! - b[k]!)).toBeLessThan(tolerance.grip_N);
      });
    for (const load of balance.loads) {
      near(load.vertical_N, expected.loads_N[load.patch].vertical);
      near(load.normal_N, expected.loads_N[load.patch].normal);
    }
    const hands = expected.loads_N.hands;
    const [grip] = balance.grips;
    near(grip!.x_N, hands.fx);
    near(grip!.y_N, hands.fz);
    near(grip!.z_N, [-hands.fy[1], -hands.fy[0]]);
    expect(grip!.least_N).toBeCloseTo(expected.grips.hands.minMagnitude_N, 3);
    const [x, y, z] = expected.grips.hands.minMagnitudeForceOnA_N;
    [x, z, -y].forEach((value, k) => {
      expect(grip!.leastForce_N[k]).toBeCloseTo(value, 2);
    });
  });

  it('has that region for the centre of A while B stays', () => {
    const region = groupRegion(group, 'A', { tolerance_m: 2e-7 });
    if (region.kind !== 'region') throw new Error(region.kind);
    expected.region.supportExactCone_m.forEach((h: number, i: number) => {
      const u = planOf(5 * i);
      const ours = Math.max(...region.vertices.map((v) => v[0] * u[0] + v[1] * u[1]));
      expect(Math.abs(ours - h)).toBeLessThan(tolerance.support_m);
    });
  });

  it('tips or slides at that tilt', () => {
    expected.gravityTilt_tan.dirsDeg.forEach((degrees: number, i: number) => {
      const limit = groupTilt(group, planOf(degrees))!;
      expect(Math.abs(Math.tan(limit.value) - expected.gravityTilt_tan.value[i])).toBeLessThan(
        tolerance.tilt,
      );
    });
  });

  it('falls apart on let-go: A backward by 0.17 m, B the other way by 0.15 m', () => {
    const [a, b] = letGo(group, ['hands']);
    expect(a).toMatchObject({ bodies: ['A'], outcome: 'tips', direction: [-1, 0] });
    expect(a!.margin_m).toBeCloseTo(-0.17, 9);
    expect(b).toMatchObject({ bodies: ['B'], outcome: 'tips', direction: [1, 0] });
    expect(b!.margin_m).toBeCloseTo(-0.15, 9);
  });

  it('does not hold when the hands are too weak', () => {
    const weak = (limit_N: number): Group => ({
      ...group,
      grips: group.grips.map((grip) => ({ ...grip, limit_N })),
    });
    expect(groupBalance(weak(95.6)).kind).toBe('holds');
    expect(groupBalance(weak(95.5)).kind).toBe('not held');
  });
});

describe('grips and partners', () => {
  const feet = (on: string, x0: number, x1: number, friction = 0.7): GroupContact[] =>
    [x0, x1].flatMap((x) =>
      [-0.1, 0.1].map((z) => ({
        on,
        point: [x, 0, z] as Vec3,
        normal: [0, 1, 0] as Vec3,
        friction,
        patch: 'feet',
      })),
    );

  it('a load in the hands hangs with its whole weight on the grip and drops on let-go', () => {
    const group: Group = {
      bodies: [
        { id: 'figure', mass_kg: 70, centre: [0, 1, 0] },
        { id: 'load', mass_kg: 10, centre: [0.3, 0.7, 0] },
      ],
      contacts: feet('figure', -0.06, 0.2),
      grips: [{ id: 'hand', point: [0.3, 1.1, 0], between: ['load', 'figure'] }],
    };
    const balance = groupBalance(group);
    if (balance.kind !== 'holds') throw new Error('falls');
    expect(balance.grips[0]!.y_N[0]).toBeCloseTo(98.1, 6);
    expect(balance.grips[0]!.y_N[1]).toBeCloseTo(98.1, 6);
    expect(balance.grips[0]!.least_N).toBeCloseTo(98.1, 6);
    const total = balance.loads.reduce((sum, load) => sum + load.vertical_N[0], 0);
    expect(total).toBeCloseTo(80 * 9.81, 6);
    const parts = letGo(group, ['hand']);
    expect(parts.map((part) => part.outcome)).toEqual(['holds', 'airborne']);
  });

  it('one heel edge and one grip: least force W x / |r|', () => {
    // Own, mechanics.md 1.9: x overhang past the edge, r from edge to hand; the partner is heavy and
    // broad, friction ample.
    const group: Group = {
      bodies: [
        { id: 'A', mass_kg: 60, centre: [-0.1, 0.9, 0] },
        { id: 'B', mass_kg: 900, centre: [2, 0.5, 0] },
      ],
      contacts: [...feet('A', 0, 0.26, 2), ...feet('B', 1, 3, 2)],
      grips: [{ id: 'hand', point: [0.6, 1.2, 0], between: ['A', 'B'] }],
    };
    const balance = groupBalance(group);
    if (balance.kind !== 'holds') throw new Error('falls');
    expect(balance.grips[0]!.least_N).toBeCloseTo((60 * 9.81 * 0.1) / Math.hypot(0.6, 1.2), 5);
  });

  it('the hull of the floor contacts is not enough: a brick stack at 98 % and 102 % of its overhang', () => {
    // Harmonic overhang L/2 (1 + 1/2 + 1/3 + 1/4), any mechanics textbook; 0.208333 m for 0.2 m bricks.
    const stack = (share: number): Group => {
      const L = 0.2;
      const offsets = [0];
      // The top brick overhangs the second by L/2, that the third by L/4, and so on; listed bottom up.
      for (const k of [4, 3, 2, 1])
        offsets.push(offsets[offsets.length - 1]! + (share * L) / (2 * k));
      const bricks = offsets.slice(1).map((x, i) => ({
        id: `brick${i}`,
        mass_kg: 2,
        centre: [x, 0.05 + 0.1 * i, 0] as Vec3,
      }));
      const contacts = bricks.flatMap((brick, i): GroupContact[] => {
        // Shared face with the table (edge at L/2, centre 0) or the brick below.
        const below = offsets[i]!;
        return [brick.centre[0] - L / 2, below + L / 2].flatMap((x) =>
          [-0.05, 0.05].map((z) => ({
            on: brick.id,
            ...(i > 0 ? { against: `brick${i - 1}` } : {}),
            point: [x, 0.1 * i, z] as Vec3,
            normal: [0, 1, 0] as Vec3,
            friction: 0.6,
          })),
        );
      });
      return { bodies: bricks, contacts, grips: [] };
    };
    expect(groupBalance(stack(0.98)).kind).toBe('holds');
    expect(groupBalance(stack(1.02)).kind).toBe('not held');
  });

  it('a pair whose common centre is over the common hull still falls when one must balance alone', () => {
    // B hangs over its own edge with no grip; A stands far off. The common centre is inside the hull.
    const group: Group = {
      bodies: [
        { id: 'A', mass_kg: 60, centre: [0, 0.9, 0] },
        { id: 'B', mass_kg: 60, centre: [1.2, 0.9, 0] },
      ],
      contacts: [...feet('A', -0.1, 0.1), ...feet('B', 0.9, 1.1)],
      grips: [{ id: 'strap', point: [0.6, 1, 0], between: ['A', 'B'], limit_N: 5 }],
    };
    expect(groupBalance(group).kind).toBe('not held');
    const slack = letGo(group, []);
    expect(slack).toHaveLength(1);
    expect(slack[0]!.outcome).toBe('tips');
    expect(slack[0]!.margin_m).toBeGreaterThan(0);
  });

  it('slides on let-go where only friction is missing', () => {
    const slope = 0.5;
    const group: Group = {
      bodies: [
        { id: 'A', mass_kg: 60, centre: [0, 0.9, 0] },
        { id: 'B', mass_kg: 60, centre: [-1.5, 0.9, 0] },
      ],
      contacts: [
        ...feet('A', -0.1, 0.1, 0.3).map((c) => ({
          ...c,
          point: [c.point[0], c.point[0] * Math.tan(slope), c.point[2]] as Vec3,
          normal: [-Math.sin(slope), Math.cos(slope), 0] as Vec3,
        })),
        ...feet('B', -1.6, -1.4),
      ],
      grips: [{ id: 'hand', point: [-0.7, 0.9, 0], between: ['A', 'B'] }],
    };
    expect(letGo(group, ['hand'])[0]).toMatchObject({ bodies: ['A'], outcome: 'slides' });
  });

  it('a grip with a line pulls along it, and no more square to it than its share', () => {
    // Each leans out past one edge by x; the level pull that holds both is W x / h (moment about the edge).
    const leaning = (over: number, line: Grip['line']): Group => ({
      bodies: [
        { id: 'A', mass_kg: 60, centre: [-over, 0.9, 0] },
        { id: 'B', mass_kg: 60, centre: [1 + over, 0.9, 0] },
      ],
      contacts: [...feet('A', 0, 0.26), ...feet('B', 0.74, 1)],
      grips: [{ id: 'hands', point: [0.5, 1.2, 0], between: ['A', 'B'], line }],
    });
    const along = { direction: [2, 0, 0] as Vec3, across: 0.1 };
    const balance = groupBalance(leaning(0.1, along));
    if (balance.kind !== 'holds') throw new Error('falls');
    const [grip] = balance.grips;
    expect(grip!.least_N).toBeCloseTo((60 * 9.81 * 0.1) / 1.2, 0);
    expect(grip!.x_N[0]).toBeGreaterThan(0);
    for (const end of [0, 1] as const)
      expect(Math.abs(grip!.y_N[end])).toBeLessThanOrEqual(0.1 * grip!.x_N[1] + 1e-6);
    // Inwards they would have to push, which a pull is not.
    expect(groupBalance(leaning(-0.35, along)).kind).toBe('not held');
    const pushing = { direction: [-1, 0, 0] as Vec3, across: 0.1 };
    expect(groupBalance(leaning(-0.35, pushing)).kind).toBe('holds');
    expect(isAtRest(leaning(0.1, along))).toBe(true);
    expect(isAtRest(leaning(0.1, pushing))).toBe(false);
    const crooked = (l: Grip['line']) => () => groupBalance(leaning(0.1, l));
    expect(crooked({ direction: [0, 0, 0], across: 0.1 })).toThrow(/line\.direction/);
    expect(crooked({ direction: [1, 0, 0], across: -1 })).toThrow(/line\.across is -1/);
  });

  it('names what is wrong with a group', () => {
    const base: Group = {
      bodies: [{ id: 'A', mass_kg: 60, centre: [0, 0.9, 0] }],
      contacts: feet('A', -0.1, 0.1),
      grips: [],
    };
    expect(() => groupBalance({ ...base, bodies: [] })).toThrow(RangeError);
    expect(() => groupBalance({ ...base, contacts: feet('Z', 0, 1) })).toThrow(
      /contacts\[0\]\.on is Z; name a body/,
    );
    expect(() =>
      groupBalance({ ...base, bodies: [{ id: 'A', mass_kg: 0, centre: [0, 0, 0] }] }),
    ).toThrow(/bodies\[0\]\.mass_kg is 0/);
    expect(() => groupBalance({ ...base, bodies: [...base.bodies, ...base.bodies] })).toThrow(
      /own id/,
    );
    expect(() =>
      groupBalance({ ...base, grips: [{ id: 'g', point: [0, 0, 0], between: ['A', 'A'] }] }),
    ).toThrow(/two different bodies/);
    expect(() => letGo(base, ['g'])).toThrow(/name grips of the group/);
    expect(() => groupRegion(base, 'Q')).toThrow(/body is Q/);
    expect(() => groupTilt(base, [0, 0])).toThrow(/direction/);
  });
});
