import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../../core/balance/index.ts';
import { buildBody } from '../../../../core/body/index.ts';
import {
  conjugate,
  fromAxisAngle,
  multiply,
  type Quat,
  rotate,
  subtract,
  type Vec2,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import { type Pose, poseFigure, setJoint } from '../../../../core/pose/index.ts';
import { ball, figure, held, posed, scene, standing, WOMAN } from '../scenes.ts';

const DEGREE = Math.PI / 180;
const body = buildBody(WOMAN);

const jointsOf = (pose: Pose, contacts = {}) => {
  const { sensitivity } = study(scene({ figures: [figure('a', pose, { contacts })] })).groups[0]!;
  const { answer } = sensitivity[0]!;
  if (answer.kind !== 'told') throw new Error(answer.sentence);
  return answer;
};

const plumbOf = (pose: Pose): Vec2 => {
  const [x, , z] = poseFigure(body, pose).centre;
  return [x, z];
};

/** Central difference of the plumb point over one degree. */
const difference = (at: (degrees: number) => Pose): Vec2 => {
  const h = 0.01;
  const [a, b] = [plumbOf(at(h)), plumbOf(at(-h))];
  return [(a[0] - b[0]) / (2 * h), (a[1] - b[1]) / (2 * h)];
};

describe('sensitivity', () => {
  const pose = posed({
    lean: 4,
    trunk: 15,
    upperArm: { flexion: 50, abduction: 20 },
    head: { flexion: 10 },
  });

  it('is the central difference of forward kinematics for every free joint', () => {
    const axes: Record<string, Vec3> = {
      flexion: [1, 0, 0],
      rotation: [0, 1, 0],
      abduction: [0, 0, 1],
    };
    const { joints } = jointsOf(pose);
    const free = joints.filter(({ both }) => !both);
    expect(free.length).toBeGreaterThan(8);
    for (const { joint, axis, perDegree_m, size_m } of free) {
      const found = difference((degrees) =>
        setJoint(
          pose,
          joint,
          multiply(
            fromAxisAngle(axes[axis]!, degrees * DEGREE),
            pose.joints[joint] ?? [0, 0, 0, 1],
          ),
        ),
      );
      expect(found[0]).toBeCloseTo(perDegree_m[0], 9);
      expect(found[1]).toBeCloseTo(perDegree_m[1], 9);
      expect(Math.hypot(...found)).toBeCloseTo(size_m, 9);
    }
  });

  it('of both ankles is the lean of the whole figure over its standing feet', () => {
    const { joints } = jointsOf(pose);
    const ankles = joints.find(({ joint }) => joint === 'footL')!;
    expect(ankles.both).toBe(true);
    const { footL } = poseFigure(body, pose).segments;
    const leaning = (degrees: number): Pose => {
      const turn = fromAxisAngle([1, 0, 0], degrees * DEGREE);
      const at = subtract(pose.position, footL.position);
      const [x, y, z] = rotate(turn, at);
      // The feet keep their turn in the world.
      const kept = (foot: 'footL' | 'footR', shank: 'shankL' | 'shankR'): Quat => {
        const before = poseFigure(body, pose).segments;
        return multiply(conjugate(multiply(turn, before[shank].rotation)), before[foot].rotation);
      };
      return {
        position: [x + footL.position[0], y + footL.position[1], z + footL.position[2]],
        rotation: multiply(turn, pose.rotation),
        joints: { ...pose.joints, footL: kept('footL', 'shankL'), footR: kept('footR', 'shankR') },
      };
    };
    const found = difference(leaning);
    expect(found[0]).toBeCloseTo(ankles.perDegree_m[0], 9);
    expect(found[1]).toBeCloseTo(ankles.perDegree_m[1], 9);
    // Nothing moves the centre more than leaning over the ankles.
    expect(joints[0]!.joint).toBe('footL');
  });

  it('on one foot turns everything above its joints, and the free leg by itself', () => {
    const lifted = {
      soleL: 'lifted',
      toesL: 'lifted',
      soleR: 'planted',
      toesR: 'planted',
    } as const;
    const { joints, sentence } = jointsOf(standing(), lifted);
    expect(joints.every(({ both }) => !both)).toBe(true);
    expect(joints.map(({ joint }) => joint)).toContain('thighL');
    expect(joints[0]!.joint).toBe('footR');
    expect(sentence).toMatch(
      /^What moves the plumb line of a most now, for one degree: the right ankle moves it \d+\.\d mm (forwards or backwards|to the left or to the right), then the right knee moves it /,
    );
  });

  it('counts what the hands carry with the hands', () => {
    const arms = posed({ upperArm: { flexion: 60 } });
    const shoulder = (mass: number) => {
      const { sensitivity } = study(
        scene({ figures: [figure('a', arms)], loads: [ball('b', mass, held('a'))] }),
      ).groups[0]!;
      const { answer } = sensitivity[0]!;
      if (answer.kind !== 'told') throw new Error(answer.sentence);
      return answer.joints.find(({ joint }) => joint === 'upperArmL')!.size_m;
    };
    expect(shoulder(10)).toBeGreaterThan(2 * shoulder(0));
  });
});

describe('sturdiness', () => {
  const sturdinessOf = (pose: Pose) => {
    const made = scene({ figures: [figure('a', pose)] });
    const { sturdiness } = study(made).groups[0]!;
    if (sturdiness.kind !== 'told') throw new Error(sturdiness.sentence);
    return { ...sturdiness, margin: assess(made).groups[0]!.margin!.distance };
  };

  it('gives the reading itself under its own table, and all three tables', () => {
    const { under, margin, sturdy, sentence } = sturdinessOf(standing());
    expect(under).toHaveLength(4);
    expect(under[0]!.margin_m).toBeCloseTo(margin, 12);
    expect(sturdy).toBe(true);
    expect(sentence).toMatch(
      /^Holds under every table and with segment masses 10 % off, with \d+\.\d cm of room at worst\.$/,
    );
  });

  it('finds the worst masses worse than any single segment a tenth off', () => {
    const pose = posed({ trunk: 18 });
    const { under } = sturdinessOf(pose);
    const worst = under[3]!.margin_m!;
    const placed = poseFigure(body, pose);
    for (const segment of Object.values(body.segments)) {
      for (const factor of [0.9, 1.1]) {
        const heavier = { ...WOMAN, overrides: { [segment.name]: { mass: factor } } };
        const made = scene({ figures: [figure('a', pose, { body: heavier })] });
        expect(assess(made).groups[0]!.margin!.distance).toBeGreaterThan(worst - 1e-9);
      }
    }
    expect(placed.body.segments).toBe(body.segments);
  });

  it('says when the verdict hangs on the table', () => {
    // Just short of the functional edge: a few millimetres decide.
    let [holding, other] = [0, 80];
    const verdict = (trunk: number) =>
      assess(scene({ figures: [figure('a', posed({ trunk }))] })).groups[0]!.verdict;
    while (other - holding > 0.01) {
      const middle = (holding + other) / 2;
      if (verdict(middle) === 'holds') holding = middle;
      else other = middle;
    }
    const { sturdy, sentence } = sturdinessOf(posed({ trunk: holding }));
    expect(sturdy).toBe(false);
    expect(sentence).toMatch(/^Depends on the body's masses: with .+ it teeters\.$/);
  });

  it('says how far a fall is from standing at least', () => {
    const { sentence, under } = sturdinessOf(posed({ lean: 24 }));
    const least = -Math.max(...under.map(({ margin_m }) => margin_m!));
    expect(sentence).toBe(
      `Falls under every table and with segment masses 10 % off, by ${(least * 100).toFixed(1)} cm at least.`,
    );
  });
});
