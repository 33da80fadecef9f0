import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import type { Stroke } from '../../../core/document/index.ts';
import { elevationEye, orbitEye } from '../../../web/bench/camera.ts';
import type { SeenPicture } from '../../../web/bench/pictures/seen-picture.ts';
import { show } from '../../../web/bench/shown.ts';
import { anglePath, inkPath, lengthPath, nearness } from '../../../web/marks/drawing.ts';
import { angleAt, endPoints, measureText } from '../../../web/marks/measure.ts';
import {
  elevationSurface,
  isSeen,
  projectorOf,
  referenceOf,
  thinned,
} from '../../../web/marks/surface.ts';
import { bentScene } from '../../helpers/small-review.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('measures', () => {
  it('are lengths in cm and angles in degrees, in the scene', () => {
    expect(
      plain(
        measureText('length', [
          [0, 0, 0],
          [0.3, 0.4, 0],
        ]),
      ),
    ).toBe('50.0 cm');
    expect(
      measureText('angle', [
        [1, 0, 0],
        [0, 0, 0],
        [0, 2, 0],
      ]),
    ).toBe('90°');
    expect(measureText('ink', [])).toBe('');
  });

  it('do not care which arm comes first, nor how long the arms are', () => {
    const [a, v, b] = [
      [1, 2, 3],
      [0.5, 0, 0],
      [-1, 0.2, 4],
    ] as const;
    expect(angleAt([a, v, b])).toBeCloseTo(angleAt([b, v, a]), 12);
    expect(
      angleAt([
        [2, 0, 0],
        [0, 0, 0],
        [0.1, 0.1, 0],
      ]),
    ).toBeCloseTo(Math.PI / 4, 12);
    expect(angleAt([v, v, b])).toBe(0);
  });

  it('follow the joints that they are tied to, and are gone with their figure', () => {
    const scene = bentScene(0);
    const shown = show(scene, assess(scene));
    const knee = { figure: 'porter', segment: 'shankL' } as const;
    const hip = { figure: 'porter', segment: 'thighL' } as const;
    const [a, b] = endPoints(shown, [hip, knee]) ?? [];
    const { thighL } = shown.posed.get('porter')!.body.segments;
    const thigh = Math.hypot(...thighL.end);
    expect(Math.hypot(a![0] - b![0], a![1] - b![1], a![2] - b![2])).toBeCloseTo(thigh, 9);
    expect(endPoints(shown, [hip, { ...knee, figure: 'nobody' }])).toBeNull();
  });
});

