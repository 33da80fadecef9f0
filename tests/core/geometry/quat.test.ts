import { describe, expect, it } from 'vitest';
import {
  angleBetween,
  applyTransform,
  between,
  conjugate,
  cross,
  distance,
  dot,
  fromAxisAngle,
  IDENTITY,
  length,
  multiply,
  normalise,
  type Quat,
  rotate,
  slerp,
  type Vec3,
} from '../../../core/geometry/index.ts';
import { random } from '../../helpers/random.ts';

const SEED = 11;
const next = random(SEED);
const vector = (): Vec3 => [next() * 2 - 1, next() * 2 - 1, next() * 2 - 1];
const turn = (): Quat => fromAxisAngle(vector(), next() * 6 - 3);

describe('vectors and turns', () => {
  it('turns right-handed: a quarter about y takes forward (+z) to the left (+x)', () => {
    expect(
      distance(rotate(fromAxisAngle([0, 5, 0], Math.PI / 2), [0, 0, 1]), [1, 0, 0]),
    ).toBeLessThan(1e-15);
    expect(cross([1, 0, 0], [0, 1, 0])).toEqual([0, 0, 1]);
  });

  it(`composes, inverts and keeps lengths (seed ${SEED})`, () => {
    for (let i = 0; i < 200; i++) {
      const [a, b, v] = [turn(), turn(), vector()];
      expect(distance(rotate(multiply(a, b), v), rotate(a, rotate(b, v)))).toBeLessThan(1e-14);
      expect(distance(rotate(conjugate(a), rotate(a, v)), v)).toBeLessThan(1e-14);
      expect(length(rotate(a, v))).toBeCloseTo(length(v), 13);
    }
  });

  it(`brings one direction onto another, opposite ones too (seed ${SEED})`, () => {
    for (let i = 0; i < 200; i++) {
      const [from, to] = [vector(), i % 4 === 0 ? null : vector()];
      const target = normalise(to ?? [-from[0], -from[1], -from[2]]);
      expect(distance(rotate(between(from, target), normalise(from)), target)).toBeLessThan(1e-7);
    }
  });

  it('goes the shorter way between turns, whatever the sign of the quaternion', () => {
    const quarter = fromAxisAngle([0, 1, 0], Math.PI / 2);
    const negative = quarter.map((c) => -c) as unknown as Quat;
    for (const end of [quarter, negative]) {
      const half = slerp(IDENTITY, end, 0.5);
      const expected = fromAxisAngle([0, 1, 0], Math.PI / 4);
      expect(
        Math.abs(half.reduce((sum, c, i) => sum + c * (expected[i] as number), 0)),
      ).toBeCloseTo(1, 12);
    }
  });

  it('tells the angle between turns, a very small one and one past half a turn, too', () => {
    const about = (radians: number): Quat => fromAxisAngle([1, 2, -1], radians);
    for (const angle of [0, 1e-9, 0.3, Math.PI - 1e-9])
      expect(Math.abs(angleBetween(about(0.4 + angle), about(0.4)) - angle)).toBeLessThan(1e-14);
    expect(angleBetween(about(4), IDENTITY)).toBeCloseTo(2 * Math.PI - 4, 12);
  });

  it('places a point: turn, then move; gives a direction to what has none', () => {
    const placed = applyTransform(
      { position: [1, 2, 3], rotation: fromAxisAngle([1, 0, 0], Math.PI / 2) },
      [0, 1, 0],
    );
    expect(distance(placed, [1, 2, 4])).toBeLessThan(1e-15);
    expect(normalise([0, 0, 0])).toEqual([0, 1, 0]);
    expect(dot([1, 2, 3], [4, 5, 6])).toBe(32);
  });
});
