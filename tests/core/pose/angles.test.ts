import { describe, expect, it } from 'vitest';
import { buildBody, SEGMENTS, type SegmentName } from '../../../core/body/index.ts';
import {
  angleBetween,
  fromAxisAngle,
  IDENTITY,
  multiply,
  type Quat,
  rotate,
  type Vec3,
} from '../../../core/geometry/index.ts';
import {
  angleAxis,
  angleRange,
  anglesOf,
  clampJoint,
  degreesOf,
  fromSwingTwist,
  poseFigure,
  poseFromAngles,
  swingTwist,
  turnOf,
} from '../../../core/pose/index.ts';
import { random } from '../../helpers/random.ts';

const SEED = 5;
const next = random(SEED);
const turn = (): Quat =>
  fromAxisAngle([next() - 0.5, next() - 0.5, next() - 0.5], (next() - 0.5) * 2 * Math.PI);
const same = (a: Quat, b: Quat): number =>
  Math.abs(a.reduce((sum, c, i) => sum + c * (b[i] ?? 0), 0));
const DEGREE = Math.PI / 180;
const body = buildBody({ table: 'deleva-male', stature: 1.75, mass: 70 });

describe('anatomical angles', () => {
  // Where a segment's far end (or a foot's toes, a palm) goes; left +x, up +y, forward +z.
  const cases: readonly [
    SegmentName,
    'flexion' | 'abduction' | 'rotation',
    along: Vec3,
    goes: Vec3,
  ][] = [
    ['thighL', 'flexion', [0, -1, 0], [0, 0, 1]],
    ['shankR', 'flexion', [0, -1, 0], [0, 0, -1]],
    ['upperArmR', 'flexion', [0, -1, 0], [0, 0, 1]],
    ['forearmL', 'flexion', [0, -1, 0], [0, 0, 1]],
    ['footL', 'flexion', [0, 0, 1], [0, 1, 0]],
    ['chest', 'flexion', [0, 1, 0], [0, 0, 1]],
    ['head', 'flexion', [0, 1, 0], [0, 0, 1]],
    ['handL', 'flexion', [0, -1, 0], [-1, 0, 0]],
    ['handR', 'flexion', [0, -1, 0], [1, 0, 0]],
    ['thighL', 'abduction', [0, -1, 0], [1, 0, 0]],
    ['upperArmR', 'abduction', [0, -1, 0], [-1, 0, 0]],
    ['chest', 'abduction', [0, 1, 0], [1, 0, 0]],
    ['handR', 'abduction', [0, -1, 0], [0, 0, 1]],
    ['footL', 'abduction', [0, -1, 0], [1, 0, 0]],
    ['thighR', 'rotation', [0, 0, 1], [-1, 0, 0]],
    ['head', 'rotation', [0, 0, 1], [1, 0, 0]],
    // Palm of the left hand faces the thigh (-x); supination turns it forward.
    ['forearmL', 'rotation', [-1, 0, 0], [0, 0, 1]],
  ];
  it.each(cases)('%s: positive %s', (segment, angle, along, goes) => {
    const quarter = turnOf(segment, { [angle]: Math.PI / 2 });
    rotate(quarter, along).forEach((c, i) => {
      expect(c).toBeCloseTo(goes[i] ?? 0, 12);
    });
    expect(anglesOf(segment, quarter)[angle]).toBeCloseTo(Math.PI / 2, 12);
  });

  it(`go both ways for any turn of any joint (seed ${SEED})`, () => {
    for (let i = 0; i < 300; i++) {
      const segment = SEGMENTS[i % SEGMENTS.length] as SegmentName;
      const q = turn();
      expect(same(turnOf(segment, anglesOf(segment, q)), q)).toBeGreaterThan(1 - 1e-12);
      expect(same(fromSwingTwist(swingTwist(q)), q)).toBeGreaterThan(1 - 1e-12);
    }
  });

  it('are what a pose was made of, by segment or by pair', () => {
    const pose = poseFromAngles({
      thigh: { flexion: 40, abduction: 10 },
      thighR: { flexion: 70 },
      abdomen: { rotation: 12 },
    });
    expect(degreesOf(pose, 'thighL').flexion).toBeCloseTo(40, 9);
    expect(degreesOf(pose, 'thighL').abduction).toBeCloseTo(10, 9);
    expect(degreesOf(pose, 'thighR').flexion).toBeCloseTo(70, 9);
    expect(degreesOf(pose, 'abdomen').rotation).toBeCloseTo(12, 9);
    expect(degreesOf(pose, 'head')).toEqual({ flexion: 0, abduction: 0, rotation: 0 });
  });

  it('lean tilts the legs over level feet, trunk tilts all above the hips over still legs', () => {
    const posed = poseFigure(body, poseFromAngles({ lean: 10, trunk: 25 }, body)).segments;
    const down = rotate(posed.thighL.rotation, [0, 1, 0]);
    expect(Math.atan2(down[2], down[1]) / DEGREE).toBeCloseTo(10, 9);
    const up = rotate(posed.chest.rotation, [0, 1, 0]);
    expect(Math.atan2(up[2], up[1]) / DEGREE).toBeCloseTo(25, 9);
    expect(same(posed.footR.rotation, IDENTITY)).toBeCloseTo(1, 12);
  });
});

