import type { Scene } from '../../scene/index.ts';
import type { GroupReading } from '../types.ts';
import { gripWay } from './grip-way.ts';
import { bothArmsWay, freeLegWay, hipsWay, leanWay, oneArmWay, trunkWay } from './joint-ways.ts';
import { loadWay } from './load-way.ts';
import { type Situation, situationOf } from './situation.ts';
import { stepWay } from './step-way.ts';
import {
  isRepair,
  STRATEGIES,
  type Strategy,
  type Way,
  type WayOptions,
  type WaysBack,
} from './types.ts';

export { withChanges } from './situation.ts';
export {
  type Changes,
  isRepair,
  type Move,
  type NoRepair,
  type Repair,
  STRATEGIES,
  type Strategy,
  type Way,
  type WayOptions,
  type WaysBack,
} from './types.ts';

const INSET = 0.01;

const WAYS: Readonly<Record<Strategy, (situation: Situation, inset: number) => Way>> = {
  hips: hipsWay,
  trunk: trunkWay,
  lean: leanWay,
  'one-arm': oneArmWay,
  'both-arms': bothArmsWay,
  'free-leg': freeLegWay,
  step: stepWay,
  'load-closer': loadWay,
  'grip-tighter': gripWay,
};

/**
 * One way back for a figure that does not hold: the smallest change of one kind after which its group
 * holds by the inset, or why there is none. Whatever rests on something stays where it is (soles to
 * 0.2 mm, but the one that steps), joints keep their ranges. Pure and deterministic; metres, radians.
 *
 * Throws RangeError where the scene has no such figure, or for an inset below 0.
 */
export function wayBack(
  scene: Scene,
  figureId: string,
  strategy: Strategy,
  options: WayOptions = {},
): Way {
  const inset = insetOf(options);
  const situation = situationOf(scene, figureId);
  const hopeless = hopelessBecause(situation.group);
  return hopeless === null ? WAYS[strategy](situation, inset) : { strategy, cannot: hopeless };
}

function insetOf({ inset = INSET }: WayOptions): number {
  if (!(inset >= 0)) throw new RangeError(`The inset must be 0 m or more, not ${inset}.`);
  return inset;
}

/** Why no change of pose could be told to mend it; null where one may. */
function hopelessBecause({ verdict, plumb }: GroupReading): string | null {
  if (verdict === 'unknown' || plumb === null) return 'Cannot tell: a mass is not set.';
  return verdict === 'airborne' ? 'Nothing touches a surface.' : null;
}

/**
 * All ways back, one at a time, so that a worker can show each as it comes and stop between two (about
 * as long as 50 assessments each). Nothing is yielded where it holds by the inset as it is.
 * @returns the ways together
 */
export function* eachWayBack(
  scene: Scene,
  figureId: string,
  options: WayOptions = {},
): Generator<Way, WaysBack, void> {
  const inset = insetOf(options);
  const situation = situationOf(scene, figureId);
  const { group } = situation;
  const ways: Way[] = [];
  const needed = !(group.verdict === 'holds' && (group.margin?.functional ?? 0) >= inset);
  const hopeless = hopelessBecause(group);
  if (needed) {
    for (const strategy of STRATEGIES) {
      const way =
        hopeless === null ? WAYS[strategy](situation, inset) : { strategy, cannot: hopeless };
      ways.push(way);
      yield way;
    }
  }
  const good = ways.filter(isRepair).length;
  const none = needed && good === 0;
  return {
    figure: figureId,
    before: group,
    needed,
    ways,
    none,
    sentence: summary(needed, good, hopeless),
  };
}

function summary(needed: boolean, good: number, hopeless: string | null): string {
  if (!needed) return 'It holds as it is: no way back is needed.';
  if (good > 0) return good === 1 ? 'One way back.' : `${good} ways back.`;
  return hopeless === null ? 'None of these can.' : `None of these can. ${hopeless}`;
}

/** All ways back at once; see `eachWayBack`. */
export function waysBack(scene: Scene, figureId: string, options: WayOptions = {}): WaysBack {
  const ways = eachWayBack(scene, figureId, options);
  for (;;) {
    const next = ways.next();
    if (next.done === true) return next.value;
  }
}
