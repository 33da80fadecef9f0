import type { PictureView, Pin } from '../../../core/document/index.ts';
import type { Vec2 } from '../../../core/geometry/index.ts';
import type { Looking } from '../looking.ts';
import { onPicture, onSheet, pictureAt } from './picture-place.ts';
import type { Pictures } from './pictures.ts';

/** The reference that is seen behind (or over) the elevation now. */
export interface SeenPicture {
  readonly view: PictureView;
  /** Where a point of it lies on the sheet, CSS pixels; the point in shares of it from its top left corner. */
  toSheet(at: Vec2): { readonly x: number; readonly y: number };
  /** The point of it at a place of the sheet, also beyond its edges. */
  fromSheet(spot: { readonly x: number; readonly y: number }): Vec2;
}

/** What is seen of a draft's references from where one looks; null where there is none, or it is hidden. */
export function seenPicture(pictures: Pictures, looking: Looking): SeenPicture | null {
  const picture = pictures.of(looking.view);
  if (picture === null || picture.hidden || !looking.ready) return null;
  const place = pictureAt(picture, looking, looking.eye);
  const [width, height] = picture.size;
  return {
    view: picture.view,
    toSheet: ([across, down]) => {
      const [x, y] = onSheet(place, [across * width, down * height]);
      return { x, y };
    },
    fromSheet: ({ x, y }) => {
      const [across, down] = onPicture(place, [x, y]);
      return [across / width, down / height];
    },
  };
}

/** The pin on the point of a reference that lies at a place of the sheet; null beside it. */
export function referencePin(
  picture: SeenPicture,
  spot: { readonly x: number; readonly y: number },
): Pin | null {
  const at = picture.fromSheet(spot);
  if (at.some((share) => share < 0 || share > 1)) return null;
  const round = (share: number): number => Math.round(share * 10_000) / 10_000;
  return { kind: 'reference', view: picture.view, at: [round(at[0]), round(at[1])] };
}
