import type { Vec2 } from '../geometry/types.ts';
import type { Support } from './types.ts';

type Border = Pick<Support, 'polygon' | 'open'>;

/**
 * The border of a support as polylines in plan: one closed line (its last point is its first), or,
 * where it has no end, the pieces that are really border. Empty for a point or nothing.
 */
export function borderOf({ polygon, open }: Border): readonly (readonly Vec2[])[] {
  const count = polygon.length;
  if (count < 2) return [];
  if (open === undefined || open.length === 0) return [[...polygon, polygon[0]!]];
  const lines: Vec2[][] = [];
  const start = open[0]! + 1;
  for (let k = 0; k < count; k++) {
    const i = (start + k) % count;
    if (open.includes(i)) continue;
    const [from, to] = [polygon[i]!, polygon[(i + 1) % count]!];
    const last = lines.at(-1);
    if (last?.at(-1) === from) last.push(to);
    else lines.push([from, to]);
  }
  return lines;
}
