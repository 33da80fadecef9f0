import type { SegmentName } from '../../body/types.ts';
import type { Bounds, Coordinates } from './limits.ts';
import { indexOf, JOINT, type Skeleton } from './skeleton.ts';

/**
 * A straight knee or elbow neither lengthens nor shortens its limb, whichever way it turns: to first
 * order a straight leg cannot bend, and hips above planted feet could not go down. So limbs that are
 * asked something of begin bent by this little, radians, middle joint; where a bend is of no use the
 * pull to the start takes it out again.
 */
const BEND = 0.08;

/** Upper, middle and lower joint of a limb, and which way about x the middle one bends. */
const LIMBS: readonly (readonly [SegmentName, SegmentName, SegmentName, 1 | -1])[] = [
  ['thighL', 'shankL', 'footL', 1],
  ['thighR', 'shankR', 'footR', 1],
  ['upperArmL', 'forearmL', 'handL', -1],
  ['upperArmR', 'forearmR', 'handR', -1],
];

/**
 * Bends straight limbs a little. Changes `at`.
 * @param asked numbers of the segments of which something is wanted
 * @param locked 1 for every freedom that stays
 */
export function bendStraight(
  { all, segmentOf, kindOf }: Skeleton,
  at: Coordinates,
  bounds: Bounds,
  asked: ReadonlySet<number>,
  locked: Uint8Array,
): void {
  const freedomOf = (segment: number): number =>
    all.findIndex((i) => segmentOf[i] === segment && kindOf[i] === JOINT);
  const turnX = (segment: number, by: number): void => {
    const i = freedomOf(segment);
    if (i < 0 || locked[i] === 1) return;
    const now = at.angles[segment * 3]! + by;
    at.angles[segment * 3] = Math.min(bounds.high[i]!, Math.max(bounds.low[i]!, now));
  };
  for (const [upper, middle, lower, way] of LIMBS) {
    const m = indexOf(middle);
    if (!asked.has(m) && !asked.has(indexOf(lower)) && !asked.has(indexOf(lower) + 1)) continue;
    const by = BEND - at.angles[m * 3]! * way;
    if (by <= 0 || locked[freedomOf(m)] === 1) continue;
    turnX(m, by * way);
    // Half at each end keeps the limb's tip in its place (to second order) and the foot level.
    turnX(indexOf(upper), (-by * way) / 2);
    if (way > 0) turnX(indexOf(lower), (-by * way) / 2);
  }
}
