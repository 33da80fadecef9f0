import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import { distance, type Quat, type Vec3 } from '../../../core/geometry/index.ts';
import {
  anglesOf,
  degreesOf,
  grabPoint,
  type Pose,
  palmCentre,
  poseFigure,
  poseFromAngles,
  REACHABLE,
  reach,
  restPose,
  turnOf,
} from '../../../core/pose/index.ts';
import { random } from '../../helpers/random.ts';

const body = buildBody({ table: 'deleva-female', stature: 1.66, mass: 60 });
const SEED = 77;
const next = random(SEED);
const about = (p: Vec3, size: number): Vec3 => [
  p[0] + (next() - 0.5) * size,
  p[1] + (next() - 0.5) * size,
  p[2] + (next() - 0.5) * size,
];
const apart = (a: Quat, b: Quat): number =>
  1 - Math.abs(a.reduce((sum, c, i) => sum + c * (b[i] ?? 0), 0));
const flexion = (pose: Pose, name: 'shankL' | 'shankR' | 'forearmL' | 'forearmR'): number =>
  anglesOf(name, pose.joints[name] ?? [0, 0, 0, 1]).flexion;

describe('reach', () => {
  it.each(REACHABLE)('%s: a grab without a move gives the same pose back', (segment) => {
    const pose = poseFromAngles(
      { thigh: { flexion: 30 }, shank: { flexion: 50 }, forearmL: { flexion: 40, rotation: 20 } },
      body,
    );
    const target = grabPoint(poseFigure(body, pose), segment);
    const result = reach(body, pose, { segment, target, planted: ['L', 'R'] });
    expect(result.pose).toBe(pose);
    expect(result.reached).toBe(true);
  });

  it(`pelvis: planted feet stay to 0.1 mm, knees bend their own way (seed ${SEED})`, () => {
    let worst = 0;
    let reached = 0;
    for (let walk = 0; walk < 60; walk++) {
      let pose = restPose(body);
      for (let step = 0; step < 15; step++) {
        const before = poseFigure(body, pose).segments;
        const rotation =
          next() < 0.3
            ? turnOf('pelvis', {
                flexion: next() - 0.4,
                rotation: next() - 0.5,
                abduction: (next() - 0.5) * 0.6,
              })
            : null;
        const planted = next() < 0.8 ? (['L', 'R'] as const) : (['R'] as const);
        const result = reach(body, pose, {
          segment: 'pelvis',
          target: about(before.pelvis.position, 0.4),
          planted,
          ...(rotation ? { rotation } : {}),
        });
        pose = result.pose;
        if (result.reached) reached++;
        const after = poseFigure(body, pose).segments;
        for (const side of planted) {
          const foot = `foot${side}` as const;
          worst = Math.max(
            worst,
            distance(before[foot].position, after[foot].position),
            apart(before[foot].rotation, after[foot].rotation),
          );
        }
        for (const knee of ['shankL', 'shankR'] as const) {
          expect(flexion(pose, knee)).toBeGreaterThan(-1e-9);
          expect(flexion(pose, knee)).toBeLessThan((140 * Math.PI) / 180 + 1e-9);
        }
      }
    }
    expect(worst).toBeLessThan(1e-4);
    // Otherwise the walk would only ever have tried the impossible.
    expect(reached).toBeGreaterThan(300);
  });

  it('pelvis: from straight legs it slides along their reach instead of sticking', () => {
    const rest = restPose(body);
    const [x, y, z] = rest.position;
    const { pose, reached } = reach(body, rest, {
      segment: 'pelvis',
      target: [x + 0.08, y, z],
      planted: ['L', 'R'],
    });
    expect(reached).toBe(false);
    expect(pose.position[0]).toBeGreaterThan(x + 0.07);
    expect(pose.position[1]).toBeLessThan(y);
    const down = reach(body, rest, {
      segment: 'pelvis',
      target: [x, y - 0.3, z],
      planted: ['L', 'R'],
    });
    expect(down.reached).toBe(true);
    expect(degreesOf(down.pose, 'shankL').flexion).toBeGreaterThan(40);
  });

  it('pelvis: without planted feet the whole figure moves', () => {
    const rest = restPose(body);
    const { pose, reached } = reach(body, rest, {
      segment: 'pelvis',
      target: [1, 2, 3],
      planted: [],
    });
    expect(reached).toBe(true);
    expect(pose.joints).toEqual(rest.joints);
  });

  it(`hands: meet what is in reach, stretch towards what is not, elbows bend their own way (seed ${SEED})`, () => {
    for (let i = 0; i < 200; i++) {
      const side = i % 2 === 0 ? 'L' : 'R';
      const rest = restPose(body);
      const start = poseFigure(body, rest);
      const shoulder = start.segments[`upperArm${side}`].position;
      const forward: Vec3 = [shoulder[0], shoulder[1] - 0.1, shoulder[2] + 0.3];
      const target = about(forward, i % 10 === 0 ? 4 : 0.3);
      const { pose, reached } = reach(body, rest, { segment: `hand${side}`, target, planted: [] });
      const palm = palmCentre(poseFigure(body, pose), side);
      expect(flexion(pose, `forearm${side}`)).toBeGreaterThan(-1e-9);
      if (i % 10 !== 0) expect(reached, `target ${target}`).toBe(true);
      if (reached) expect(distance(palm, target)).toBeLessThan(1e-4);
      // Nothing but the arm moved.
      expect({ ...pose.joints, [`upperArm${side}`]: 0, [`forearm${side}`]: 0 }).toEqual({
        ...rest.joints,
        [`upperArm${side}`]: 0,
        [`forearm${side}`]: 0,
      });
    }
    const far = reach(body, restPose(body), {
      segment: 'handL',
      target: [0.4, 1.3, 9],
      planted: [],
    });
    expect(far.reached).toBe(false);
    const palm = palmCentre(poseFigure(body, far.pose), 'L');
    expect(palm[2]).toBeGreaterThan(0.5);
    expect(palm[1]).toBeCloseTo(1.3, 1);
  });

  it('hands: a slow circle moves the elbow in small steps only', () => {
    let pose = restPose(body);
    let elbow: Vec3 | null = null;
    for (let i = 0; i <= 360; i++) {
      const a = (i * Math.PI) / 180;
      const target: Vec3 = [0.3 + 0.2 * Math.cos(a), 1.15 + 0.25 * Math.sin(a), 0.3];
      pose = reach(body, pose, { segment: 'handL', target, planted: [] }).pose;
      const now = poseFigure(body, pose).segments.forearmL.position;
      if (i > 1 && elbow) expect(distance(now, elbow)).toBeLessThan(0.03);
      elbow = now;
    }
  });

  it('hands: take a given turn in the world', () => {
    const rotation = turnOf('handL', { flexion: 0.1, abduction: 1 });
    const target: Vec3 = [0.25, 0.95, 0.3];
    const straight = poseFromAngles({ forearm: { flexion: 60 } }, body);
    const { pose, reached } = reach(body, straight, {
      segment: 'handL',
      target,
      planted: [],
      rotation,
    });
    const posed = poseFigure(body, pose);
    expect(reached).toBe(true);
    expect(apart(posed.segments.handL.rotation, rotation)).toBeLessThan(1e-9);
    expect(distance(palmCentre(posed, 'L'), target)).toBeLessThan(1e-4);
  });

  it('feet: step to the target and stay level', () => {
    const rest = restPose(body);
    const from = poseFigure(body, rest).segments.footL;
    const target: Vec3 = [from.position[0] + 0.1, from.position[1] + 0.08, from.position[2] + 0.15];
    const { pose, reached } = reach(body, rest, { segment: 'footL', target, planted: ['R'] });
    const foot = poseFigure(body, pose).segments.footL;
    expect(reached).toBe(true);
    expect(distance(foot.position, target)).toBeLessThan(1e-9);
    expect(apart(foot.rotation, from.rotation)).toBeLessThan(1e-9);
    expect(flexion(pose, 'shankL')).toBeGreaterThan(0);
  });

  it('head and chest: bend the back towards the target, in equal shares and inside its ranges', () => {
    const rest = restPose(body);
    const { pose } = reach(body, rest, { segment: 'head', target: [0, 1.3, 0.35], planted: [] });
    const [abdomen, chest, neck] = (['abdomen', 'chest', 'head'] as const).map(
      (name) => degreesOf(pose, name).flexion,
    ) as [number, number, number];
    expect(abdomen).toBeGreaterThan(5);
    expect(chest).toBeCloseTo(abdomen, 6);
    expect(neck).toBeGreaterThan(0);
    const wild = reach(body, rest, { segment: 'head', target: [0, 0.2, -3], planted: [] });
    expect(wild.reached).toBe(false);
    expect(degreesOf(wild.pose, 'chest').flexion).toBeGreaterThan(-12.6);
    const side = reach(body, rest, { segment: 'chest', target: [0.1, 1.19, 0.06], planted: [] });
    expect(degreesOf(side.pose, 'abdomen').abduction).toBeGreaterThan(3);
  });
});
