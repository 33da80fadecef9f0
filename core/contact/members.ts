import type { SegmentName } from '../body/index.ts';
import {
  add,
  cross,
  dot,
  length,
  normalise,
  placePoints,
  scale,
  subtract,
  type Transform,
  type Vec3,
} from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import type { Load, Scene } from '../scene/index.ts';
import { type Face, facesOf } from './faces.ts';
import type { PatchOutline } from './outlines.ts';
import { SOFT_TOUCH } from './touch.ts';

/**
 * What members of a scene offer each other to stand on: the tops of standing boxes, and the upper
 * sides of limbs and trunk. Everything else between them (hands, being carried) is what holds and
 * grips are for.
 */

/** Friction on a load, dry wood on wood or cloth; common practice, no source. */
export const LOAD_FRICTION = 0.5;

/** Friction of feet, knees or seat on another body in clothes; common practice, no source. */
export const BODY_FRICTION = 0.6;

/** Faces this steep or steeper (60 degrees) are no tops. */
const TOP = 0.5;

/** The tops of the boxes that stand by themselves. */
export function loadTops(scene: Scene, placed: ReadonlyMap<string, Transform>): readonly Face[] {
  return scene.loads.flatMap((load) => {
    const { place, shape } = load;
    if (place.kind !== 'standing' || shape.kind !== 'box' || !placed.has(load.id)) return [];
    const { position, rotation } = place;
    const box = { id: load.id, friction: LOAD_FRICTION, position, rotation, size: shape.size };
    return facesOf(box)
      .filter(({ normal }) => normal[1] > TOP)
      .map((face): Face => ({ ...face, upon: { kind: 'load', load: load.id } }));
  });
}

/** Loads that a figure has in its hands, on its body or at the end of a closed grip. */
export function loadsAtHand(scene: Scene, figure: string): ReadonlySet<string> {
  const mine = (load: Load): boolean =>
    load.place.kind !== 'standing' && load.place.figure === figure;
  const loads = new Set(scene.loads.filter(mine).map(({ id }) => id));
  for (const { a, b, open } of scene.grips) {
    if (open) continue;
    if (a.kind === 'figure' && a.figure === figure && b.kind === 'load') loads.add(b.load);
    if (b.kind === 'figure' && b.figure === figure && a.kind === 'load') loads.add(a.load);
  }
  return loads;
}

/** Patches that people stand, kneel or sit on each other with; hands hold by grips. */
const STANDS: ReadonlySet<string> = new Set([
  ...['soleL', 'soleR', 'toesL', 'toesR', 'kneeL', 'kneeR', 'seat'],
]);

export const standsOnPeople = (patch: PatchOutline): boolean => STANDS.has(patch.name);

/** Segments that others stand or sit on, from their joint to their end. */
const BEARERS: readonly SegmentName[] = [
  ...(['pelvis', 'abdomen', 'chest', 'head'] as const),
  ...(['thighL', 'thighR', 'shankL', 'shankR', 'upperArmL', 'upperArmR'] as const),
];

/** Half-width of the strip of a round limb that flesh and clothes make flat, over its radius. */
const FLAT_SHARE = 0.6;

/**
 * The upper sides of a figure's limbs and trunk near a patch of someone else: each a flat strip along
 * the segment, as far out as its girth, where it looks up (within 60 degrees) and the patch is near.
 * @param patch of someone else, placed in the world by `at`
 */
export function bearersNear(
  id: string,
  bearer: PosedFigure,
  patch: PatchOutline,
  at: Transform,
): readonly Face[] {
  const middle = mean(placePoints(at, patch.outline));
  return BEARERS.flatMap((segment) => {
    const face = upperSide(id, bearer, segment, middle);
    if (face === null) return [];
    const gap = dot(face.normal, middle) - face.offset;
    return gap > patch.reach + SOFT_TOUCH || gap < -face.depth ? [] : [face];
  });
}

function upperSide(
  id: string,
  { body, segments }: PosedFigure,
  segment: SegmentName,
  towards: Vec3,
): Face | null {
  const { end, girth } = body.segments[segment];
  const [from, to] = placePoints(segments[segment], [[0, 0, 0], end]) as [Vec3, Vec3];
  const long = subtract(to, from);
  const span = length(long);
  const axis = normalise(long);
  const along = dot(subtract(towards, from), axis);
  // Beside its ends the strip is clipped anyway; this spares the farther ones.
  if (along < -span || along > 2 * span) return null;
  const share = Math.min(1, Math.max(0, along / span));
  const foot = add(from, scale(axis, share * span));
  const out = subtract(towards, add(from, scale(axis, along)));
  const normal = normalise(out);
  if (normal[1] <= TOP) return null;
  const radius = girth[0] + share * (girth[1] - girth[0]);
  const side = cross(axis, normal);
  const half = FLAT_SHARE * radius;
  return {
    surface: `${id}/${segment}`,
    upon: { kind: 'figure', figure: id, segment },
    friction: BODY_FRICTION,
    normal,
    offset: dot(normal, foot) + radius,
    bounds: [
      { axis, limit: dot(axis, to) },
      { axis: scale(axis, -1), limit: -dot(axis, from) },
      { axis: side, limit: dot(side, foot) + half },
      { axis: scale(side, -1), limit: -dot(side, foot) + half },
    ],
    depth: radius,
  };
}

function mean(points: readonly Vec3[]): Vec3 {
  const sum = points.reduce(add, [0, 0, 0]);
  return scale(sum, 1 / points.length);
}
