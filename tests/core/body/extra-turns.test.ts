import { describe, expect, it } from 'vitest';
import {
  buildBody,
  EXTRA_TURNS,
  type ExtraKind,
  freshExtra,
  swungOf,
  tipIn,
  turnBy,
  turnTowards,
} from '../../../core/body/index.ts';
import { IDENTITY, type Quat, subtract, type Vec3 } from '../../../core/geometry/index.ts';
import { poseFigure, restPose } from '../../../core/pose/index.ts';
import { random } from '../../helpers/random.ts';

const body = (kind: ExtraKind, turn?: Quat, curl = 0) =>
  buildBody({
    ...{ table: 'deleva-female', stature: 1.2, mass: 30 },
    extras: { own: { ...freshExtra(kind), ...(turn ? { turn } : {}), curl } },
  });

/** The tip from the root, in the frame of the parent. */
function tip(kind: ExtraKind, turn?: Quat, curl = 0): Vec3 {
  const made = body(kind, turn, curl);
  const posed = poseFigure(made, restPose(made));
  const extra = made.extras[0]!;
  const parent = posed.segments[extra.parent].position;
  return subtract(subtract(tipIn(posed.segments, extra), parent), extra.links[0]!.at.position);
}

describe('how extra parts turn', () => {
  it('goes both ways between a turn and its two angles', () => {
    for (const kind of ['tail', 'wingL', 'wingR', 'neck'] as const) {
      const angles = { swing: 0.7, lift: -0.4 };
      const read = swungOf(kind, turnBy(kind, angles));
      expect(read.swing, kind).toBeCloseTo(0.7, 9);
      expect(read.lift, kind).toBeCloseTo(-0.4, 9);
    }
  });

  it('swings a tail to its left (+x) and raises it, as its words say', () => {
    const rest = tip('tail');
    expect(rest[2]).toBeLessThan(0);
    expect(tip('tail', turnBy('tail', { swing: 0.5, lift: 0 }))[0]).toBeGreaterThan(0.1);
    expect(tip('tail', turnBy('tail', { swing: 0, lift: 0.5 }))[1]).toBeGreaterThan(rest[1] + 0.1);
  });

  it('brings a tip under the hand from anywhere within its range (seed 3)', () => {
    const next = random(3);
    const share = (): number => (next() * 2 - 1) * 0.8;
    for (const kind of ['tail', 'wingL', 'wingR'] as const)
      for (let k = 0; k < 20; k++) {
        const at = { swing: share() * EXTRA_TURNS.swing, lift: share() * EXTRA_TURNS.lift };
        const target = tip(kind, turnBy(kind, at), 0.3);
        const extra = body(kind, undefined, 0.3).extras[0]!;
        const root = extra.links[0]!.at.position;
        const place: Vec3 = [target[0] + root[0], target[1] + root[1], target[2] + root[2]];
        const found = tip(kind, turnTowards(extra, IDENTITY, place), 0.3);
        expect(Math.hypot(...subtract(found, target)), `${kind} ${k}`).toBeLessThan(1e-3);
      }
  });

  it('stops at the end of its range', () => {
    const extra = body('tail').extras[0]!;
    const turn = turnTowards(extra, IDENTITY, [0.5, 0, 5]);
    const { swing, lift } = swungOf('tail', turn);
    expect(Math.abs(swing)).toBeCloseTo(EXTRA_TURNS.swing, 6);
    expect(Math.abs(lift)).toBeLessThanOrEqual(EXTRA_TURNS.lift + 1e-9);
  });
});
