import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import { silhouette } from '../../../core/drawing/index.ts';
import { poseFigure, restPose } from '../../../core/pose/index.ts';

describe('the outline of a figure', () => {
  const body = buildBody({ table: 'deleva-male', stature: 1.8, mass: 78 });
  const posed = poseFigure(body, restPose(body));
  const outlines = silhouette(posed, { at: ([x, y]) => [100 * x, -100 * y], scaleAt: () => 100 });
  const points = outlines.flat();

  it('goes from the soles to the crown', () => {
    const ys = points.map(([, y]) => -y);
    expect(Math.min(...ys)).toBeGreaterThan(-2);
    expect(Math.min(...ys)).toBeLessThan(3);
    expect(Math.max(...ys)).toBeGreaterThan(174);
    expect(Math.max(...ys)).toBeLessThan(186);
  });

  it('is the same on both sides and made of closed pieces', () => {
    const xs = points.map(([x]) => x);
    expect(Math.max(...xs) + Math.min(...xs)).toBeCloseTo(0, 0);
    for (const outline of outlines) expect(outline.length).toBeGreaterThan(2);
  });
});
