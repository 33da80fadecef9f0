import type { Vec2, Vec3 } from './types.ts';
import { add, scale } from './vec3.ts';

/** Width of the frame that focal lengths are given for, millimetres (common practice, no source). */
export const FRAME_WIDTH_MM = 36;

/** What somebody has marked in a picture. Points are pixels of the picture, x right, y down. */
export interface LineUpMarks {
  /** Width and height of the picture, pixels. */
  readonly size: Vec2;
  /** Where the marked person stands, and the top of their head, standing upright. */
  readonly feet: Vec2;
  readonly head: Vec2;
  /** Height of the marked person, metres. */
  readonly stature: number;
  /** Where those feet stand in the scene, metres. */
  readonly at: Vec3;
}

/** What perspective needs besides. */
export interface PerspectiveMarks extends LineUpMarks {
  /** Two points of the horizon, any order. */
  readonly horizon: readonly [Vec2, Vec2];
  /** Focal length for a frame 36 mm wide, millimetres. */
  readonly focal: number;
  /** From where the scene is seen, radians about the vertical; 0 stands before a figure that faces +Z. */
  readonly turn: number;
}

/** A pinhole camera whose principal point is the middle of the picture. Vectors are unit vectors. */
export interface PictureCamera {
  readonly position: Vec3;
  /** The picture's axes in the scene: to its right, up it, and from it towards the viewer. */
  readonly right: Vec3;
  readonly up: Vec3;
  readonly towards: Vec3;
  /** Focal length, pixels of the picture. */
  readonly focal: number;
  /** Metres above the feet; radians below level; radians that the horizon falls to the right. */
  readonly height: number;
  readonly tilt: number;
  readonly roll: number;
  /** Level distance from the marked person, metres. */
  readonly distance: number;
}

/** A picture without perspective: metres across and up its plane as a linear map of its pixels. */
export interface FlatPlace {
  /** Metres a pixel. */
  readonly scale: number;
  /** Radians that true up leans to the right of the picture's up. */
  readonly roll: number;
}

export type LinedUp<T> =
  | { readonly ok: true; readonly value: T }
  /** What is wrong with the marks and how to mend it. */
  | { readonly ok: false; readonly message: string };

/** Fewer pixels than this between feet and head tell no scale. */
const LEAST_HEIGHT = 4;

const refused = (message: string): { ok: false; message: string } => ({ ok: false, message });

/** How a picture without perspective lies on the plane of a true elevation. */
export function flatPlace({ feet, head, stature }: LineUpMarks): LinedUp<FlatPlace> {
  const [dx, dy] = [head[0] - feet[0], feet[1] - head[1]];
  const tall = Math.hypot(dx, dy);
  if (tall < LEAST_HEIGHT)
    return refused('The feet and the top of the head lie on each other; drag them apart.');
  return { ok: true, value: { scale: stature / tall, roll: Math.atan2(dx, dy) } };
}

/**
 * The camera that saw an upright person of known height standing on a level floor, by the horizon and
 * the focal length. The horizon gives roll and tilt; below it, the drop to the feet is to the camera's
 * height as the person's apparent height is to their stature, seen level (the horizon ratio of
 * perspective drawing; Sedgwick 1973, from memory).
 *
 * With a level frame of forward F and up U, a pixel (a right, b up of the middle, roll taken off) lies
 * along F (b sin tilt + f cos tilt) + U (b cos tilt - f sin tilt) + a R.
 */
export function lineUp(marks: PerspectiveMarks): LinedUp<PictureCamera> {
  const { size, stature, at, turn } = marks;
  const focal = (marks.focal / FRAME_WIDTH_MM) * size[0];
  const [left, right] =
    marks.horizon[0][0] <= marks.horizon[1][0]
      ? marks.horizon
      : [marks.horizon[1], marks.horizon[0]];
  if (Math.hypot(right[0] - left[0], right[1] - left[1]) < LEAST_HEIGHT)
    return refused('The two ends of the horizon lie on each other; drag them apart.');
  const roll = Math.atan2(right[1] - left[1], right[0] - left[0]);
  const [sinRoll, cosRoll] = [Math.sin(roll), Math.cos(roll)];
  const levelled = ([x, y]: Vec2): Vec2 => {
    const [dx, dy] = [x - size[0] / 2, y - size[1] / 2];
    return [dx * cosRoll + dy * sinRoll, dx * sinRoll - dy * cosRoll];
  };
  const tilt = Math.atan2(levelled(left)[1], focal);
  const [sinTilt, cosTilt] = [Math.sin(tilt), Math.cos(tilt)];
  // Metres to the right and up for each metre ahead.
  const slopes = (point: Vec2): Vec2 | null => {
    const [a, b] = levelled(point);
    const ahead = b * sinTilt + focal * cosTilt;
    return ahead <= 0 ? null : [a / ahead, (b * cosTilt - focal * sinTilt) / ahead];
  };
  const feet = slopes(marks.feet);
  const head = slopes(marks.head);
  if (feet === null || head === null)
    return refused('A mark lies behind the camera; bring the horizon nearer to the middle.');
  if (feet[1] >= -1e-6)
    return refused('The feet must lie below the horizon; drag the horizon up or the feet down.');
  if (head[1] - feet[1] < 1e-6)
    return refused('The top of the head must lie above the feet; drag it up.');
  const distance = stature / (head[1] - feet[1]);
  const height = -feet[1] * distance;

  const sideways: Vec3 = [Math.cos(turn), 0, -Math.sin(turn)];
  const nearer: Vec3 = [Math.sin(turn), 0, Math.cos(turn)];
  const back = add(scale(nearer, distance), scale(sideways, -feet[0] * distance));
  const cameraUp: Vec3 = [-nearer[0] * sinTilt, cosTilt, -nearer[2] * sinTilt];
  return {
    ok: true,
    value: {
      position: add(add(at, back), [0, height, 0]),
      right: add(scale(sideways, cosRoll), scale(cameraUp, sinRoll)),
      up: add(scale(sideways, -sinRoll), scale(cameraUp, cosRoll)),
      towards: [nearer[0] * cosTilt, sinTilt, nearer[2] * cosTilt],
      ...{ focal, height, tilt, roll, distance },
    },
  };
}

/**
 * The horizon that a camera of the same roll would have if it were tilted otherwise.
 * @param tilt radians below level
 */
export function horizonAt(
  { size, horizon, focal }: PerspectiveMarks,
  tilt: number,
): readonly [Vec2, Vec2] {
  const [a, b] = horizon;
  const way = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  // Up the picture, square to the horizon.
  let normal: Vec2 = [(b[1] - a[1]) / way, -(b[0] - a[0]) / way];
  if (normal[1] > 0) normal = [-normal[0], -normal[1]];
  const now = (a[0] - size[0] / 2) * normal[0] + (a[1] - size[1] / 2) * normal[1];
  const by = (focal / FRAME_WIDTH_MM) * size[0] * Math.tan(tilt) - now;
  const moved = ([x, y]: Vec2): Vec2 => [x + normal[0] * by, y + normal[1] * by];
  return [moved(a), moved(b)];
}
