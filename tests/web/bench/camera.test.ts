import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../core/geometry/index.ts';
import {
  axisMetres,
  axisX,
  elevationEye,
  fitAxis,
  fitOrbit,
  orbitEye,
  planAcross,
  planDown,
} from '../../../web/bench/camera.ts';

const EXTENT = {
  min: [-0.4, 0, -0.3],
  max: [0.6, 1.8, 0.5],
  footing: { from: [-0.2, -0.1], to: [0.2, 0.3] },
  heart: [0, 1, 0],
} as const;
const SIZE = { width: 800, elevation: 480, plan: 200 };
const POINTS: readonly Vec3[] = [
  [0, 0, 0],
  [0.31, 1.2, -0.22],
  [-0.4, 1.75, 0.5],
];

describe('the shared axis of elevation and plan', () => {
  for (const view of ['front', 'side'] as const) {
    const axis = fitAxis(view, EXTENT, SIZE);
    const eye = elevationEye(view, axis, SIZE.elevation);

    it(`gives a point one x in both drawings (${view})`, () => {
      for (const point of POINTS) {
        expect(axisX(axis, planAcross(view, [point[0], point[2]]))).toBeCloseTo(
          eye.project(point).x,
          9,
        );
      }
    });

    it(`puts everything on the sheet (${view})`, () => {
      for (const corner of [EXTENT.min, EXTENT.max]) {
        const { x, y } = eye.project(corner);
        expect(x).toBeGreaterThan(0);
        expect(x).toBeLessThan(SIZE.width);
        expect(y).toBeGreaterThan(0);
        expect(y).toBeLessThan(SIZE.elevation);
      }
    });

    it(`finds a point again under its own pixel (${view})`, () => {
      for (const point of POINTS) {
        const { x, y } = eye.project(point);
        eye.unproject(x, y, point).forEach((c, i) => {
          expect(c).toBeCloseTo(point[i]!, 9);
        });
      }
    });
  }

  it('goes from pixels to metres and back', () => {
    const axis = fitAxis('front', EXTENT, SIZE);
    expect(axisX(axis, axisMetres(axis, 123))).toBeCloseTo(123, 9);
  });

  it('draws what is nearer to the viewer lower in the plan', () => {
    // From the front the viewer stands at +z; from the side at the figure's right, at -x.
    expect(planDown('front', [0, 1])).toBeGreaterThan(planDown('front', [0, 0]));
    expect(planDown('side', [-1, 0])).toBeGreaterThan(planDown('side', [0, 0]));
  });
});

describe('the free camera', () => {
  const orbit = { ...fitOrbit(EXTENT), yaw: 0.8, pitch: 0.3 };
  const eye = orbitEye(orbit, 800, 480);

  it('has the point that it turns round in the middle', () => {
    const { x, y, depth } = eye.project(orbit.target);
    expect(x).toBeCloseTo(400, 6);
    expect(y).toBeCloseTo(240, 6);
    expect(depth).toBeCloseTo(orbit.distance, 9);
  });

  it('finds a point again under its own pixel', () => {
    for (const point of POINTS) {
      const { x, y } = eye.project(point);
      eye.unproject(x, y, point).forEach((c, i) => {
        expect(c).toBeCloseTo(point[i]!, 9);
      });
    }
  });

  it('looks from the front at yaw 0, with the figure’s left on the right of the page', () => {
    const front = orbitEye({ ...orbit, yaw: 0, pitch: 0 }, 800, 480);
    expect(front.right.map((c) => c + 0)).toEqual([1, 0, 0]);
    expect(front.towards.map((c) => c + 0)).toEqual([0, 0, 1]);
  });
});
