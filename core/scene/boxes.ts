import { add, rotate } from '../geometry/index.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import type { Surface } from './types.ts';

/** An oriented box of a surface, metres. */
export interface SurfaceBox {
  readonly position: Vec3;
  readonly rotation: Quat;
  readonly size: Vec3;
}

/** Thickness of a chair's back and breadth of its arms, metres (ours). */
const BOARD = 0.05;
/** Steps of a stair that does not say how many. */
export const USUAL_STEPS = 3;

const known = new WeakMap<Surface, readonly SurfaceBox[]>();

/**
 * The boxes that a surface is made of, in the world; none for an endless plane. Most are one box. A
 * chair's size is its seat, down to the floor; its back stands behind (-z) and its arms on both sides,
 * as high above the seat as `parts` says. A stair's size is the whole of it; it climbs ahead (+z).
 */
export function boxesOf(surface: Surface): readonly SurfaceBox[] {
  if (surface.size === null) return [];
  const before = known.get(surface);
  if (before !== undefined) return before;
  const boxes = localBoxes(surface, surface.size).map(
    ({ middle, size }): SurfaceBox => ({
      position: add(surface.position, rotate(surface.rotation, middle)),
      rotation: surface.rotation,
      size,
    }),
  );
  known.set(surface, boxes);
  return boxes;
}

interface LocalBox {
  readonly middle: Vec3;
  readonly size: Vec3;
}

function localBoxes({ kind, parts = {} }: Surface, size: Vec3): LocalBox[] {
  const [wide, high, deep] = size;
  const whole: LocalBox = { middle: [0, 0, 0], size };
  if (kind === 'stair') {
    const count = Math.max(1, Math.min(40, Math.round(parts.steps ?? USUAL_STEPS)));
    return Array.from({ length: count }, (_, i): LocalBox => {
      // Every step reaches back to the wall, so that nothing is hollow.
      const [rise, run] = [(high * (i + 1)) / count, (deep * i) / count];
      return {
        middle: [0, rise / 2 - high / 2, run / 2],
        size: [wide, rise, deep - run],
      };
    });
  }
  if (kind !== 'chair') return [whole];
  const boxes = [whole];
  const { back = 0, arms = 0 } = parts;
  if (back > 0)
    boxes.push({
      middle: [0, (high + back) / 2, -(deep + BOARD) / 2],
      size: [wide, back, BOARD],
    });
  if (arms > 0) {
    for (const side of [-1, 1])
      boxes.push({
        middle: [(side * (wide + BOARD)) / 2, (high + arms) / 2, 0],
        size: [BOARD, arms, deep],
      });
  }
  return boxes;
}
