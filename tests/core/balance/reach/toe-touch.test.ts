import { describe, expect, it } from 'vitest';
import { assess, takeHold } from '../../../../core/balance/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';
import { withChanges } from '../../../../core/index.ts';
import { posedFigures, type Scene } from '../../../../core/scene/index.ts';
import { bentScene } from '../../../helpers/small-review.ts';

const partsOf = (scene: Scene) => posedFigures(scene).get('porter')!.segments;

describe('a hand dragged down from standing to before the toes', () => {
  // Who bends the trunk forward lets the hips go back and so keeps the plumb line over the feet, unasked:
  // Alexandrov, Frolov & Massion 2001, forward trunk bending, doi 10.1007/PL00007986 (abstract).
  it.each(['handL', 'handR'] as const)(
    'by the %s takes the hips back, no plumb line kept',
    (part) => {
      const standing = bentScene(0);
      const { toesL, pelvis } = partsOf(standing);
      const reaching = takeHold(standing, { kind: 'part', figure: 'porter', part })!;
      const floor: Vec3 = [reaching.at[0], 0.03, toesL.position[2] + 0.05];
      let last: Scene = standing;
      // The way that a hand takes it, in steps, each from the one before.
      for (let step = 1; step <= 8; step++) {
        const way = reaching.at.map((from, i) => from + ((floor[i]! - from) * step) / 8);
        const { changes, reached } = reaching.to(way as unknown as Vec3);
        expect(reached, `step ${step}`).toBe(true);
        last = withChanges(standing, changes);
      }
      const { verdict, margin } = assess(last).figures[0]!;
      expect(verdict).toBe('holds');
      expect(margin!.functional).toBeGreaterThan(0.005);
      const after = partsOf(last);
      expect(after.pelvis.position[2] - pelvis.position[2]).toBeLessThan(-0.04);
      for (const foot of ['footL', 'footR'] as const)
        after[foot].position.forEach((place, i) => {
          expect(place).toBeCloseTo(partsOf(standing)[foot].position[i]!, 4);
        });
    },
  );

  it('comes down without a jump', () => {
    const standing = bentScene(0);
    const { toesL } = partsOf(standing);
    const reaching = takeHold(standing, { kind: 'part', figure: 'porter', part: 'handL' })!;
    const { at } = reaching;
    const floor: Vec3 = [at[0], 0.03, toesL.position[2] + 0.05];
    let before = partsOf(standing).pelvis.position;
    for (let step = 1; step <= 40; step++) {
      const way = at.map((from, i) => from + ((floor[i]! - from) * step) / 40);
      const { changes } = reaching.to(way as unknown as Vec3);
      const hips = partsOf(withChanges(standing, changes)).pelvis.position;
      // The hand goes 2 cm a step; the hips no more than three times that.
      expect(Math.hypot(...hips.map((to, i) => to - before[i]!)), `step ${step}`).toBeLessThan(
        0.06,
      );
      before = hips;
    }
  });

  it('leaves a reach straight ahead as it is', () => {
    const standing = bentScene(0);
    const reaching = takeHold(standing, { kind: 'part', figure: 'porter', part: 'handL' })!;
    const { changes } = reaching.to([reaching.at[0], 1.2, 1]);
    expect(assess(withChanges(standing, changes)).figures[0]!.verdict).toBe('falls');
  });
});
