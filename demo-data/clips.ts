import { buildBody } from '../core/body/index.ts';
import { writeBvh } from './bvh-writer.ts';
import { poseOf } from './poses.ts';
import { risingAt } from './shots/ben-0110.ts';

/**
 * The ferryman's rise of BEN-0110 as a clip: 44 frames at 24 a second, made from our own key poses.
 * demo-data/clips/ferryman-rises.bvh is this text, for a newcomer to drop on the board.
 */
export function ferrymanRises(): string {
  const stances = Array.from({ length: 44 }, (_, i) => risingAt(i + 1));
  const [first] = stances;
  if (first === undefined) throw new RangeError('a clip needs at least one frame');
  return writeBvh(buildBody(first.body), stances.map(poseOf), 24);
}
