import type { Camera } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { type Axis, across, ORBIT_FIELD, type Orbit, planDown, type View } from './camera.ts';

/** How a bench is looked at, in its own window. */
export interface Place {
  readonly view: View;
  readonly axis: Axis;
  readonly orbit: Orbit;
}

/** Heights of the two drawings of a window, CSS pixels; the axis has their width. */
export interface Sheets {
  readonly width: number;
  readonly height: number;
}

const FIELD = 2 * Math.tan(ORBIT_FIELD / 2);

/** A place as another window can take it up. */
export function cameraOf({ view, axis, orbit }: Place, { width, height }: Sheets): Camera {
  // Through a picture all look alike, for its camera is in the document; without one it is the free one.
  if (view === 'orbit' || view === 'picture') {
    const tall = orbit.distance * FIELD;
    const { target, yaw, pitch } = orbit;
    return { view, target, wide: (tall * width) / height, tall, yaw, pitch };
  }
  const middle = axis.low + height / 2 / axis.scale;
  const target: Vec3 =
    view === 'side'
      ? [-axis.planCentre, middle, axis.centre]
      : [axis.centre, middle, axis.planCentre];
  const [wide, tall] = [width / axis.scale, height / axis.scale];
  return { view, target, wide, tall, yaw: orbit.yaw, pitch: orbit.pitch };
}

/** The place in a window of another shape from which at least the same is seen. */
export function placeOf(camera: Camera, from: Place, { width, height }: Sheets): Place {
  const { view, target } = camera;
  const plan = { planCentre: planDown(view, [target[0], target[2]]), centre: across(view, target) };
  if (view === 'orbit' || view === 'picture') {
    const tall = Math.max(camera.tall, (camera.wide * height) / width);
    const { yaw, pitch } = camera;
    return {
      view,
      axis: { ...from.axis, ...plan },
      orbit: { yaw, pitch, target, distance: tall / FIELD },
    };
  }
  const scale = Math.min(width / camera.wide, height / camera.tall);
  const low = target[1] - height / 2 / scale;
  return { view, axis: { ...from.axis, ...plan, scale, low }, orbit: from.orbit };
}

const mix = (a: number, b: number, share: number): number => a + (b - a) * share;

/** A place on the way from one to another of the same view; `share` 0 is the first, 1 the second. */
export function placeBetween(from: Place, to: Place, share: number): Place {
  const [a, b] = [from.orbit, to.orbit];
  const quarter = Math.atan2(Math.sin(b.yaw - a.yaw), Math.cos(b.yaw - a.yaw));
  return {
    view: to.view,
    axis: {
      ...from.axis,
      // In the ratio of the scales, so that coming near looks even.
      scale: from.axis.scale * (to.axis.scale / from.axis.scale) ** share,
      centre: mix(from.axis.centre, to.axis.centre, share),
      low: mix(from.axis.low, to.axis.low, share),
      planCentre: mix(from.axis.planCentre, to.axis.planCentre, share),
    },
    orbit: {
      yaw: a.yaw + quarter * share,
      pitch: mix(a.pitch, b.pitch, share),
      distance: mix(a.distance, b.distance, share),
      target: a.target.map((metres, i) => mix(metres, b.target[i] ?? 0, share)) as unknown as Vec3,
    },
  };
}

/** Whether two places of the same view look the same: nothing moves by more than about a pixel. */
export function samePlace(a: Place, b: Place): boolean {
  const pixels = b.axis.scale;
  const near = (x: number, y: number, unit: number): boolean => Math.abs(x - y) * unit < 0.5;
  return (
    a.view === b.view &&
    near(Math.log(a.axis.scale), Math.log(b.axis.scale), 1000) &&
    near(a.axis.centre, b.axis.centre, pixels) &&
    near(a.axis.low, b.axis.low, pixels) &&
    near(a.axis.planCentre, b.axis.planCentre, pixels) &&
    near(Math.sin((a.orbit.yaw - b.orbit.yaw) / 2), 0, 2000) &&
    near(a.orbit.pitch, b.orbit.pitch, 1000) &&
    near(a.orbit.distance, b.orbit.distance, pixels) &&
    a.orbit.target.every((metres, i) => near(metres, b.orbit.target[i] ?? 0, pixels))
  );
}
