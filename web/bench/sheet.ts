import { dot, scale, subtract, type Vec3 } from '../../core/geometry/index.ts';
import type { Eye } from './camera.ts';
import { axisOf, type DragWay } from './pose-settings.ts';

/** A place on the elevation, CSS pixels from its upper left corner. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A drawing as a plane that things are dragged in: the elevation's eye, or the plan. */
export type Sheet = Pick<Eye, 'right' | 'up' | 'towards' | 'unproject'>;

/** A direction that is nearly the view's own is pulled up the page to go away, down to come nearer. */
const ALONG_VIEW = 0.3;

/** The part of a way on the page that a drag along one direction takes. */
export function along(sheet: Sheet, way: Vec3, choice: DragWay): Vec3 {
  const axis = axisOf(choice);
  if (axis === null) return way;
  const seen: Vec3 = subtract(axis, scale(sheet.towards, dot(axis, sheet.towards)));
  const size = dot(seen, seen);
  if (size < ALONG_VIEW ** 2) {
    const away = -dot(axis, sheet.towards);
    return scale(axis, dot(way, sheet.up) * Math.sign(away));
  }
  return scale(axis, dot(way, seen) / size);
}
