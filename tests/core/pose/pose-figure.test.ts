import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BodySpec, buildBody, SEGMENTS } from '../../../core/body/index.ts';
import { distance, fromAxisAngle, type Quat, type Vec3 } from '../../../core/geometry/index.ts';
import {
  lowestPoint,
  mirrorPose,
  type Pose,
  type PoseAngles,
  palmCentre,
  pointOn,
  poseFigure,
  poseFromAngles,
  restPose,
  standOnFloor,
} from '../../../core/pose/index.ts';
import { type MujocoFigure, mujocoFigure } from '../../bench/mujoco-figure.ts';
import { random } from '../../helpers/random.ts';

const MAN: BodySpec = { table: 'deleva-male', stature: 1.741, mass: 73 };
const WOMAN: BodySpec = { table: 'deleva-female', stature: 1.735, mass: 61.9 };

/** Millimetres that the centre moves from the upright pose, hips in place. */
function shift(spec: BodySpec, angles: PoseAngles): Vec3 {
  const body = buildBody(spec);
  const from = poseFigure(body, poseFromAngles({})).centre;
  const to = poseFigure(body, poseFromAngles(angles)).centre;
  return [0, 1, 2].map((i) => ((to[i] ?? 0) - (from[i] ?? 0)) * 1000) as unknown as Vec3;
}

// Own sums on de Leva's lengths (checks.md section 4), cross-checked there with the Rajagopal 2016 model.
describe('shifts of the centre, 1 mm', () => {
  const cases: readonly [string, PoseAngles, men: Vec3, women: Vec3][] = [
    ['both arms forward', { upperArm: { flexion: 90 } }, [0, 29.5, 29.5], [0, 25.7, 25.7]],
    ['both arms overhead', { upperArm: { flexion: 180 } }, [0, 58.9, 0], [0, 51.4, 0]],
    ['left arm out', { upperArmL: { abduction: 90 } }, [14.7, 14.7, 0], [12.8, 12.8, 0]],
    ['right arm out', { upperArmR: { abduction: 90 } }, [-14.7, 14.7, 0], [-12.8, 12.8, 0]],
    ['trunk 30° about the hips', { trunk: 30 }, [0, -26.7, 99.6], [0, -26.8, 100.1]],
    ['left leg out 45°', { thighL: { abduction: 45 } }, [44.8, 18.6, 0], [40.6, 16.8, 0]],
  ];
  it.each(cases)('%s', (_, angles, men, women) => {
    for (const [spec, expected] of [
      [MAN, men],
      [WOMAN, women],
    ] as const) {
      shift(spec, angles).forEach((mm, axis) => {
        expect(Math.abs(mm - (expected[axis] ?? 0))).toBeLessThan(1);
      });
    }
  });
});

describe('standing', () => {
  it.each([MAN, WOMAN])(
    'rests on both soles with the plumb point at 40-45 % of the foot',
    (spec) => {
      const body = buildBody(spec);
      const { centre, segments } = poseFigure(body, restPose(body));
      // Share usual in quiet standing: from memory of the literature (4-6 cm before the ankle).
      const share = centre[2] / body.footLength + 0.21;
      expect(share).toBeGreaterThan(0.4);
      expect(share).toBeLessThan(0.45);
      expect(segments.footL.position[2]).toBeCloseTo(0, 12);
      // Woodhull et al. 1985: hip 6.2 (SD 1.3) cm before the ankle.
      expect(segments.pelvis.position[2]).toBeCloseTo(0.062, 3);
      for (const side of ['L', 'R'] as const) {
        for (const patch of [`sole${side}`, `toes${side}`] as const) {
          const { segment, outline } = body.patches[patch];
          for (const corner of outline) {
            expect(
              Math.abs(pointOn(poseFigure(body, restPose(body)), segment, corner)[1]),
            ).toBeLessThan(1e-9);
          }
        }
      }
    },
  );

  it('bends to the toes like the flat model of the demo show (man 1.72 m, trunk 118°: 98, 80, 45 % of the foot)', () => {
    const body = buildBody({ table: 'deleva-male', stature: 1.72, mass: 66 });
    for (const [lean, expected] of [
      [0, 0.98],
      [-4, 0.8],
      [-11, 0.45],
    ] as const) {
      const pose = poseFromAngles({ lean, trunk: 118, upperArm: { flexion: 118 } }, body);
      const { centre, segments } = poseFigure(body, pose);
      const share = (centre[2] - segments.footL.position[2]) / body.footLength + 0.21;
      expect(Math.abs(share - expected)).toBeLessThan(0.02);
    }
  });

  it('moves any pose onto the floor by its lowest patch', () => {
    const body = buildBody(MAN);
    const upside: Pose = {
      position: [3, 9, -1],
      rotation: fromAxisAngle([1, 0, 0.2], 2.5),
      joints: {},
    };
    const stood = standOnFloor(body, upside);
    expect(lowestPoint(poseFigure(body, stood))).toBeCloseTo(0, 12);
    expect([stood.position[0], stood.position[2]]).toEqual([3, -1]);
  });
});

