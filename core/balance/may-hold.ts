import type { Scene } from '../scene/index.ts';
import { lookAt } from './assess.ts';
import { rigidGroup } from './joined.ts';
import { linkageOf } from './linkage.ts';
import { isAtRest } from './region/index.ts';

/**
 * Whether it is worth weighing the group of a figure to see if it holds. False only where `assess` would
 * not say `holds`: one of several joined bodies cannot balance itself on the parts that carry. That is one
 * question to the solver, where the two regions of `assess` take some hundred; for a search that tries
 * many poses.
 */
export function mayHold(scene: Scene, figureId: string): boolean {
  const { world, groups } = lookAt(scene);
  const group = groups.find(({ figures }) => figures.some(({ id }) => id === figureId));
  if (group === undefined || group.figures.length < 2) return true;
  const linkage = linkageOf(group, world);
  const rigid = linkage.bodies.length < 2 ? null : rigidGroup(linkage);
  return rigid === null || (rigid.atRest && isAtRest(rigid.functional));
}
