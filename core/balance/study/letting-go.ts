import type { Scene } from '../../scene/index.ts';
import { lookAt } from '../assess.ts';
import { endNode, figureNode, loadNode } from '../groups.ts';
import { handsOf } from './closed-hands.ts';
import { opened, partsOf } from './let-go.ts';
import type { PartAfter } from './types.ts';

/**
 * What becomes of those who hold on when exactly these holds open, whatever the study lists: each
 * connected rest weighed alone, with the way and the time of its fall and where loads drop. Null where
 * none of them is a closed hold of the scene.
 * @param holds grips by id, hands closed round something as `FIGURE/palmL`
 * @param rate frames a second in which times are also told
 */
export function lettingGo(
  scene: Scene,
  holds: readonly string[],
  rate = 24,
): readonly PartAfter[] | null {
  const { world, groups } = lookAt(scene);
  const grips = world.grips.filter(({ id }) => holds.includes(id));
  const hands = handsOf(world).filter(({ id }) => holds.includes(id));
  if (grips.length + hands.length === 0) return null;
  const ends = new Set([
    ...grips.flatMap(({ a, b }) => [endNode(a), endNode(b)]),
    ...hands.map(({ figure }) => figureNode(figure)),
  ]);
  const members = groups
    .map((group) => [
      ...group.figures.map(({ id, name }) => [figureNode(id), name] as const),
      ...group.loads.map(({ id, name }) => [loadNode(id), name] as const),
    ])
    .filter((group) => group.some(([node]) => ends.has(node)))
    .flat();
  const ids = [...grips, ...hands].map(({ id }) => id);
  return partsOf(new Map(members), opened(scene, ids), rate);
}
