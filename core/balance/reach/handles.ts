import type { Body, SegmentName } from '../../body/index.ts';
import { scale, type Vec3 } from '../../geometry/index.ts';
import { type Planted, type PosedFigure, palmLocal, pointOn } from '../../pose/index.ts';
import type { Handle } from './types.ts';

type Side = 'L' | 'R';

/** The point of a part that is taken hold of, in its segment's frame: palm, ankle, joint, or middle. */
export function handlePoint(body: Body, part: Handle): Vec3 {
  if (part === 'handL' || part === 'handR') return palmLocal(body, part.slice(-1) as Side);
  return part === 'head' || part === 'chest' ? scale(body.segments[part].end, 0.5) : [0, 0, 0];
}

/** The same in the world, metres. */
export const handleAt = (posed: PosedFigure, part: Handle): Vec3 =>
  pointOn(posed, part, handlePoint(posed.body, part));

/** What lets go of its place when a part is taken: the part, and what rests below it on its limb. */
function freedBy(part: Handle): readonly SegmentName[] {
  const side = part.slice(-1) as Side;
  if (part.startsWith('hand')) return [part, `forearm${side}`];
  if (part.startsWith('foot')) return [part, `toes${side}`, `shank${side}`];
  return [part];
}

/** Planted points without those that the dragged parts free. */
export function stayingWith(planted: readonly Planted[], dragged: readonly Handle[]): Planted[] {
  const freed = new Set(dragged.flatMap(freedBy));
  return planted.filter(({ segment }) => !freed.has(segment));
}
