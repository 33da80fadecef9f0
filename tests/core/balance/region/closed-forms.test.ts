import { describe, expect, it } from 'vitest';
import {
  type ContactPoint,
  equilibriumRegion,
  frictionScale,
  pushLimit,
  riseToTip,
  staticLoads,
  tiltAngle,
} from '../../../../core/balance/region/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';

// Hand-worked statics. Sources are named at each; "own" = moments written out in the comment.

const UP: Vec3 = [0, 1, 0];
const at = (point: Vec3, friction: number, normal: Vec3 = UP, cap?: number): ContactPoint => ({
  point,
  normal,
  friction,
  ...(cap === undefined ? {} : { cap }),
});

/** Largest x of the region, fine tolerance. */
function farthestX(contacts: readonly ContactPoint[]): number {
  const region = equilibriumRegion(contacts, { tolerance_m: 1e-7 });
  if (region.kind !== 'region') throw new Error(JSON.stringify(region));
  return Math.max(...region.vertices.map((v) => v[0]));
}

/** A ladder from the origin, leaning on a wall that faces -x. */
const ladder = (length: number, angle: number, floor: number, wall: number): ContactPoint[] => [
  at([0, 0, 0], floor),
  at([length * Math.cos(angle), length * Math.sin(angle), 0], wall, [-1, 0, 0]),
];
const degrees = (a: number) => (a * Math.PI) / 180;

describe('ladder against a wall', () => {
  it('3.8 m, 3.5 kg, child of 40 kg at 3.2 m, floor 0.35: slips below 66.748 degrees', () => {
    // GNU FisicaLab manual, rigid statics, example 9: N = 426.735, wall 149.357, angle 66.748.
    const angle = Math.atan2(3.5 * 1.9 + 40 * 3.2, 43.5 * 0.35 * 3.8);
    expect((angle * 180) / Math.PI).toBeCloseTo(66.748, 3);
    const along = (3.5 * 1.9 + 40 * 3.2) / 43.5;
    const centre: Vec3 = [along * Math.cos(angle), along * Math.sin(angle), 0];
    const contacts = ladder(3.8, angle, 0.35, 0);
    expect(frictionScale(contacts, centre)).toBeCloseTo(1, 5);
    expect(farthestX(contacts)).toBeCloseTo(0.35 * 3.8 * Math.sin(angle), 6);
    const balance = staticLoads(
      contacts.map((c) => ({ ...c, friction: c.friction * 1.001 })),
      centre,
      43.5 * 9.81,
    );
    if (balance.kind !== 'holds') throw new Error('falls');
    expect(balance.loads[0]!.vertical_N[0]).toBeCloseTo(426.735, 3);
    expect(balance.loads[1]!.normal_N[1]).toBeCloseTo(149.357, 2);
    expect(balance.loads[1]!.unique).toBe(true);
  });

  it('5 m at 50 degrees, 12 kg, bucket of 2.5 kg at 80 %: wall 65.785 N, friction 0.46295', () => {
    // Problem data: OpenStax-hosted course PHY1340 (g = 9.8); result own, mechanics.md 5.2.
    const along = (12 * 2.5 + 2.5 * 4) / 14.5;
    const a = degrees(50);
    const centre: Vec3 = [along * Math.cos(a), along * Math.sin(a), 0];
    expect(frictionScale(ladder(5, a, 1, 0), centre)).toBeCloseTo(0.46295, 5);
    const balance = staticLoads(ladder(5, a, 1, 0), centre, 14.5 * 9.8);
    if (balance.kind !== 'holds') throw new Error('falls');
    expect(balance.loads[1]!.normal_N[0]).toBeCloseTo(65.785, 3);
    expect(balance.loads[0]!.normal_N[0]).toBeCloseTo(142.1, 6);
  });

  it.each([
    [45, 0.5],
    [60, 0.288675],
    [70, 0.181985],
  ])('uniform on a smooth wall at %i degrees needs friction %f', (angle, friction) => {
    // 1 / (2 tan a), several textbooks (mechanics.md 5.3).
    const a = degrees(angle);
    const centre: Vec3 = [Math.cos(a) / 2, Math.sin(a) / 2, 0];
    expect(frictionScale(ladder(1, a, 1, 0), centre)).toBeCloseTo(friction, 5);
  });

  it('uniform on a rough wall slips at tan a = (1 - mu^2) / (2 mu)', () => {
    // Standard result for equal friction at both ends (mechanics.md 5.3).
    for (const mu of [0.2, 0.4, 0.7]) {
      const a = Math.atan((1 - mu * mu) / (2 * mu));
      const centre: Vec3 = [Math.cos(a) / 2, Math.sin(a) / 2, 0];
      expect(frictionScale(ladder(1, a, mu, mu), centre)).toBeCloseTo(1, 5);
    }
  });

  it('carries its centre as far as mu1 L (sin a + mu2 cos a) / (1 + mu1 mu2)', () => {
    // Own: both contacts about to slip (mechanics.md 5.3).
    const [mu1, mu2, a] = [0.4, 0.3, degrees(65)];
    const x = (mu1 * 4 * (Math.sin(a) + mu2 * Math.cos(a))) / (1 + mu1 * mu2);
    expect(farthestX(ladder(4, a, mu1, mu2))).toBeCloseTo(x, 6);
  });
});

