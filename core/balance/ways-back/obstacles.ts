import type { SegmentName } from '../../body/index.ts';
import { conjugate, dot, rotate, subtract, type Vec3 } from '../../geometry/index.ts';
import type { PosedFigure } from '../../pose/index.ts';
import { boxesOf, type Surface } from '../../scene/index.ts';

/** Parts of the body that must not go into a surface, as balls round their joints. */
const BALLS: readonly SegmentName[] = [
  'pelvis',
  'abdomen',
  'chest',
  'head',
  'forearmL',
  'forearmR',
  'handL',
  'handR',
  'shankL',
  'shankR',
  'footL',
  'footR',
];

/** Further in than before by this much counts as being in the way, metres. */
const GRAZE = 0.01;
/** Part of the drawn girth that does not give: trunks are drawn rounder than they are deep. */
const FIRM = 0.75;

/**
 * The first surface that a figure goes into further than it was before; null where none is in the way.
 * The body is taken as balls of its drawn girth, so it is right to a centimetre or two.
 */
export function inTheWay(
  surfaces: readonly Surface[],
  before: PosedFigure,
  after: PosedFigure,
): Surface | null {
  for (const surface of surfaces)
    for (const name of BALLS) {
      const was = depthOf(surface, before, name);
      const is = depthOf(surface, after, name);
      if (is > Math.max(was, 0) + GRAZE) return surface;
    }
  return null;
}

/** How deep the ball of a segment is in a surface, metres; negative outside. */
function depthOf(surface: Surface, { body, segments }: PosedFigure, name: SegmentName): number {
  const { position } = segments[name];
  const radius = body.segments[name].girth[0] * FIRM;
  if (surface.size === null) {
    const local = rotate(conjugate(surface.rotation), subtract(position, surface.position));
    return radius - dot(local, [0, 1, 0]);
  }
  const gaps = boxesOf(surface).map((box) => {
    const local = rotate(conjugate(box.rotation), subtract(position, box.position));
    const out = box.size.map((extent, k) => Math.abs(local[k]!) - extent / 2);
    const beyond = out.map((value) => Math.max(value, 0)) as unknown as Vec3;
    const outside = Math.hypot(...beyond);
    // Inside the box: out by the nearest face.
    return outside > 0 ? outside : Math.max(...out);
  });
  return radius - Math.min(...gaps);
}
