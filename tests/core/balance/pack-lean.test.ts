import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { buildBody, SEGMENTS, type SegmentName } from '../../../core/body/index.ts';
import { conjugate, IDENTITY, multiply } from '../../../core/geometry/index.ts';
import { type Lock, poseFigure, solveReach } from '../../../core/pose/index.ts';
import { figure, posed, scene } from './scenes.ts';

const DEGREE = Math.PI / 180;

/**
 * Lean under a pack by statics alone: trunk tilt a about the hips so that the plumb point stays where it
 * was without the pack, tan a = L x / (0.6028 * 0.3305 + L y), de Leva 1996 men, length 1.741 m, pack
 * 0.20 m behind and 0.35 m above the hip line. Computed from the published table
 * (reference/checks.md 11): 10 % 4.9, 15 % 6.8, 20 % 8.5, 30 % 11.2 degrees.
 */
const SPEC = { table: 'deleva-male', stature: 1.741, mass: 73 } as const;

/** Plumb point ahead of the ankles with the trunk tilted, and a pack of some share of the body. */
function plumb(tilt: number, share: number): number {
  const body = buildBody(SPEC);
  // The pack hangs on the pelvis, which tilts with the trunk and whose frame lies on the hip line.
  const pack = {
    id: 'pack',
    name: 'Pack',
    shape: { kind: 'box', size: [0.3, 0.5, 0.2] },
    mass: share * body.spec.mass,
    place: {
      kind: 'attached',
      figure: 'a',
      segment: 'pelvis',
      offset: [0, 0.35, -0.2],
      rotation: IDENTITY,
    },
  } as const;
  const report = assess(
    scene({
      figures: [figure('a', posed({ trunk: tilt }, SPEC), { body: SPEC })],
      loads: share > 0 ? [pack] : [],
    }),
  );
  return report.groups[0]!.plumb![1];
}

/** The tilt that brings the plumb point back, degrees, by halving. */
function leanFor(share: number): number {
  const wanted = plumb(0, 0);
  let [low, high] = [0, 40];
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    if (plumb(middle, share) < wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

describe('lean under a pack', () => {
  it.each([
    [0.1, 4.9],
    [0.15, 6.8],
    [0.2, 8.5],
    [0.3, 11.2],
  ])('of %f body masses asks for %f degrees', (share, expected) => {
    expect(Math.abs(leanFor(share) - expected)).toBeLessThan(0.3);
  });

  it.each([
    [0.1, 4.9],
    [0.15, 6.8],
    [0.2, 8.5],
    [0.3, 11.2],
  ])('of %f body masses is found as %f degrees by the pose solver', (share, expected) => {
    const body = buildBody(SPEC);
    const pose = posed({}, SPEC);
    const { centre } = poseFigure(body, pose);
    // The trunk tilts about the hips and everything else stays: the line is wanted where it was.
    const free = new Set<SegmentName>(['pelvis', 'thighL', 'thighR']);
    const found = solveReach(body, pose, {
      goals: [],
      planted: (['footL', 'footR'] as const).map((segment) => ({ segment, turn: true })),
      locks: [...SEGMENTS.filter((name) => !free.has(name)), 'hips-place'] as Lock[],
      centre: {
        target: [centre[0], centre[2]],
        loads: [{ segment: 'pelvis', offset: [0, 0.35, -0.2], mass: share * body.spec.mass }],
        keep: true,
      },
    });
    const [x, , , w] = multiply(conjugate(pose.rotation), found.pose.rotation);
    const tilt = (2 * Math.atan2(x, w)) / DEGREE;
    expect(Math.abs(tilt - expected)).toBeLessThan(0.3);
  });

  it('balances moments about the hip line with the masses of our own body', () => {
    // Own: u sin a + L (y sin a - x cos a) = L b, with u = m_up r_up / M from a tilt without a pack and b
    // the plumb point ahead of the hip line (the feet reach forward), which the published formula leaves out.
    const [x, y, load] = [0.2, 0.35, 0.2];
    const lean = leanFor(load) * DEGREE;
    const base = plumb(0, 0);
    const hips = posed({}, SPEC).position[2];
    const upper = (plumb(30, 0) - base) / Math.sin(30 * DEGREE);
    const left = upper * Math.sin(lean) + load * (y * Math.sin(lean) - x * Math.cos(lean));
    expect(left).toBeCloseTo(load * (base - hips), 7);
  });
});
