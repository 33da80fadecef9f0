import type { PagePoint } from './plan-drawing.ts';

/** Where words and numbers stand on the plan: beside what they tell of, and not over each other. */

export interface SheetSize {
  readonly width: number;
  readonly height: number;
}

/** A rectangle of the sheet, pixels. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The rectangle round some points. */
export function boxRound(points: readonly PagePoint[]): Box {
  const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)];
  return {
    left: Math.min(...xs),
    right: Math.max(...xs),
    top: Math.min(...ys),
    bottom: Math.max(...ys),
  };
}

export const overlap = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.right, b.right) - Math.max(a.left, b.left)) *
  Math.max(0, Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top));

/** What a short word or number with its middle at (x, y) takes. */
export const around = (x: number, y: number): Box => ({
  left: x - 26,
  right: x + 26,
  top: y - 12,
  bottom: y + 12,
});

/** Size of a share's number, pixels, and how far it stands beside its contact. */
const WIDE = 46;
const HIGH = 20;
const ASIDE = 7;

/** The place beside a box for words, a share's number if no width is given, where they cover least. */
export function bestPlace(box: Box, covered: readonly Box[], sheet: SheetSize, wide = WIDE): Box {
  const x = (box.left + box.right) / 2;
  const y = (box.top + box.bottom) / 2;
  const centres: readonly (readonly [number, number])[] = [
    [box.right + ASIDE + wide / 2, y],
    [box.left - ASIDE - wide / 2, y],
    [x, box.bottom + ASIDE + HIGH / 2],
    [x, box.top - ASIDE - HIGH / 2],
  ];
  const places = centres.map(
    ([cx, cy]): Box => ({
      left: cx - wide / 2,
      right: cx + wide / 2,
      top: cy - HIGH / 2,
      bottom: cy + HIGH / 2,
    }),
  );
  const outside = ({ left, top, right, bottom }: Box): boolean =>
    left < 0 || top < 0 || right > sheet.width || bottom > sheet.height;
  const cost = (place: Box): number =>
    covered.reduce((sum, other) => sum + overlap(place, other), outside(place) ? wide * HIGH : 0);
  return places.reduce((best, place) => (cost(place) < cost(best) ? place : best));
}
