import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../core/balance/index.ts';
import { fromAxisAngle } from '../../../core/geometry/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { FLOOR, figure, moved, posed, scene } from './scenes.ts';

/** Astride a gully: each foot on a slope of 0.9 rad that faces the other. */
const gully = (friction: number): Scene =>
  scene({
    surfaces: [1, -1].map((side) => ({
      ...FLOOR,
      id: side > 0 ? 'left' : 'right',
      kind: 'slope' as const,
      rotation: fromAxisAngle([0, 0, 1], side * 0.9),
      friction,
    })),
    figures: [
      figure('a', moved(posed({ thigh: { abduction: 20 } }), [0, 0.25, 0]), {
        contacts: { soleL: 'planted', soleR: 'planted', toesL: 'planted', toesR: 'planted' },
      }),
    ],
  });

describe('astride a gully', () => {
  it('is braced without limit once the line between the feet lies in both cones', () => {
    // The line lies pi/2 - 0.9 from either normal: jamming from mu = cot 0.9 = 0.794 on
    // (mechanics.md 2.4, mu_1 mu_2 -> 1).
    const bounded = assess(gully(0.75)).groups[0]!;
    expect(bounded.support.unbounded).toBeUndefined();
    expect(bounded.margin!.distance).toBeGreaterThan(0);
    const { verdict, margin, support, sentence } = assess(gully(0.85)).groups[0]!;
    expect(support.unbounded).toBe(true);
    expect(margin).toBeNull();
    expect(verdict).toBe('holds');
    expect(sentence).toMatch(/^Holds: braced without limit, no edge ends its support\./);
  });

  it('is told so by the study, without a number that only the drawing has', () => {
    const group = study(gully(0.85)).groups[0]!;
    const text = (subject: string) => group.sentences.find((s) => s.subject === subject)!.text;
    expect(text('edges')).toBe('Braced without limit: no edge ends the support.');
    expect(text('tipping')).toBe('Braced so that no tilt moves it.');
    const pushes = group.pushes[0]!;
    if (pushes.kind !== 'told') throw new Error(pushes.sentence);
    expect(pushes.pushes.map(({ force_N, ends }) => [force_N, ends])).toEqual(
      Array.from({ length: 4 }, () => [null, 'never']),
    );
    const loads = group.loads;
    if (loads.kind !== 'told') throw new Error(loads.sentence);
    // The squeeze has no end, so neither has the range of a foot's load.
    expect(loads.feet[0]!.share.most).toBeNull();
  });

  it('has as tip angle the tilt of gravity on a bounded region', () => {
    const { margin } = assess(gully(0.7)).groups[0]!;
    const { tipping } = study(gully(0.7)).groups[0]!;
    if (tipping.kind !== 'told') throw new Error(tipping.sentence);
    expect(margin!.tipAngle).toBeGreaterThanOrEqual(tipping.weakest.angle - 1e-6);
    expect(margin!.tipAngle).toBeLessThan(Math.PI / 2);
  });
});
