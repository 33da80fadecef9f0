import { SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import {
  add,
  conjugate,
  distance,
  dot,
  normalise,
  rotate,
  scale,
  subtract,
  type Vec3,
} from '../../core/geometry/index.ts';
import { palmCentre } from '../../core/pose/index.ts';
import { boxesOf, extentsOf } from '../../core/scene/index.ts';
import type { Picked } from './drawing/model-view.ts';
import { type GripTarget, type Hand, handNear, mayHold } from './grip-edit.ts';
import type { Shown } from './shown.ts';

/** Something that a dragged hand takes hold of when it is let go now, and where the palm then goes. */
export interface Offer {
  readonly target: GripTarget;
  readonly at: Vec3;
}

/**
 * How far behind or before the thing under the pointer a palm may be to be offered it, metres: a drag
 * moves in the view plane, so partners and loads are met from some way off; a wall behind is not.
 */
const DEPTH = { figure: 0.5, load: 0.5, surface: 0.2 } as const;

/** What a hand is over, if it may take hold of it. */
export function offerFor(shown: Shown, hand: Hand, picked: Picked | null): Offer | null {
  const posed = shown.posed.get(hand.figure);
  if (posed === undefined) return null;
  const palm = palmCentre(posed, hand.segment === 'handL' ? 'L' : 'R');
  const target = handNear(shown, hand, palm) ?? targetOf(picked, hand);
  if (target === null || !mayHold(shown, hand, target)) return null;
  const at = nearest(shown, target, palm);
  return at !== null && distance(at, palm) <= DEPTH[target.kind] ? { target, at } : null;
}

function targetOf(picked: Picked | null, hand: Hand): GripTarget | null {
  if (picked === null) return null;
  if (picked.kind !== 'segment') return picked;
  const segment = SEGMENTS.find((name) => name === picked.segment);
  if (segment === undefined || picked.figure === hand.figure) return null;
  const part: SegmentName = segment === 'toesL' ? 'footL' : segment === 'toesR' ? 'footR' : segment;
  return { kind: 'figure', figure: picked.figure, segment: part };
}

/** The place on a target's skin that is nearest to a palm. */
function nearest({ scene, posed, placed }: Shown, target: GripTarget, palm: Vec3): Vec3 | null {
  if (target.kind === 'figure') {
    const figure = posed.get(target.figure);
    if (figure === undefined) return null;
    const hand = /^hand(.)$/.exec(target.segment)?.[1] as 'L' | 'R' | undefined;
    if (hand !== undefined) return palmCentre(figure, hand);
    const { position, rotation } = figure.segments[target.segment];
    const { end, girth } = figure.body.segments[target.segment];
    const along = rotate(rotation, end);
    const share = dot(subtract(palm, position), along) / Math.max(dot(along, along), 1e-9);
    const on = add(position, scale(along, Math.max(0, Math.min(1, share))));
    const out = subtract(palm, on);
    return Math.hypot(...out) < girth[0] ? palm : add(on, scale(normalise(out), girth[0]));
  }
  if (target.kind === 'load') {
    const load = scene.loads.find(({ id }) => id === target.load);
    const at = placed.get(target.load);
    return load === undefined || at === undefined
      ? null
      : inBox({ ...at, size: extentsOf(load.shape) }, palm);
  }
  const surface = scene.surfaces.find(({ id }) => id === target.surface);
  if (surface === undefined) return null;
  return boxesOf(surface)
    .map((box) => inBox(box, palm))
    .reduce<Vec3 | null>(
      (best, point) =>
        best === null || distance(point, palm) < distance(best, palm) ? point : best,
      null,
    );
}

/** The point of a box that is nearest to a point outside it. */
function inBox(
  {
    position,
    rotation,
    size,
  }: {
    readonly position: Vec3;
    readonly rotation: Parameters<typeof rotate>[0];
    readonly size: Vec3;
  },
  point: Vec3,
): Vec3 {
  const local = rotate(conjugate(rotation), subtract(point, position));
  const within = local.map((c, i) => Math.max(-size[i]! / 2, Math.min(size[i]! / 2, c)));
  return add(position, rotate(rotation, within as unknown as Vec3));
}
