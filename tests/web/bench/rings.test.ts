import { describe, expect, it } from 'vitest';
import { fromAxisAngle, type Vec2, type Vec3 } from '../../../core/geometry/index.ts';
import { angleAxis } from '../../../core/pose/index.ts';
import { type Axis, elevationEye } from '../../../web/bench/camera.ts';
import { pageRing, ringTurn } from '../../../web/bench/ring-turn.ts';
import { freeAngles, setAngle } from '../../../web/bench/turns.ts';
import { bentScene } from '../../helpers/small-review.ts';

const DEGREE = Math.PI / 180;
const PAGE: Axis = { width: 800, scale: 200, centre: 0, low: 0, planCentre: 0 };
const FRONT = elevationEye('front', PAGE, 600);
const AHEAD: Vec3 = [0, 0, 1];

/** A place of the page at an angle from the right, counter-clockwise as drawn; y down. */
const round = (degrees: number): Vec2 => [Math.cos(degrees * DEGREE), -Math.sin(degrees * DEGREE)];

describe('a ring seen from straight ahead', () => {
  it('turns as far as the hand goes round it, past whole turns', () => {
    const turn = ringTurn(pageRing(AHEAD, FRONT), round(20));
    let turned = 0;
    for (let degrees = 20; degrees <= 470; degrees += 30) turned = turn(round(degrees));
    expect(turned / DEGREE).toBeCloseTo(450, 6);
  });

  it('turns the other way when its axis points away', () => {
    const turn = ringTurn(pageRing([0, 0, -1], FRONT), round(0));
    expect(turn(round(25)) / DEGREE).toBeCloseTo(-25, 6);
  });
});

describe('a ring seen aslant', () => {
  it('is followed along the ellipse that is drawn', () => {
    const axis: Vec3 = [Math.sin(50 * DEGREE), 0, Math.cos(50 * DEGREE)];
    const ring = pageRing(axis, FRONT);
    const turn = ringTurn(ring, ring.at(0.3));
    expect(turn(ring.at(1.1))).toBeCloseTo(0.8, 9);
  });
});

describe('a ring seen on edge', () => {
  it('is pulled along its line by the near side, a radius a radian', () => {
    // About the upright axis the near side goes to the right as the angle grows.
    const turn = ringTurn(pageRing([0, 1, 0], FRONT), [0, 0]);
    expect(turn([0.4, 0])).toBeCloseTo(0.4, 6);
    expect(turn([0.4, 0.3])).toBeCloseTo(0.4, 6);
  });
});

describe('the rings of a joint', () => {
  it('are as many as it has ranges: a knee has no sideways bend', () => {
    const figure = bentScene(0).figures[0]!;
    const names = (segment: 'shankL' | 'thighL' | 'pelvis') =>
      freeAngles(figure, segment).map(({ name }) => name);
    expect(names('thighL')).toEqual(['flexion', 'abduction', 'rotation']);
    expect(names('shankL')).not.toContain('abduction');
    expect(names('pelvis')).toHaveLength(3);
  });

  it('turn about one axis: lifting an arm sideways from the front leaves the other angles', () => {
    const figure = bentScene(0).figures[0]!;
    const [, lift] = freeAngles(figure, 'upperArmL');
    const axis = angleAxis('upperArmL', figure.pose.joints.upperArmL!, 'abduction');
    const ring = pageRing(axis, FRONT);
    expect(ring.seen).toBeCloseTo(1, 9);
    const turn = ringTurn(ring, round(-90));
    const patch = setAngle(figure, 'upperArmL', 'abduction', lift!.value + turn(round(-60)));
    const want = fromAxisAngle(AHEAD, 35 * DEGREE);
    (patch['figure/porter/joint.upperArmL'] as number[]).forEach((part, i) => {
      expect(part).toBeCloseTo(want[i]!, 9);
    });
  });
});
