import { applyTransform } from '../geometry/index.ts';
import type { Vec3 } from '../geometry/types.ts';
import type { PosedFigure } from '../pose/index.ts';
import { mannequinOf } from './mannequin.ts';
import { outlineOf } from './polygon.ts';
import type { PagePoint } from './view.ts';

/** How a page sees the world: where a point is drawn, and pixels a metre there. */
export interface Sight {
  readonly at: (point: Vec3) => PagePoint;
  readonly scaleAt: (point: Vec3) => number;
}

/** Corners of a drawn disc: an outline of a few pixels more or less is enough for a ghost. */
const CORNERS = 14;

/** Outlines of a figure's parts on a page, each closed, to be drawn as lines over something else. */
export function silhouette(posed: PosedFigure, sight: Sight): readonly (readonly PagePoint[])[] {
  return mannequinOf(posed.body).flatMap(({ pieces }) =>
    pieces.flatMap((piece) => {
      const points = piece.flatMap(({ segment, at, radius }): PagePoint[] => {
        const place = applyTransform(posed.segments[segment], at);
        const [x, y] = sight.at(place);
        const size = radius * sight.scaleAt(place);
        return Array.from({ length: CORNERS }, (_, i): PagePoint => {
          const turn = (2 * Math.PI * i) / CORNERS;
          return [x + size * Math.cos(turn), y + size * Math.sin(turn)];
        });
      });
      const outline = outlineOf(points);
      return outline === null ? [] : [outline];
    }),
  );
}
