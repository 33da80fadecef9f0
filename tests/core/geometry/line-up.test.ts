import fc from 'fast-check';
import { Euler, PerspectiveCamera, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import {
  FRAME_WIDTH_MM,
  flatPlace,
  horizonAt,
  lineUp,
  type PerspectiveMarks,
  type PictureCamera,
  type Vec2,
  type Vec3,
} from '../../../core/geometry/index.ts';

const SIZE: Vec2 = [1600, 900];

interface Taken {
  readonly turn: number;
  readonly tilt: number;
  readonly roll: number;
  readonly focal: number;
  readonly distance: number;
  readonly aside: number;
  readonly height: number;
}

/** A picture of a known camera, projected by three.js (general-purpose reference library). */
function picture(taken: Taken): (point: Vec3) => Vec2 {
  const { turn, tilt, roll, focal, distance, aside, height } = taken;
  const [w, h] = SIZE;
  const pixels = (focal / FRAME_WIDTH_MM) * w;
  const camera = new PerspectiveCamera(
    (2 * Math.atan2(h / 2, pixels) * 180) / Math.PI,
    w / h,
    0.01,
    500,
  );
  camera.position.set(
    Math.sin(turn) * distance + Math.cos(turn) * aside,
    height,
    Math.cos(turn) * distance - Math.sin(turn) * aside,
  );
  // Turned about the vertical, then tilted down, then rolled about its own line of sight.
  camera.setRotationFromEuler(new Euler(-tilt, turn, roll, 'YXZ'));
  camera.updateMatrixWorld();
  camera.updateProjectionMatrix();
  return (point) => {
    const { x, y } = new Vector3(...point).project(camera);
    return [((x + 1) / 2) * w, ((1 - y) / 2) * h];
  };
}

function marksOf(taken: Taken, stature: number): PerspectiveMarks {
  const at = picture(taken);
  // Far away at the camera's height: on the horizon to a thousandth of a pixel.
  const far = (side: number): Vec2 => {
    const [sin, cos] = [Math.sin(taken.turn + side), Math.cos(taken.turn + side)];
    return at([-sin * 1e7, taken.height, -cos * 1e7]);
  };
  return {
    size: SIZE,
    feet: at([0, 0, 0]),
    head: at([0, stature, 0]),
    stature,
    at: [0, 0, 0],
    horizon: [far(0.1), far(-0.1)],
    focal: taken.focal,
    turn: taken.turn,
  };
}

function projected(camera: PictureCamera, point: Vec3): Vec2 {
  const from = point.map((c, i) => c - camera.position[i]!) as unknown as Vec3;
  const along = (axis: Vec3): number => axis[0] * from[0] + axis[1] * from[1] + axis[2] * from[2];
  const depth = -along(camera.towards);
  return [
    SIZE[0] / 2 + (camera.focal * along(camera.right)) / depth,
    SIZE[1] / 2 - (camera.focal * along(camera.up)) / depth,
  ];
}

const takes = fc.record({
  turn: fc.double({ min: -3, max: 3, noNaN: true }),
  tilt: fc.double({ min: -0.3, max: 0.5, noNaN: true }),
  roll: fc.double({ min: -0.25, max: 0.25, noNaN: true }),
  focal: fc.double({ min: 20, max: 120, noNaN: true }),
  distance: fc.double({ min: 3, max: 20, noNaN: true }),
  aside: fc.double({ min: -1, max: 1, noNaN: true }),
  height: fc.double({ min: 0.3, max: 4, noNaN: true }),
});

describe('lineUp', () => {
  it('finds the camera of a picture that three.js projected', () => {
    fc.assert(
      fc.property(takes, fc.double({ min: 0.9, max: 2.1, noNaN: true }), (taken, stature) => {
        const found = lineUp(marksOf(taken, stature));
        if (!found.ok) throw new Error(found.message);
        const camera = found.value;
        expect(camera.height).toBeCloseTo(taken.height, 3);
        expect(camera.distance).toBeCloseTo(taken.distance, 3);
        expect(camera.tilt).toBeCloseTo(taken.tilt, 4);
        expect(camera.roll).toBeCloseTo(taken.roll, 4);
        const known = picture(taken);
        for (const point of [
          [0.4, 1.1, -0.3],
          [-0.8, 0, 0.5],
        ] as const satisfies readonly Vec3[]) {
          const [a, b] = [projected(camera, point), known(point)];
          expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeLessThan(0.05);
        }
      }),
      { seed: 20261125, numRuns: 300 },
    );
  });

  it('keeps the horizon ratio: a horizon at half the figure is a camera at half its height', () => {
    // Perspective drawing, common practice: on level ground the horizon cuts all upright figures at
    // the height of the eye.
    const found = lineUp({
      ...{ size: SIZE, stature: 1.8, at: [0, 0, 0], focal: 50, turn: 0 },
      ...{ feet: [800, 750], head: [800, 150] },
      horizon: [
        [0, 450],
        [1600, 450],
      ],
    });
    expect(found.ok && found.value.height).toBeCloseTo(0.9, 9);
    expect(found.ok && found.value.tilt).toBeCloseTo(0, 9);
  });

  it('says what to do with marks that cannot be', () => {
    const marks = marksOf(
      { turn: 0, tilt: 0.1, roll: 0, focal: 50, distance: 6, aside: 0, height: 1.5 },
      1.7,
    );
    const said = (change: Partial<PerspectiveMarks>): string => {
      const found = lineUp({ ...marks, ...change });
      return found.ok ? '' : found.message;
    };
    expect(said({ feet: [800, 10] })).toContain('below the horizon');
    expect(said({ head: marks.feet })).toContain('above the feet');
    expect(said({ horizon: [marks.feet, marks.feet] })).toContain('horizon');
    const flat = flatPlace({ ...marks, head: marks.feet });
    expect(!flat.ok && flat.message).toContain('drag them apart');
  });

  it('moves the horizon to where a camera of another tilt has it', () => {
    fc.assert(
      fc.property(takes, fc.double({ min: -0.4, max: 0.4, noNaN: true }), (taken, tilt) => {
        const moved = horizonAt(marksOf(taken, 1.7), tilt);
        const [c, d] = marksOf({ ...taken, tilt }, 1.7).horizon;
        for (const [x, y] of moved) {
          const off = (d[0] - c[0]) * (y - c[1]) - (d[1] - c[1]) * (x - c[0]);
          expect(Math.abs(off) / Math.hypot(d[0] - c[0], d[1] - c[1])).toBeLessThan(0.05);
        }
      }),
      { seed: 7, numRuns: 100 },
    );
  });
});

describe('flatPlace', () => {
  it('takes scale and lean from one figure of known height', () => {
    const place = flatPlace({
      ...{ size: SIZE, stature: 1.5, at: [0, 0, 0] },
      ...{ feet: [400, 800], head: [700, 400] },
    });
    // 3-4-5 triangle.
    expect(place.ok && place.value.scale).toBeCloseTo(0.003, 12);
    expect(place.ok && place.value.roll).toBeCloseTo(Math.atan2(3, 4), 12);
  });
});