describe('contacts at two heights', () => {
  it.each([
    [0.25, 0.45, 0.9],
    [0.4, 0.3, 0.5],
    [0.3, 0.34, 0.6],
  ])('step dx %f, dz %f, mu %f: as far as max(dx, dx/2 + mu dz/2)', (dx, dz, mu) => {
    // Own, mechanics.md 5.4.
    const contacts = [at([0, 0, 0], mu), at([dx, dz, 0], mu)];
    expect(farthestX(contacts)).toBeCloseTo(Math.max(dx, dx / 2 + (mu * dz) / 2), 6);
    const region = equilibriumRegion(contacts);
    expect(region.kind === 'region' && region.vertices.length).toBe(2);
  });

  it('hands on chair arms carry the centre past the toes only when mu_h z_h > x_t - x_h', () => {
    // Own, mechanics.md 5.5: x_t (1 - s) + x_h s + mu_h z_h s, s = mu_f / (mu_f + mu_h).
    const [toe, xh, muF, muH] = [0.56, 0.05, 0.6, 0.8];
    for (const zh of [0.7, 0.62]) {
      const s = muF / (muF + muH);
      const contacts = [
        at([0.3, 0, 0.1], muF),
        at([toe, 0, 0.1], muF),
        at([0.3, 0, -0.1], muF),
        at([toe, 0, -0.1], muF),
        at([xh, zh, 0.28], muH),
        at([xh, zh, -0.28], muH),
      ];
      const reach = toe * (1 - s) + xh * s + muH * zh * s;
      expect(farthestX(contacts)).toBeCloseTo(Math.max(toe, reach), 6);
      expect(reach > toe).toBe(muH * zh > toe - xh);
    }
  });

  it('hangs from a ledge as far as mu_h dz / (1 - mu_h mu_f)', () => {
    // Own, mechanics.md 5.6: fingers on top, feet dz lower on the face.
    const [muH, muF, dz] = [0.8, 0.6, 1.1];
    const contacts = [at([0, 1.8, 0], muH), at([0, 1.8 - dz, 0], muF, [1, 0, 0])];
    expect(farthestX(contacts)).toBeCloseTo((muH * dz) / (1 - muH * muF), 6);
  });

  it.each([0.3, 0.5, 0.8])('leans on a wall, mu %f everywhere', (mu) => {
    // Own, mechanics.md 2.4: the larger of pushing up at the wall and of wedging.
    const [toe, d, h] = [0.2, 0.6, 1.3];
    const up = (toe + h * mu + d * mu * mu) / (1 + mu * mu);
    const n = mu / (1 - mu * mu);
    const wedge = toe * (1 + mu * n) + h * n - d * mu * n;
    const contacts = [at([-0.06, 0, 0], mu), at([toe, 0, 0], mu), at([d, h, 0], mu, [-1, 0, 0])];
    expect(farthestX(contacts)).toBeCloseTo(Math.max(up, wedge), 6);
  });

  it('a wall that wedges without limit at mu1 mu2 >= 1 is said to be unbounded', () => {
    const contacts = [at([0, 0, 0], 1.1), at([0.2, 0, 0], 1.1), at([0.6, 1.3, 0], 1.1, [-1, 0, 0])];
    const region = equilibriumRegion(contacts);
    if (region.kind !== 'unbounded') throw new Error(region.kind);
    // Floor force (mu, 1) and wall force (-mu, -1) cancel, lines apart: a couple that leans the body
    // towards the wall, without limit, and a little to either side.
    expect(region.shape).toBe('wedge');
    const [first, second] = region.directions;
    expect(first![0]).toBeGreaterThan(0);
    expect(first![1]).toBeLessThan(-1e-3);
    expect(second![0]).toBeCloseTo(first![0], 3);
    expect(second![1]).toBeCloseTo(-first![1], 3);
    const xs = region.within.vertices.map((v) => v[0]);
    expect(Math.max(...xs)).toBeGreaterThan(4);
    expect(Math.min(...xs)).toBeGreaterThan(-0.07);
  });

  it('a squeeze inside both cones is unbounded all round', () => {
    // Foot and hand 45 degrees apart: the line between them lies inside both cones, so that a couple
    // of either sign fits on top of it.
    const contacts = [
      at([-0.7, 0, 0], 1.1),
      at([0, 0, 0], 1.1),
      at([0.6, 1.3, 0], 1.1, [-1, 0, 0]),
    ];
    expect(equilibriumRegion(contacts)).toMatchObject({
      kind: 'unbounded',
      shape: 'plane',
      directions: [],
    });
  });

  it('two facing posts at different heights, pushed one way only, are unbounded one way', () => {
    // Own: frictionless faces, hand pushed back at 1.4 m, hips pushed forward at 0.8 m: the couple of
    // size N leans the body forward by N * 0.6 and never backward.
    const feet = [-0.05, 0.2].flatMap((x) => [-0.1, 0.1].map((z) => at([x, 0, z], 0.5)));
    const region = equilibriumRegion([
      ...feet,
      at([0.4, 1.4, 0], 0, [-1, 0, 0]),
      at([-0.2, 0.8, 0], 0, [1, 0, 0]),
    ]);
    if (region.kind !== 'unbounded') throw new Error(region.kind);
    expect(region.shape).toBe('ray');
    expect(region.directions[0]![0]).toBeCloseTo(1, 6);
  });

  it('a cap on the hand ends the wedge', () => {
    // Own: hand presses cap c and rubs up mu c: centre at x_t + c (h + mu (d - x_t)) about the toe,
    // floor friction allowing (mu (1 - mu c) >= c).
    const [toe, d, h, mu, c] = [0.2, 0.6, 1.3, 0.8, 0.25];
    const contacts = [at([-0.06, 0, 0], mu), at([toe, 0, 0], mu), at([d, h, 0], mu, [-1, 0, 0], c)];
    expect(farthestX(contacts)).toBeCloseTo(toe + c * (h + mu * (d - toe)), 6);
  });
});

