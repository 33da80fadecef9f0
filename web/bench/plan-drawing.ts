import { nothing, svg, type TemplateResult } from 'lit';
import type { Reading } from '../../core/balance/index.ts';
import { add, convexHull, rotate, type Vec2, type Vec3 } from '../../core/geometry/index.ts';
import type { Surface } from '../../core/scene/index.ts';
import { centimetres } from '../badge/words.ts';

/** The dimension line of the margin and the way of a fall, and what surfaces look like from above. */

export interface PagePoint {
  readonly x: number;
  readonly y: number;
}

/** Length of a dimension line's ticks, pixels, and how far beside the plumb line its number stands. */
const TICK = 7;
const BESIDE = 14;
/** Height of a number, pixels. */
const NUMBER = 24;
/** Length of the arrow that shows the way of a fall, pixels. */
const ARROW = 42;
/**
 * The margin as a dimension line from the plumb point to the nearest edge, with ticks and its
 * length; with an arrow the way it falls when the point lies outside. Also where its number stands.
 */
export function marginLines(
  { margin, plumb, verdict }: Reading,
  at: (point: Vec2) => PagePoint,
  colour: string,
  height: number,
): { readonly lines: TemplateResult; readonly number: PagePoint | null } {
  if (margin === null || plumb === null) return { lines: svg``, number: null };
  const from = at(plumb);
  const to = at(margin.edge.nearest);
  const away = at([plumb[0] + margin.direction[0], plumb[1] + margin.direction[1]]);
  const span = Math.hypot(away.x - from.x, away.y - from.y) || 1;
  const [ux, uy] = [(away.x - from.x) / span, (away.y - from.y) / span];
  const tick = (p: PagePoint): string =>
    `M${p.x - uy * TICK - ux * 3},${p.y + ux * TICK - uy * 3}L${p.x + uy * TICK + ux * 3},${p.y - ux * TICK + uy * 3}`;
  const falls = margin.distance < 0 || verdict === 'falls';
  const tip = { x: from.x + ux * ARROW, y: from.y + uy * ARROW };
  const level = Math.abs(ux) > 0.7;
  const number = `${margin.distance < 0 ? '\u2212' : ''}${centimetres(margin.distance)}`;
  // The number stands beyond the end of the dimension line or arrow, where there is nothing to
  // cover; beside the plumb line where that comes down to it.
  const end = falls ? tip : to;
  const beside = uy < -0.7 ? (ux < 0 ? -BESIDE : BESIDE) : 0;
  const middle = {
    x: end.x + (level ? ux * 14 : beside),
    y: within(end.y + (level ? 0 : uy * 17), height),
  };
  const aside = level ? ux : beside;
  const anchor = aside > 0 ? 'start' : aside < 0 ? 'end' : 'middle';
  const barb = (turn: number): string =>
    `L${tip.x - (ux * Math.cos(turn) - uy * Math.sin(turn)) * 12},${tip.y - (ux * Math.sin(turn) + uy * Math.cos(turn)) * 12}M${tip.x},${tip.y}`;
  const lines = svg`
    <path class="dimension" d="M${from.x},${from.y}L${to.x},${to.y}${tick(from)}${tick(to)}" />
    ${
      falls
        ? svg`<path class="fall" style="stroke:${colour}"
            d="M${from.x},${from.y}L${tip.x},${tip.y}${barb(0.45)}${barb(-0.45)}" />`
        : nothing
    }
    <text class="figure-number" x=${middle.x} y=${middle.y}
      text-anchor=${anchor}>${number}</text>`;
  const half = aside > 0 ? NUMBER : aside < 0 ? -NUMBER : 0;
  return { lines, number: { x: middle.x + half, y: middle.y } };
}

/** Keeps a number's middle on a sheet of this height, CSS pixels. */
const within = (y: number, height: number): number =>
  Math.max(NUMBER / 2, Math.min(height - NUMBER / 2, y));

/** A surface from above: the outline of its box; null for an endless one. */
export function surfaceOutline({ size, position, rotation }: Surface): readonly Vec2[] | null {
  if (size === null) return null;
  const corners: Vec2[] = [];
  for (const sx of [-0.5, 0.5])
    for (const sy of [-0.5, 0.5])
      for (const sz of [-0.5, 0.5]) {
        const local: Vec3 = [size[0] * sx, size[1] * sy, size[2] * sz];
        const [x, , z] = add(position, rotate(rotation, local));
        corners.push([x, z]);
      }
  return convexHull(corners).vertices;
}
