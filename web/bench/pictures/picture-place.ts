import type { Picture } from '../../../core/document/index.ts';
import { type FlatPlace, flatPlace, type Vec2 } from '../../../core/geometry/index.ts';
import type { Eye } from '../camera.ts';
import type { Looking } from '../looking.ts';

/** Where a picture lies on the sheet: a similarity of its pixels to CSS pixels. */
export interface PicturePlace {
  /** CSS pixels a pixel of the picture. */
  readonly scale: number;
  /** Degrees that it is turned, clockwise. */
  readonly turned: number;
  /** A pixel of the picture, and where it lies on the sheet. */
  readonly pixel: Vec2;
  readonly sheet: Vec2;
}

// Marks that tell nothing still need the picture to be seen, so that they can be dragged apart.
const UNMARKED: FlatPlace = { scale: 0.003, roll: 0 };

/** Flat pictures stand with the marked feet at their place in the scene; others fill the sheet. */
export function pictureAt(picture: Picture, looking: Looking, eye: Eye): PicturePlace {
  const { size, view, feet, at } = picture;
  if (view === 'camera') {
    const { middle, scale } = looking.pictureFrame(size);
    return { scale, turned: 0, pixel: [size[0] / 2, size[1] / 2], sheet: middle };
  }
  const flat = flatPlace(picture);
  const { scale, roll } = flat.ok ? flat.value : UNMARKED;
  const { x, y } = eye.project(at);
  const turned = (-roll * 180) / Math.PI;
  return { scale: scale * eye.scaleAt(at), turned, pixel: feet, sheet: [x, y] };
}

/** The place as an SVG transform of the picture's pixels. */
export const transformOf = ({ scale, turned, pixel, sheet }: PicturePlace): string =>
  `translate(${sheet.join(' ')}) rotate(${turned}) scale(${scale}) translate(${-pixel[0]} ${-pixel[1]})`;

/** Where a pixel of the picture lies on the sheet, CSS pixels. */
export function onSheet({ scale, turned, pixel, sheet }: PicturePlace, [x, y]: Vec2): Vec2 {
  const [dx, dy] = [(x - pixel[0]) * scale, (y - pixel[1]) * scale];
  const [sin, cos] = [Math.sin((turned * Math.PI) / 180), Math.cos((turned * Math.PI) / 180)];
  return [sheet[0] + dx * cos - dy * sin, sheet[1] + dx * sin + dy * cos];
}

/** The pixel of the picture at a place of the sheet. */
export function onPicture({ scale, turned, pixel, sheet }: PicturePlace, [x, y]: Vec2): Vec2 {
  const [dx, dy] = [(x - sheet[0]) / scale, (y - sheet[1]) / scale];
  const [sin, cos] = [Math.sin((turned * Math.PI) / 180), Math.cos((turned * Math.PI) / 180)];
  return [pixel[0] + dx * cos + dy * sin, pixel[1] - dx * sin + dy * cos];
}