describe('chimney: braced between two facing walls', () => {
  const walls = (mu: number, cap?: number) => [
    at([0, 1, 0.1], mu, [1, 0, 0], cap),
    at([0, 1, -0.1], mu, [1, 0, 0], cap),
    at([0.8, 1, 0.1], mu, [-1, 0, 0], cap),
    at([0.8, 1, -0.1], mu, [-1, 0, 0], cap),
  ];

  it('without a cap it is unbounded, in every direction', () => {
    const region = equilibriumRegion(walls(0.5));
    expect(region.kind === 'unbounded' && region.shape).toBe('plane');
  });

  it('with N per side it holds only if 2 mu N >= W', () => {
    // Own, mechanics.md 5.7; two points a side, so N / 2 each.
    expect(equilibriumRegion(walls(0.5, 1.001 / 2)).kind).toBe('region');
    expect(equilibriumRegion(walls(0.5, 0.999 / 2))).toEqual({
      kind: 'empty',
      reason: 'caps too low',
    });
  });

  it('smooth walls carry nothing', () => {
    expect(equilibriumRegion(walls(0))).toEqual({ kind: 'empty', reason: 'too slippery' });
  });
});

describe('ramp', () => {
  const slope = degrees(25);
  const normal: Vec3 = [-Math.sin(slope), Math.cos(slope), 0];
  const sole = (mu: number) =>
    [-0.1, 0.2].flatMap((s) =>
      [-0.05, 0.05].map((z) => at([s * Math.cos(slope), s * Math.sin(slope), z], mu, normal)),
    );

  it('holds exactly when mu >= tan(slope), the hull foreshortened', () => {
    // Own, mechanics.md 5.8.
    const region = equilibriumRegion(sole(Math.tan(slope) * 1.0001));
    if (region.kind !== 'region') throw new Error(region.kind);
    expect(region.exact).toBe(true);
    expect(region.area_m2).toBeCloseTo(0.3 * Math.cos(slope) * 0.1, 12);
    expect(equilibriumRegion(sole(Math.tan(slope) * 0.9999))).toEqual({
      kind: 'empty',
      reason: 'too slippery',
    });
  });

  it('needs tan(slope) / mu of its friction', () => {
    const centre: Vec3 = [0.04, 0.9, 0];
    expect(frictionScale(sole(0.8), centre)).toBeCloseTo(Math.tan(slope) / 0.8, 5);
  });
});

