import { SEGMENTS, type SegmentName } from '../../body/index.ts';
import { add, type Quat, subtract, type Vec2, type Vec3 } from '../../geometry/index.ts';
import { type Lock, type Pose, poseFigure, solveReach } from '../../pose/index.ts';
import { headingTurn } from '../../scene/index.ts';
import { mayHold } from '../may-hold.ts';
import type { GroupReading } from '../types.ts';
import { onFeet } from './joint-ways.ts';
import { poseMoves, shift } from './moves.ts';
import { inTheWay } from './obstacles.ts';
import {
  groupAfter,
  SIDES,
  type Side,
  type Situation,
  stands,
  withChanges,
  withPose,
} from './situation.ts';
import type { Changes, Way } from './types.ts';
import { capital, outcome, sideWord } from './words.ts';

/** The longest step, over stature, and the grid on which steps are tried, metres. */
const LONGEST = 0.35;
const GRID = 0.06;
/** How exactly the shortest step is found, metres. */
const FINE = 0.015;
/** The same for one of two who hold each other, where every look takes as long as thirty of one alone. */
const PAIR_GRID = 0.3;
const PAIR_FINE = 0.15;

interface Stepped {
  readonly pose: Pose;
  readonly changes: Changes;
  readonly after: GroupReading;
  readonly way: Vec3;
  readonly length: number;
  readonly side: Side;
}

/**
 * One foot is set elsewhere and everything else stays: the shortest step, by either foot, after which the
 * figure holds by the inset. A standing foot goes the way the figure would fall; a raised one is set down
 * beside the standing one and from there that way.
 */
export function stepWay(situation: Situation, inset: number): Way {
  const strategy = 'step';
  if (!SIDES.some((side) => stands(situation, side)))
    return { strategy, cannot: 'No foot stands.' };
  const { margin } = situation.group;
  if (margin === null) return { strategy, cannot: 'Nothing to stand on where a foot could go.' };
  const steps = SIDES.flatMap((side) => {
    const step = shortest(situation, side, margin.direction, inset);
    return step === null ? [] : [step];
  });
  if (steps.length === 0) {
    const far = Math.round(LONGEST * situation.figure.body.stature * 100);
    return { strategy, cannot: `No step of up to ${far} cm that way brings the support under it.` };
  }
  const best = steps.reduce((a, b) => (b.length < a.length ? b : a));
  const move = shift(situation, `${sideWord(best.side)} foot`, best.way);
  return {
    strategy,
    changes: best.changes,
    after: best.after,
    moves: [move, ...poseMoves(situation, best.pose)],
    sentence: `${capital(move.text)}: ${outcome(best.after, onFeet(situation))}.`,
  };
}

function shortest(
  situation: Situation,
  side: Side,
  direction: Vec2,
  inset: number,
): Stepped | null {
  const start = landing(situation, side);
  if (start === null) return null;
  const attempt = (length: number): Stepped | 'out of reach' | null =>
    stepped(situation, side, start, direction, length, inset);
  const longest = LONGEST * situation.figure.body.stature;
  const pair = situation.standing.length > 0;
  const [grid, fine] = pair ? [PAIR_GRID, PAIR_FINE] : [GRID, FINE];
  let bad = start.raised ? -grid : 0;
  for (let length = start.raised ? 0 : grid; length <= longest; length += grid) {
    const first = attempt(length);
    // Longer steps reach no better.
    if (first === 'out of reach' && length > 0) return null;
    let best = first === 'out of reach' ? null : first;
    if (best === null) {
      bad = length;
      continue;
    }
    for (let good = length; good - bad > fine && bad >= 0; ) {
      const middle = (good + bad) / 2;
      const step = attempt(middle);
      if (step === null || step === 'out of reach') bad = middle;
      else [best, good] = [step, middle];
    }
    return best;
  }
  return null;
}

interface Landing {
  readonly ankle: Vec3;
  readonly rotation: Quat;
  readonly raised: boolean;
}

/** Where the foot stands, or where a raised one would be set down: level, beside the other one. */
function landing(situation: Situation, side: Side): Landing | null {
  const { posed, body, contacts, forward } = situation;
  const foot = `foot${side}` as const;
  const other: Side = side === 'L' ? 'R' : 'L';
  if (stands(situation, side)) {
    // Not the last one: what stays must still stand somewhere.
    if (!stands(situation, other) && contacts.every(({ patch }) => patch.endsWith(side)))
      return null;
    return {
      ankle: posed.segments[foot].position,
      rotation: posed.segments[foot].rotation,
      raised: false,
    };
  }
  const sole = contacts.find(({ patch }) => patch === `sole${other}`);
  if (sole === undefined) return null;
  const ground = sole.outline[0]![1];
  const hip = posed.segments[`thigh${side}`].position;
  const beside = posed.segments[`foot${other}`].position;
  const ahead = (beside[0] - hip[0]) * forward[0] + (beside[2] - hip[2]) * forward[1];
  const height = -body.patches[`sole${side}`].outline[0]![1];
  return {
    ankle: [hip[0] + ahead * forward[0], ground + height, hip[2] + ahead * forward[1]],
    rotation: headingTurn(forward),
    raised: true,
  };
}

/** Joints that a step may turn: the legs. */
const LEGS: readonly SegmentName[] = SEGMENTS.filter((name) => /^(thigh|shank|foot)/.test(name));

function stepped(
  situation: Situation,
  side: Side,
  { ankle, rotation }: Landing,
  [x, z]: Vec2,
  length: number,
  inset: number,
): Stepped | 'out of reach' | null {
  const { body, figure, loads, movingCentre, planted, posed, scene, standing } = situation;
  const target = add(ankle, [x * length, 0, z * length]);
  const own = new Set<SegmentName>([`foot${side}`, `toes${side}`]);
  const locks: Lock[] = SEGMENTS.filter((name) => name !== 'pelvis' && !LEGS.includes(name));
  const { pose, reached } = solveReach(body, figure.pose, {
    goals: [{ segment: `foot${side}`, target, rotation }],
    planted: planted.filter(({ segment }) => !own.has(segment)),
    // The weight stays where it is, and the foot goes under it; between two who hold each other the hands
    // stay where they hold instead.
    ...(standing.length > 0 ? {} : { centre: { target: movingCentre, loads, keep: true } }),
    locks,
  });
  if (!reached) return 'out of reach';
  if (inTheWay(scene.surfaces, posed, poseFigure(body, pose))) return null;
  const changes = withPose(situation, pose);
  if (standing.length > 0 && !mayHold(withChanges(scene, changes), figure.id)) return null;
  const after = groupAfter(situation, changes);
  const room = after.margin?.functional ?? Number.NEGATIVE_INFINITY;
  if (after.verdict !== 'holds' || room < inset) return null;
  const way = subtract(target, posed.segments[`foot${side}`].position);
  return { pose, changes, after, way, length: Math.hypot(...way), side };
}