describe('a mark', () => {
  const axis = { width: 800, scale: 200, centre: 0, low: -0.2, planCentre: 0 };
  const front = elevationSurface(elevationEye('front', axis, 500), [0, 1, 0.2]);
  const orbit = (yaw: number) =>
    elevationSurface(
      orbitEye({ yaw, pitch: 0.2, distance: 5, target: [0, 1, 0] }, 800, 500),
      [0, 1, 0],
    );
  const stroke = (more: Partial<Stroke>): Stroke => ({
    draft: 'd',
    frame: null,
    view: 'front',
    reference: null,
    towards: null,
    kind: 'ink',
    points: [0, 1, 0, 0.5],
    ends: [],
    pen: false,
    ...more,
  });
  const here = { draft: 'd', frame: null };

  it('is seen in the view it was made in, on its draft and frame', () => {
    expect(isSeen(stroke({}), front, here)).toBe(true);
    expect(isSeen(stroke({ view: 'side' }), front, here)).toBe(false);
    expect(isSeen(stroke({ draft: 'other' }), front, here)).toBe(false);
    expect(isSeen(stroke({ frame: 12 }), front, here)).toBe(false);
    expect(isSeen(stroke({ view: 'every' }), front, here)).toBe(true);
    expect(isSeen(stroke({ view: 'every' }), { ...front, view: 'plan' }, here)).toBe(false);
  });

  it('of the free view is seen while the camera looks about the same way', () => {
    const made = stroke({ view: 'free', towards: orbit(0.6).towards });
    expect(isSeen(made, orbit(0.7), here)).toBe(true);
    expect(isSeen(made, orbit(1.2), here)).toBe(false);
    expect(isSeen(made, front, here)).toBe(false);
  });

  it('sits at the same place of the page that it was drawn at, in every camera', () => {
    for (const surface of [front, orbit(0.9)]) {
      const { x, y } = surface.project(surface.unproject({ x: 312, y: 207 }));
      expect(x).toBeCloseTo(312, 6);
      expect(y).toBeCloseTo(207, 6);
    }
  });

  it('of ink on a reference goes along with it, and is not seen without it; measures stay in the scene', () => {
    const lying = (x: number, y: number, scale: number): SeenPicture => ({
      view: 'front',
      toSheet: ([u, v]) => ({ x: x + u * 300 * scale, y: y + v * 200 * scale }),
      fromSheet: (spot) => [(spot.x - x) / 300 / scale, (spot.y - y) / 200 / scale],
    });
    const eye = elevationEye('front', axis, 500);
    const before = elevationSurface(eye, [0, 1, 0], lying(100, 50, 1));
    expect(referenceOf('length', before)).toBeNull();
    expect(referenceOf('ink', front)).toBeNull();
    const reference = referenceOf('ink', before);
    const point = projectorOf(before, reference).unproject({ x: 250, y: 150 });
    expect(point).toEqual([0.5, 0.5, 0]);
    // Lined up anew: the picture lies elsewhere, and larger.
    const after = elevationSurface(eye, [0, 1, 0], lying(20, 10, 2));
    expect(projectorOf(after, reference).project(point)).toEqual({ x: 320, y: 210 });
    const ink = stroke({ reference, points: [...point, 0.5] });
    expect(isSeen(ink, after, here)).toBe(true);
    expect(isSeen(ink, front, here)).toBe(false);
  });

  it('of ink is one closed outline that goes round its points', () => {
    const points = Array.from({ length: 20 }, (_, i) => ({ x: i * 10, y: 50, pressure: 0.5 }));
    const path = inkPath(points, { pen: true });
    expect(path).toMatch(/^M[\d.-]+ [\d.-]+(Q[\d.-]+ [\d.-]+ [\d.-]+ [\d.-]+)+Z$/);
    const ys = [...path.matchAll(/[MQ ]([\d.-]+) ([\d.-]+)/g)].map(([, , y]) => Number(y));
    expect(Math.min(...ys)).toBeLessThan(50);
    expect(Math.max(...ys)).toBeGreaterThan(50);
    expect(inkPath([])).toBe('');
  });

  it('that is long travels with fewer points, its first and last among them', () => {
    const points = Array.from({ length: 4 * 1000 }, (_, i) => i);
    const thin = thinned(stroke({ points }), 300).points;
    expect(thin.length / 4).toBeLessThanOrEqual(301);
    expect(thin.slice(0, 4)).toEqual([0, 1, 2, 3]);
    expect(thin.slice(-4)).toEqual([3996, 3997, 3998, 3999]);
    expect(thinned(stroke({}))).toEqual(stroke({}));
  });

  it('can be found by a press near it', () => {
    const line = [
      { x: 0, y: 0 },
      { x: 100, y: 0 },
    ];
    expect(nearness({ x: 50, y: 7 }, line)).toBe(7);
    expect(nearness({ x: 103, y: 4 }, line)).toBe(5);
    expect(nearness({ x: 3, y: 4 }, [{ x: 0, y: 0 }])).toBe(5);
    expect(nearness({ x: 3, y: 4 }, [])).toBe(Number.POSITIVE_INFINITY);
  });

  it('that measures has a number on its arc, between its arms', () => {
    const { label } = anglePath({ x: 100, y: 0 }, { x: 0, y: 0 }, { x: 0, y: 100 });
    expect(label.x).toBeCloseTo(label.y, 9);
    expect(label.x).toBeGreaterThan(0);
    expect(lengthPath({ x: 0, y: 0 }, { x: 50, y: 0 }).match(/M/g)).toHaveLength(3);
  });
});