describe('block of 0.3 x 0.2 x 0.8 m', () => {
  // Case o17 of equilibrium-cases.json: closed forms atan(d / z), W d / y.
  const mu = 0.6;
  const contacts = [-0.15, 0.15].flatMap((x) => [-0.1, 0.1].map((z) => at([x, 0, z], mu)));
  const centre: Vec3 = [0, 0.4, 0];

  it('tips at 14.0362435 degrees sideways and 20.5560452 lengthways', () => {
    const side = tiltAngle(contacts, centre, [0, 1])!;
    expect((side.value * 180) / Math.PI).toBeCloseTo(14.0362435, 6);
    expect(side.ends).toBe('tips');
    const long = tiltAngle(contacts, centre, [-2, 0])!;
    expect((long.value * 180) / Math.PI).toBeCloseTo(20.5560452, 6);
  });

  it('slides instead when friction is below d / z', () => {
    const slick = contacts.map((c) => ({ ...c, friction: 0.2 }));
    const side = tiltAngle(slick, centre, [0, 1])!;
    expect(side.tangent).toBeCloseTo(0.2, 7);
    expect(side.ends).toBe('slides');
  });

  it('takes a push of W d / y at the top, or mu W where that is less', () => {
    const weight = 50 * 9.81;
    const top = pushLimit(contacts, centre, weight, [0, 0.8, 0], [0, 1])!;
    expect(top.value).toBeCloseTo(61.3125, 4);
    expect(top.ends).toBe('tips');
    const low = pushLimit(contacts, centre, weight, [0, 0.05, 0], [0, 1])!;
    expect(low.value).toBeCloseTo(mu * weight, 4);
    expect(low.ends).toBe('slides');
  });

  it('must rise 0.0123106 m to go over', () => {
    expect(riseToTip(centre, [-0.15, 0, 0.1], [0.15, 0, 0.1])).toBeCloseTo(0.0123106, 7);
  });
});

describe('a rail that can be held', () => {
  const feet = [-0.05, 0.2].flatMap((x) => [-0.1, 0.1].map((z) => at([x, 0, z], 0.7)));
  const hand = (hold: number): ContactPoint => ({
    point: [0.5, 1, 0],
    normal: UP,
    friction: 0,
    hold,
  });

  it('pulled without limit it is unbounded', () => {
    const region = equilibriumRegion([...feet, hand(Number.POSITIVE_INFINITY)]);
    expect(region.kind).toBe('unbounded');
  });

  it('pulled with up to F body weights it reaches back about the heel', () => {
    // Own: moments about the heel (-0.05, 0): centre at -0.05 - |F x r| with r to the hand; the best
    // pull is square to r, F |r|, when the floor's friction allows it (F cos <= mu (1 + F sin)).
    const F = 0.2;
    const r = Math.hypot(0.55, 1);
    const region = equilibriumRegion([...feet, hand(F)], { tolerance_m: 1e-7 });
    if (region.kind !== 'region') throw new Error(region.kind);
    expect(Math.min(...region.vertices.map((v) => v[0]))).toBeCloseTo(-0.05 - F * r, 6);
  });

  it('adds nothing at a limit of 0', () => {
    const region = equilibriumRegion([...feet, hand(0)], { tolerance_m: 1e-7 });
    expect(region.kind === 'region' && region.area_m2).toBeCloseTo(0.25 * 0.2, 6);
  });
});
