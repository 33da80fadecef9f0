import { clipByHalfSpace, dot, type Vec3 } from '../geometry/index.ts';
import type { Face } from './faces.ts';

/**
 * A soft patch (sole, palm, seat) touches what is within this distance, metres: shoe and flesh give
 * about a centimetre, and hand-set or recorded poses miss the floor by about another.
 */
export const SOFT_TOUCH = 0.02;

/** The same for the underside of a load, which is hard: only the miss of a pose, metres. */
export const HARD_TOUCH = 0.005;

/**
 * A patch touches a face only if it looks at it: their normals point against each other within 80
 * degrees. Loose, because a foot that stands on its toes looks far away from the floor; what is not
 * near is cut off anyway.
 */
const FACING = -Math.cos((80 * Math.PI) / 180);

/**
 * Of faces that look nearly one way (within 45 degrees) the nearest one carries: a foot on a mat of 1
 * cm does not also stand on the floor. Faces within this distance of the nearest are level with it (a
 * foot across two boards), metres.
 */
const LEVEL = 0.003;
const ONE_WAY = Math.cos(Math.PI / 4);

/** An area that may touch: world outlines and outward unit normal; null looks every way (a ball). */
export interface Area {
  readonly outline: readonly Vec3[];
  readonly functional: readonly Vec3[];
  readonly normal: Vec3 | null;
}

export interface Touch {
  readonly face: Face;
  readonly outline: readonly Vec3[];
  readonly functional: readonly Vec3[];
  /** Whether the face ends under the area. */
  readonly clipped: boolean;
  /**
   * Distance above the face, metres, negative beneath it: of the lowest touching point of an area that
   * touches by itself, of the middle of one that is laid (planted), which may be tilted.
   */
  readonly height: number;
}

/**
 * Where an area touches a face by itself: the part inside the face's extents and within `reach` of
 * it, laid on the face along its normal. A rigid area that is drawn into the surface touches with its
 * lowest part, so the part that counts is then measured from its lowest point. Null if nothing does.
 */
export function touchNear(area: Area, face: Face, reach: number): Touch | null {
  if (!looksAt(area, face)) return null;
  const within = clipToBounds(area.outline, face);
  const height = lowest(within, face);
  if (height > reach || middle(within, face) < -face.depth) return null;
  const limit = face.offset + Math.min(height, 0) + reach;
  const part = (outline: readonly Vec3[]) =>
    lay(clipByHalfSpace(outline, face.normal, limit), face, face.normal);
  const functional = clipToBounds(area.functional, face);
  return {
    face,
    outline: part(within),
    functional: part(functional),
    // Clipping gives the same list back where it cuts nothing off.
    clipped: within !== area.outline,
    height,
  };
}

/**
 * Lays an area on a face whatever the distance: along gravity where the face looks up, along its
 * normal otherwise, then clips it to the face's extents. Null where nothing is left, or where the
 * area does not look at the face or lies behind it.
 */
export function touchLaid(area: Area, face: Face): Touch | null {
  if (!looksAt(area, face)) return null;
  const along: Vec3 = face.normal[1] > ONE_WAY ? [0, 1, 0] : face.normal;
  const height = middle(area.outline, face);
  if (height < -face.depth) return null;
  const laid = lay(area.outline, face, along);
  const outline = clipToBounds(laid, face);
  if (outline.length === 0) return null;
  const functional = clipToBounds(lay(area.functional, face, along), face);
  return { face, outline, functional, clipped: outline !== laid, height };
}

/**
 * Keeps the touches that carry: on each surface the face that the area is least sunk into, then, of
 * those that look one way, the highest face and what is level with it.
 */
export function carrying(touches: readonly Touch[]): readonly Touch[] {
  if (touches.length < 2) return touches;
  const outer = touches.filter((touch) =>
    touches.every((other) => !sameSurface(touch, other) || touch.height >= other.height),
  );
  return outer.filter((touch) =>
    outer.every((other) => !oneWay(touch, other) || touch.height <= other.height + LEVEL),
  );
}

/** Keeps the nearest touch and what is level with it. */
export function nearest(touches: readonly Touch[]): readonly Touch[] {
  if (touches.length < 2) return touches;
  const gap = (touch: Touch) => Math.abs(touch.height);
  const best = touches.reduce((a, b) => (gap(b) < gap(a) ? b : a));
  return touches.filter((touch) => oneWay(touch, best) && touch.height <= best.height + LEVEL);
}

// Surfaces and loads are two name spaces.
const sameSurface = (a: Touch, b: Touch): boolean =>
  a.face.surface === b.face.surface &&
  a.face.part === b.face.part &&
  a.face.upon?.kind === b.face.upon?.kind;
const oneWay = (a: Touch, b: Touch): boolean => dot(a.face.normal, b.face.normal) >= ONE_WAY;

const looksAt = (area: Area, face: Face): boolean =>
  area.normal === null || dot(area.normal, face.normal) <= FACING;

function lowest(outline: readonly Vec3[], face: Face): number {
  let least = Number.POSITIVE_INFINITY;
  for (const point of outline) least = Math.min(least, dot(face.normal, point) - face.offset);
  return least;
}

/** Mean height of an outline's vertices above a face. */
function middle(outline: readonly Vec3[], face: Face): number {
  let sum = 0;
  for (const point of outline) sum += dot(face.normal, point) - face.offset;
  return sum / outline.length;
}

function clipToBounds(outline: readonly Vec3[], face: Face): readonly Vec3[] {
  let rest = outline;
  for (const { axis, limit } of face.bounds) {
    if (rest.length === 0) return rest;
    rest = clipByHalfSpace(rest, axis, limit);
  }
  return rest;
}

/** Moves points onto the face along a direction. */
function lay(outline: readonly Vec3[], face: Face, along: Vec3): readonly Vec3[] {
  const slope = dot(face.normal, along);
  return outline.map((point) => {
    const step = (face.offset - dot(face.normal, point)) / slope;
    return [point[0] + step * along[0], point[1] + step * along[1], point[2] + step * along[2]];
  });
}