describe('forward kinematics', () => {
  it('hangs every segment on its parent, palms inward at the thighs', () => {
    const body = buildBody(MAN);
    const posed = poseFigure(body, poseFromAngles({}, body));
    expect(posed.segments.head.position[0]).toBe(0);
    const palm = palmCentre(posed, 'L');
    const wrist = posed.segments.handL.position;
    expect(palm[0]).toBeLessThan(wrist[0]);
    expect(palm[1]).toBeLessThan(wrist[1]);
    expect(palmCentre(posed, 'R')[0]).toBeCloseTo(-palm[0], 12);
  });

  it('keeps its digits 10 km from the origin', () => {
    const body = buildBody(MAN);
    const near = poseFigure(body, restPose(body)).centre;
    const rest = restPose(body);
    const far = poseFigure(body, {
      ...rest,
      position: [1e4, rest.position[1], rest.position[2]],
    }).centre;
    expect(Math.abs(far[0] - 1e4 - near[0])).toBeLessThan(1e-9);
  });
});

const SEED = 2024;
const next = random(SEED);
const turn = (): Quat =>
  fromAxisAngle([next() - 0.5, next() - 0.5, next() - 0.5], (next() - 0.5) * 2 * Math.PI);
const anyPose = (): Pose => ({
  position: [next() * 4 - 2, next() * 2, next() * 4 - 2],
  rotation: turn(),
  joints: Object.fromEntries(
    SEGMENTS.filter((name) => name !== 'pelvis' && next() < 0.9).map((name) => [name, turn()]),
  ),
});

describe('against mujoco-js (MuJoCo 3.3.8, Apache-2.0), which shares no code with us', () => {
  let figure: MujocoFigure;
  const body = buildBody({ ...WOMAN, overrides: { head: { length: 1.4, mass: 2 } } });
  beforeAll(async () => {
    figure = await mujocoFigure(body);
  });
  afterAll(() => figure.close());

  it(`has the same centre within 1e-6 m in 200 random poses (seed ${SEED})`, () => {
    let worst = 0;
    for (let i = 0; i < 200; i++) {
      const pose = anyPose();
      worst = Math.max(worst, distance(poseFigure(body, pose).centre, figure.centreOf(pose)));
    }
    expect(worst).toBeLessThan(1e-6);
  });
});

describe('mirror', () => {
  it(`twice gives the pose back; once reflects every joint (seed ${SEED})`, () => {
    const body = buildBody(MAN);
    for (let i = 0; i < 50; i++) {
      const pose = anyPose();
      const once = mirrorPose(pose);
      expect(mirrorPose(once)).toEqual(pose);
      const a = poseFigure(body, pose);
      const b = poseFigure(body, once);
      const mirrored = ([x, y, z]: Vec3): Vec3 => [2 * pose.position[0] - x, y, z];
      expect(distance(mirrored(a.centre), b.centre)).toBeLessThan(1e-12);
      expect(distance(mirrored(a.segments.handL.position), b.segments.handR.position)).toBeLessThan(
        1e-12,
      );
      expect(distance(mirrored(palmCentre(a, 'R')), palmCentre(b, 'L'))).toBeLessThan(1e-12);
    }
  });
});
