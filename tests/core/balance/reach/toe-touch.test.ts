import { describe, expect, it } from 'vitest';
import { takeHold } from '../../../../core/balance/index.ts';
import type { Vec3 } from '../../../../core/geometry/index.ts';
import { withChanges } from '../../../../core/index.ts';
import { posedFigures, type Scene } from '../../../../core/scene/index.ts';
import { bentScene } from '../../../helpers/small-review.ts';

const partsOf = (scene: Scene) => posedFigures(scene).get('porter')!.segments;

describe('a hand dragged down from standing to before the toes', () => {
  // Common practice, no source: who reaches for the floor lets the hips go back, also unasked.
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
      const after = partsOf(last);
      expect(after.pelvis.position[2] - pelvis.position[2]).toBeLessThan(-0.04);
      for (const foot of ['footL', 'footR'] as const)
        after[foot].position.forEach((place, i) => {
          expect(place).toBeCloseTo(partsOf(standing)[foot].position[i]!, 4);
        });
    },
  );
});
