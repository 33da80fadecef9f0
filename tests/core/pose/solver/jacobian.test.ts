import { describe, expect, it } from 'vitest';
import { toPlan } from '../../../../core/geometry/index.ts';
import { palmLocal, pointOn, poseFigure } from '../../../../core/pose/index.ts';
import { errorOf, wishesOf } from '../../../../core/pose/solver/constraints.ts';
import { chainOf, writeRows } from '../../../../core/pose/solver/jacobian.ts';
import {
  massesOf,
  newPlaced,
  placeAll,
  placeAxes,
} from '../../../../core/pose/solver/kinematics.ts';
import { copyOf, readPose } from '../../../../core/pose/solver/limits.ts';
import { JOINT, skeletonOf, TURN } from '../../../../core/pose/solver/skeleton.ts';
import { random } from '../../../helpers/random.ts';
import { body, randomTurn, SOLES, STARTS } from './drags.ts';

const skeleton = skeletonOf(body);
const next = random(71);
const tossed = {
  ...STARTS[1]!,
  rotation: randomTurn('thighL', next),
  joints: Object.fromEntries(
    (
      [
        'abdomen',
        'chest',
        'head',
        'upperArmL',
        'forearmL',
        'handL',
        'thighL',
        'shankL',
        'footL',
      ] as const
    ).map((name) => [name, randomTurn(name, next)]),
  ),
};

describe('kinematics on plain numbers', () => {
  it('places segments and centre as poseFigure does (seed 71)', () => {
    for (const pose of [...STARTS, tossed]) {
      const placed = newPlaced(skeleton);
      const masses = massesOf(skeleton, []);
      placeAll(skeleton, readPose(skeleton, pose), masses, placed);
      const posed = poseFigure(body, pose);
      Object.values(posed.segments).forEach(({ position, rotation }, s) => {
        const sign = Math.sign(placed.turn[s * 4 + 3]! * rotation[3]) || 1;
        for (let k = 0; k < 3; k++) expect(placed.at[s * 3 + k]).toBeCloseTo(position[k]!, 12);
        for (let k = 0; k < 4; k++)
          expect(placed.turn[s * 4 + k]! * sign).toBeCloseTo(rotation[k]!, 12);
      });
      for (let k = 0; k < 3; k++)
        expect(placed.moments[k]! / masses.total).toBeCloseTo(posed.centre[k]!, 12);
    }
  });

  it('rows are the derivatives: against central differences, in a tossed pose with a load (seed 71)', () => {
    const posed = poseFigure(body, tossed);
    const loads = [{ segment: 'handL', offset: palmLocal(body, 'L'), mass: 7 }] as const;
    const masses = massesOf(skeleton, loads);
    const placed = newPlaced(skeleton);
    const at = readPose(skeleton, tossed);
    placeAll(skeleton, at, masses, placed);
    placeAxes(skeleton, at, placed);
    const point = palmLocal(body, 'L');
    const wishes = wishesOf(
      {
        planted: SOLES,
        goals: [
          {
            segment: 'handL',
            point,
            target: pointOn(posed, 'handL', point),
            rotation: posed.segments.handL.rotation,
          },
        ],
        centre: { target: toPlan(posed.centre), loads, keep: true },
      },
      placed,
      masses.total,
    );
    const n = skeleton.freedoms;
    const h = 1e-5;
    const errorAt = (i: number, by: number, wish: (typeof wishes)[number]): Float64Array => {
      const moved = copyOf(at);
      const kind = skeleton.kindOf[i]!;
      if (kind < TURN) moved.place[kind]! += by;
      else if (kind < JOINT) {
        const [x, y, z, w] = moved.turn as unknown as [number, number, number, number];
        const s = Math.sin(by / 2);
        const c = Math.cos(by / 2);
        const [a, b, d] = [0, 1, 2].map((k) => (k === kind - TURN ? s : 0)) as [
          number,
          number,
          number,
        ];
        moved.turn.set([
          c * x + a * w + b * z - d * y,
          c * y - a * z + b * w + d * x,
          c * z + a * y - b * x + d * w,
          c * w - a * x - b * y - d * z,
        ]);
      } else moved.angles[skeleton.segmentOf[i]! * 3 + kind - JOINT]! += by;
      const there = newPlaced(skeleton);
      placeAll(skeleton, moved, masses, there);
      const to = new Float64Array(3);
      errorOf(wish, there, to, 0);
      return to;
    };
    for (const wish of wishes) {
      const rows = new Float64Array(3 * n);
      writeRows(skeleton, placed, wish, chainOf(skeleton, wish), rows, 0);
      for (let i = 0; i < n; i++) {
        const [plus, minus] = [errorAt(i, h, wish), errorAt(i, -h, wish)];
        for (let k = 0; k < wish.rows; k++) {
          const slope = (minus[k]! - plus[k]!) / (2 * h);
          expect(rows[k * n + i], `${wish.kind}, freedom ${i}, row ${k}`).toBeCloseTo(slope, 6);
        }
      }
    }
  });
});
