import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import { axisX, planAcross, planDown } from './camera.ts';
import type { Looking } from './looking.ts';
import { planSheet } from './plan-sheet.ts';

/** Where the floor lies on the plan: the plan keeps the front view's direction under a free camera. */
const viewOf = ({ view }: Looking): 'front' | 'side' => (view === 'side' ? 'side' : 'front');

/** A point of the floor (x, z) on the plan, CSS pixels. */
export function planAt(looking: Looking, point: Vec2): { readonly x: number; readonly y: number } {
  const { axis, planHeight } = looking;
  const view = viewOf(looking);
  return {
    x: axisX(axis, planAcross(view, point)),
    y: planHeight / 2 + (planDown(view, point) - axis.planCentre) * axis.scale,
  };
}

/** The point of the floor at (x, y) CSS pixels of the plan, at height 0. */
export const floorAt = (looking: Looking, x: number, y: number): Vec3 =>
  planSheet(looking).unproject(x, y, [0, 0, 0]);
