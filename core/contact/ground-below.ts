import { dot, type Transform, type Vec3 } from '../geometry/index.ts';
import type { Scene } from '../scene/index.ts';
import { surfaceFaces } from './faces.ts';
import { loadTops } from './members.ts';
import { HARD_TOUCH } from './touch.ts';

export interface GroundBelow {
  /** Height of the ground there, metres. */
  readonly height: number;
  /** Name of the surface or load. */
  readonly name: string;
}

/**
 * The highest ground straight under a point: the tops of surfaces and of standing boxes; null where
 * there is none.
 * @param except id of a load that is no ground (the one that falls)
 */
export function groundBelow(
  scene: Scene,
  placed: ReadonlyMap<string, Transform>,
  [x, y, z]: Vec3,
  except: string | null,
): GroundBelow | null {
  const faces = [...scene.surfaces.flatMap(surfaceFaces), ...loadTops(scene, placed)];
  let best: GroundBelow | null = null;
  for (const { normal, offset, bounds, surface, upon } of faces) {
    if (normal[1] < LEAST_SLOPE || (upon !== undefined && surface === except)) continue;
    const height = (offset - normal[0] * x - normal[2] * z) / normal[1];
    const here: Vec3 = [x, height, z];
    if (height > y + HARD_TOUCH || (best !== null && height <= best.height)) continue;
    if (!bounds.every(({ axis, limit }) => dot(axis, here) <= limit)) continue;
    const list = upon === undefined ? scene.surfaces : scene.loads;
    best = { height, name: list.find(({ id }) => id === surface)!.name };
  }
  return best;
}

/** Faces steeper than this (about 84 degrees) are no ground. */
const LEAST_SLOPE = 0.1;