describe('the axis of an angle', () => {
  it('is what the joint turns about when that angle alone grows (any turn, seed 11)', () => {
    const own = random(11);
    const within = (): number => (own() - 0.5) * 2;
    for (const segment of ['upperArmL', 'upperArmR', 'shankL', 'handR', 'chest', 'footL'] as const)
      for (const name of ['flexion', 'abduction', 'rotation'] as const) {
        const angles = { flexion: within(), abduction: within(), rotation: within() };
        const turn = turnOf(segment, angles);
        const axis = angleAxis(segment, turn, name);
        const by = 1e-3;
        const grown = turnOf(segment, { ...angles, [name]: angles[name] + by });
        const apart = angleBetween(
          grown,
          multiply(fromAxisAngle(axis, by * speed(turn, grown, by)), turn),
        );
        expect(apart, `${segment} ${name}`).toBeLessThan(2e-6);
      }
  });
});

/** Radians turned for a radian of the angle: less than 1 beside another swing. */
const speed = (from: Quat, to: Quat, by: number): number => angleBetween(from, to) / by;

describe('joint ranges', () => {
  it('leave a turn inside them as it is, and hold one outside at the end (AAOS norms)', () => {
    const { shankL, thighL, upperArmR } = body.segments;
    const inside = turnOf('shankL', { flexion: 1 });
    expect(clampJoint(shankL.limits, inside)).toBe(inside);
    const knee = (degrees: number) =>
      anglesOf('shankL', clampJoint(shankL.limits, turnOf('shankL', { flexion: degrees * DEGREE })))
        .flexion / DEGREE;
    expect(knee(170)).toBeCloseTo(140, 9);
    expect(knee(-15)).toBeCloseTo(0, 9);
    const hip = anglesOf('thighL', clampJoint(thighL.limits, turnOf('thighL', { flexion: 2.6 })));
    expect(hip.flexion / DEGREE).toBeCloseTo(130, 9);
    // 5° past overhead is held overhead, not thrown round to the back.
    const arm = clampJoint(upperArmR.limits, turnOf('upperArmR', { flexion: -175 * DEGREE }));
    expect(rotate(arm, [0, -1, 0])[1]).toBeCloseTo(1, 9);
  });

  it('narrow each other: a swing ends at the ellipse between its ranges (property, seed 5)', () => {
    for (let i = 0; i < 500; i++) {
      const name = SEGMENTS[1 + Math.floor(next() * (SEGMENTS.length - 1))]!;
      const { limits } = body.segments[name];
      const held = clampJoint(limits, turn());
      const { x, y, z } = swingTwist(held);
      // A swing of nearly half a turn can be read either way round, and an ankle is two joints.
      if (Math.hypot(x, z) < 3 && !limits.apart) {
        const share = (value: number, [low, high]: readonly [number, number]): number =>
          Math.abs(value) < 1e-9 ? 0 : value / (value > 0 ? high : low);
        expect(Math.hypot(share(x, limits.x), share(z, limits.z)), name).toBeLessThan(1 + 1e-7);
        expect(same(clampJoint(limits, held), held)).toBeCloseTo(1, 9);
      }
      expect(y).toBeGreaterThan(limits.y[0] - 1e-7);
      expect(y).toBeLessThan(limits.y[1] + 1e-7);
    }
    // A thigh lifted half its range spreads √3/2 of its own at most.
    const half = turnOf('thighL', { flexion: 65 * DEGREE });
    const [, most] = angleRange('thighL', body.segments.thighL.limits, 'abduction', half);
    expect(most / DEGREE).toBeCloseTo((45 * Math.sqrt(3)) / 2, 9);
  });

  it('are mirror images left and right', () => {
    for (const name of SEGMENTS.filter((segment) => segment.endsWith('L'))) {
      const right = `${name.slice(0, -1)}R` as SegmentName;
      for (const angle of ['flexion', 'abduction', 'rotation'] as const) {
        expect(angleRange(name, body.segments[name].limits, angle)).toEqual(
          angleRange(right, body.segments[right].limits, angle),
        );
      }
    }
  });
});
