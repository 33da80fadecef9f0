import { surfaceKey } from '../../core/document/index.ts';
import {
  add,
  applyTransform,
  dot,
  rotate,
  scale,
  subtract,
  type Vec3,
} from '../../core/geometry/index.ts';
import type { Surface } from '../../core/scene/index.ts';
/** One side of a surface, by its own axis (0, 1, 2) and direction; moved, the opposite side stays. */
export interface Side {
  readonly kind: 'side';
  readonly surface: string;
  readonly axis: 0 | 1 | 2;
  readonly way: 1 | -1;
}

/** A surface is at least this thick, metres. */
const THINNEST = 0.005;

export const sidesOf = (surface: string): Side[] =>
  ([0, 1, 2] as const).flatMap((axis) =>
    ([1, -1] as const).map((way): Side => ({ kind: 'side', surface, axis, way })),
  );

const WORDS = [
  ['left', 'right'],
  ['upper', 'lower'],
  ['front', 'back'],
] as const;

export const sideWord = ({ axis, way }: Side): string => WORDS[axis][way > 0 ? 0 : 1];

const unit = (axis: 0 | 1 | 2, length: number): Vec3 => [
  axis === 0 ? length : 0,
  axis === 1 ? length : 0,
  axis === 2 ? length : 0,
];

/** Middle of a side in the world; null for a plane without end. */
export function sideAt(surface: Surface, { axis, way }: Side): Vec3 | null {
  if (surface.size === null) return null;
  return applyTransform(surface, unit(axis, (way * surface.size[axis]) / 2));
}

/** The entries that move a side as far along its axis as `target` says. */
export function moveSide(
  surface: Surface,
  side: Side,
  target: Vec3,
): Readonly<Record<string, unknown>> {
  const at = sideAt(surface, side);
  if (at === null || surface.size === null) return {};
  const { axis, way } = side;
  const out = rotate(surface.rotation, unit(axis, way));
  const long = surface.size[axis];
  const grown = Math.max(THINNEST - long, dot(subtract(target, at), out));
  const size = surface.size.map((old, i) => (i === axis ? old + grown : old));
  return {
    [surfaceKey(surface.id, 'size')]: size,
    [surfaceKey(surface.id, 'position')]: add(surface.position, scale(out, grown / 2)),
  };
}
