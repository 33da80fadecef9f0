import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import { distance, type Vec3 } from '../../../core/geometry/index.ts';
import { eased, type KeyPose, keyedFigure } from '../../../core/motion/index.ts';
import { type PoseAngles, poseFigure, poseFromAngles } from '../../../core/pose/index.ts';
import type { Figure } from '../../../core/scene/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const scene = bentScene(0);
const figure = scene.figures[0] as Figure;
const body = buildBody(figure.body);

const standing = (angles: PoseAngles = {}): KeyPose['pose'] => poseFromAngles(angles, body);
const key = (frame: number, pose: KeyPose['pose'], ease: KeyPose['ease'] = 'linear'): KeyPose => ({
  ...{ frame, pose, ease, contacts: {} },
});
const footOf = (posed: Figure, side: 'L' | 'R'): Vec3 =>
  poseFigure(body, posed.pose).segments[`foot${side}`].position;

/** Knees bent, so that the hips sink by a hand; feet stay flat. */
const crouched = standing({
  thigh: { flexion: 60 },
  shank: { flexion: 100 },
  foot: { flexion: 40 },
});
const shifted = (pose: KeyPose['pose'], way: Vec3): KeyPose['pose'] => ({
  ...pose,
  position: [pose.position[0] + way[0], pose.position[1] + way[1], pose.position[2] + way[2]],
});
/** A key pose with its left ankle where another's is: both stand at one place. */
const overFoot = (pose: KeyPose['pose'], other: KeyPose['pose']): KeyPose['pose'] => {
  const [a, b] = [other, pose].map((one) => poseFigure(body, one).segments.footL.position) as [
    Vec3,
    Vec3,
  ];
  return shifted(pose, [a[0] - b[0], a[1] - b[1], a[2] - b[2]]);
};

describe('a figure between keys', () => {
  const keys = [key(0, standing()), key(20, overFoot(crouched, standing()))];
  const at = (frame: number): Figure => keyedFigure(figure, keys, scene.surfaces)(frame);

  it('stands as at the first key before it, as at the last after it, and exactly so on them', () => {
    expect(at(0).pose).toEqual(keys[0]!.pose);
    expect(keyedFigure(figure, keys, scene.surfaces)(-3).pose).toEqual(keys[0]!.pose);
    expect(at(20).pose).toEqual(keys[1]!.pose);
    expect(at(99).pose).toEqual(keys[1]!.pose);
  });

  it('keeps feet that carry at both keys where they are, to a millimetre', () => {
    for (const side of ['L', 'R'] as const) {
      const place = footOf(at(0), side);
      for (let frame = 1; frame < 20; frame++) {
        expect(distance(footOf(at(frame), side), place), `frame ${frame}`).toBeLessThan(1e-3);
      }
    }
  });

  it('goes evenly, the hips no further off the straight way than the ankles ask for', () => {
    const [from, to] = [at(0), at(20)].map(({ pose }) => pose.position[1]) as [number, number];
    for (const frame of [5, 10, 15]) {
      const even = from + ((to - from) * frame) / 20;
      expect(Math.abs(at(frame).pose.position[1] - even), `frame ${frame}`).toBeLessThan(0.015);
    }
  });

  it('brings a foot that stands elsewhere at the next key there along the floor', () => {
    const slid = [key(0, standing()), key(10, shifted(standing(), [0.2, 0, 0]))];
    const half = keyedFigure(figure, slid, scene.surfaces)(5);
    const [a, b] = [slid[0]!, slid[1]!].map(
      ({ pose }) => poseFigure(body, pose).segments.footL.position,
    ) as [Vec3, Vec3];
    expect(footOf(half, 'L')[0]).toBeCloseTo((a[0] + b[0]) / 2, 3);
    expect(footOf(half, 'L')[1]).toBeCloseTo(a[1], 3);
  });

  it('leaves a foot free that is lifted at one of the keys', () => {
    const up = standing({ thighL: { flexion: 40 }, shankL: { flexion: 60 } } as PoseAngles);
    const steps = [key(0, standing()), key(10, up)];
    const [start, middle, end] = [0, 5, 10].map((frame) =>
      footOf(keyedFigure(figure, steps, scene.surfaces)(frame), 'L'),
    ) as [Vec3, Vec3, Vec3];
    expect(middle[1]).toBeGreaterThan(start[1]);
    expect(middle[1]).toBeLessThan(end[1]);
  });

  it('takes the contact settings of the key it comes from', () => {
    const planted: KeyPose = { ...key(0, standing()), contacts: { soleL: 'planted' } };
    const two = [planted, { ...key(10, crouched), contacts: { soleL: 'lifted' as const } }];
    expect(keyedFigure(figure, two, scene.surfaces)(9).contacts).toEqual({ soleL: 'planted' });
    expect(keyedFigure(figure, two, scene.surfaces)(10).contacts).toEqual({ soleL: 'lifted' });
  });
});

describe('the way from key to key', () => {
  it('is stepped, linear, or eased out and in', () => {
    expect([0, 0.5, 0.99, 1].map((share) => eased('stepped', share))).toEqual([0, 0, 0, 1]);
    expect(eased('linear', 0.3)).toBe(0.3);
    // The cubic without speed at either end: 3 s^2 - 2 s^3.
    expect([0, 0.25, 0.5, 1].map((share) => eased('eased', share))).toEqual([0, 0.15625, 0.5, 1]);
  });
});
