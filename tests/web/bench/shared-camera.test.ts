import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { type Axis, elevationEye, type Orbit, orbitEye } from '../../../web/bench/camera.ts';
import {
  cameraOf,
  type Place,
  placeBetween,
  placeOf,
  type Sheets,
  samePlace,
} from '../../../web/bench/shared-camera.ts';

const AXIS: Axis = { width: 900, scale: 220, centre: 0.3, low: -0.15, planCentre: 0.12 };
const ORBIT: Orbit = { yaw: 2.4, pitch: 0.3, distance: 5, target: [0.2, 0.8, -0.1] };
const WIDE: Sheets = { width: 900, height: 420 };
const PHONE: Sheets = { width: 380, height: 500 };
const VIEWS = ['front', 'side', 'orbit'] as const;

const eyeOf = ({ view, axis, orbit }: Place, { width, height }: Sheets) =>
  view === 'front' || view === 'side'
    ? elevationEye(view, axis, height)
    : orbitEye(orbit, width, height);
const inside = ({ x, y }: { x: number; y: number }, { width, height }: Sheets): boolean =>
  x >= -1e-6 && x <= width + 1e-6 && y >= -1e-6 && y <= height + 1e-6;

describe('a camera that another window takes up', () => {
  it.each(VIEWS)('looks the same in a window of the same size (%s)', (view) => {
    const place: Place = { view, axis: AXIS, orbit: ORBIT };
    const other: Place = { view: 'front', axis: { ...AXIS, scale: 90, centre: 4 }, orbit: ORBIT };
    const taken = placeOf(cameraOf(place, WIDE), other, WIDE);
    expect(samePlace(taken, { ...place, axis: view === 'orbit' ? taken.axis : AXIS })).toBe(true);
  });

  it.each(VIEWS)('shows at least the same in a window of another shape (%s)', (view) => {
    const place: Place = { view, axis: AXIS, orbit: ORBIT };
    for (const [from, to] of [
      [WIDE, PHONE],
      [PHONE, WIDE],
    ] as const) {
      const mine: Place = { ...place, axis: { ...AXIS, width: from.width } };
      const theirs: Place = { ...mine, axis: { ...AXIS, width: to.width } };
      const taken = placeOf(cameraOf(mine, from), theirs, to);
      const [a, b] = [eyeOf(mine, from), eyeOf(taken, to)];
      const middle = view === 'orbit' ? ORBIT.target : cameraOf(mine, from).target;
      for (const corner of [
        [0, 0],
        [from.width, 0],
        [0, from.height],
        [from.width, from.height],
      ] as const) {
        const point: Vec3 = a.unproject(corner[0], corner[1], middle);
        expect(inside(b.project(point), to), `${view} ${corner}`).toBe(true);
      }
      const at = b.project(middle);
      expect(at.x).toBeCloseTo(to.width / 2, 6);
      expect(at.y).toBeCloseTo(to.height / 2, 6);
    }
  });

  it('goes the short way round, and arrives', () => {
    const from: Place = { view: 'orbit', axis: AXIS, orbit: { ...ORBIT, yaw: 3 } };
    const to: Place = { view: 'orbit', axis: AXIS, orbit: { ...ORBIT, yaw: -3 } };
    expect(placeBetween(from, to, 0.5).orbit.yaw).toBeCloseTo(Math.PI, 6);
    expect(samePlace(placeBetween(from, to, 1), to)).toBe(true);
    expect(samePlace(from, to)).toBe(false);
  });

  it('comes nearer evenly', () => {
    const to: Place = { view: 'front', axis: { ...AXIS, scale: 880 }, orbit: ORBIT };
    const half = placeBetween({ ...to, axis: AXIS }, to, 0.5);
    expect(half.axis.scale).toBeCloseTo(440, 6);
  });
});
