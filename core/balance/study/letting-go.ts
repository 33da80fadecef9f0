import type { Scene } from '../../scene/index.ts';
import { lookAt } from '../assess.ts';
import { endNode, figureNode, loadNode } from '../groups.ts';
import { opened, partsOf, sentenceOf } from './let-go.ts';
import type { LetGo } from './types.ts';
import { list } from './words.ts';

/**
 * What becomes of those who hold on by some grips when exactly these open, whatever the study lists:
 * each connected rest weighed alone, with the way and the time of its fall and where loads drop. Null
 * where none of them is a closed grip of the scene.
 * @param rate frames a second in which times are also told
 */
export function lettingGo(scene: Scene, grips: readonly string[], rate = 24): LetGo | null {
  const { world, groups } = lookAt(scene);
  const going = world.grips.filter(({ id }) => grips.includes(id));
  if (going.length === 0) return null;
  const ends = new Set(going.flatMap(({ a, b }) => [endNode(a), endNode(b)]));
  const members = groups
    .map((group) => [
      ...group.figures.map(({ id, name }) => [figureNode(id), name] as const),
      ...group.loads.map(({ id, name }) => [loadNode(id), name] as const),
    ])
    .filter((group) => group.some(([node]) => ends.has(node)))
    .flat();
  const names = new Map(members);
  const ids = going.map(({ id }) => id);
  const parts = partsOf(names, opened(scene, ids), rate);
  const who = list([...ends].map((node) => names.get(node)!));
  const what: LetGo['what'] =
    ids.length === 1 ? { kind: 'grip', grip: ids[0]! } : { kind: 'grips', grips: ids };
  return { what, parts, sentence: sentenceOf(`When ${who} let go`, parts) };
}
