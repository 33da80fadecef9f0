import type { Body } from '../../body/types.ts';
import type { Pose } from '../types.ts';
import { bendStraight } from './bend.ts';
import { errorOf, type Wish, wishesOf } from './constraints.ts';
import { massesOf, newPlaced, placeAll } from './kinematics.ts';
import {
  type Bounds,
  boundsOf,
  type Coordinates,
  copyOf,
  holdSwings,
  partOfWay,
  readPose,
  writePose,
} from './limits.ts';
import { lean, meet, newRun, type Run, settle, stand, worst } from './rounds.ts';
import { JOINT, lockedFreedoms, type Skeleton, skeletonOf, TURN } from './skeleton.ts';
import type { SolveProblem, SolveResult } from './types.ts';

/**
 * Full-body reach: the pose nearest to the one given in which the goals are met as well as they can be.
 *
 * Planted points and turns stay to 0.2 mm (and 0.03 degrees), always: a goal that would tear one off is
 * met only as far as it does not, with `reached: false`. Joints stay inside their ranges. What is near is
 * measured by the joints' stiffness (skeleton.ts): limbs follow first, then trunk and hips; joints that
 * have nothing to do with it are not touched. The same input gives the same pose, and a goal where the
 * point is already gives the same pose object.
 *
 * Least squares over all joints with the hips' place and turn, damped, in three parts: with firm soles,
 * with very firm soles, and last the corrections that meet all that can be met to rounding.
 *
 * Throws RangeError for a goal's weight that is not above 0. Angles radians, lengths metres.
 */
export function solveReach(body: Body, pose: Pose, problem: SolveProblem): SolveResult {
  const skeleton = skeletonOf(body);
  const masses = massesOf(skeleton, problem.centre?.loads ?? []);
  const start = readPose(skeleton, pose);
  const placed = newPlaced(skeleton);
  placeAll(skeleton, start, masses, placed);
  const wishes = wishesOf(problem, placed, masses.total);
  if (wishes.every((wish) => errorOf(wish, placed, error, 0) < STILL)) {
    return { pose, reached: true, residual_m: 0, centre_m: 0 };
  }
  const bounds = boundsOf(skeleton, start);
  const locked = lockedFreedoms(skeleton, problem.locks ?? []);
  const from = problem.from
    ? beginAt(skeleton, problem.from, start, bounds, locked)
    : copyOf(start);
  const asked = wishes.flatMap((wish) => (wish.kind === 'centre' ? [] : [wish.segment]));
  bendStraight(skeleton, from, bounds, new Set(asked), locked);
  holdSwings(skeleton, from, bounds);
  const run = newRun({ skeleton, masses, wishes, start, bounds }, from, locked);
  // Hips that are dragged themselves, or that nothing holds back, go where they are wanted.
  if (problem.planted.length === 0 || problem.goals.some(({ segment }) => segment === 'pelvis'))
    run.stiffness.fill(FREE, 0, TURN);
  settle(run, ROUNDS, GENTLE);
  const goals = wishes.filter(({ hard }) => !hard);
  if (worst(run, goals) > NEAR && goals.some((goal) => isWithin(run, goal))) balance(run, goals);
  if (problem.utmost && worst(run, goals) > NEAR) stretch(run, goals);
  finish(run, problem);
  return resultOf(run, pose);
}

/** Nearer than this a goal counts as where the point is already, metres. */
const STILL = 1e-9;

/** Stiffness of the hips' place where nothing shall hold it back, per square metre. */
const FREE = 2;

const ROUNDS = 40;
/**
 * Damping of the first round. Gentle first steps take the easy way (a trunk that bends), where steps
 * that go for the whole error at once may take a wild one (hips thrown aside).
 */
const GENTLE = 400;
/** How often aims are moved on where not all can be met: goals are then met as well as can be. */
const LEANS = 4;
/** How much harder goals pull at last. */
const LAST = 6;
/** How often a last stretch is tried, and what makes another one worth while, metres. */
const STRETCHES = 6;
const WORTH = 2e-4;

/** Goals nearer than this are as good as met, metres; ... */
const NEAR = 0.005;
/** ... and nearer than this a small correction is tried that meets them to rounding. */
const CORRECTED = 0.015;
/** The most that planted points may be off, metres and radians. */
const PLANTED = 2e-4;

/** A goal that is not so far off that it pulls as hard as it may already. */
const isWithin = (run: Run, goal: Wish): boolean => {
  const off = errorOf(goal, run.placed, error, 0);
  return off > NEAR && off <= goal.knee;
};

/** Moves aims on until the goals are near, or as near as they come. */
function balance(run: Run, goals: readonly Wish[]): void {
  let off = worst(run, goals);
  for (let k = 0; k < LEANS; k++) {
    lean(run);
    settle(run, ROUNDS / 4, 0);
    const left = worst(run, goals);
    if (left <= NEAR || left > off - WORTH) return;
    off = left;
  }
}

/**
 * From an easy stretch on to the last: each time nearest to where it stood (proximal point method), so
 * that in the end nothing but the goals counts. Given up where it comes no nearer.
 */
function stretch(run: Run, goals: readonly Wish[]): void {
  run.pull = LAST;
  for (let k = 0; k < STRETCHES; k++) {
    const before = copyOf(run.at);
    const off = worst(run, goals);
    run.rest = before;
    settle(run, ROUNDS / 2, GENTLE);
    balance(run, goals);
    const left = worst(run, goals);
    if (left > off) stand(run, before);
    if (left > off - WORTH) return;
  }
}

/** Meets what can be met to rounding: planted points, a kept centre, goals; in this order of importance. */
function finish(run: Run, { centre }: SolveProblem): void {
  const hard = run.wishes.filter((wish) => wish.hard);
  const kept = run.wishes.filter((wish) => wish.kind === 'centre' && centre?.keep === true);
  const near = run.wishes.filter(
    (wish) => !wish.hard && !kept.includes(wish) && errorOf(wish, run.placed, error, 0) < CORRECTED,
  );
  for (const set of [[...hard, ...kept, ...near], [...hard, ...kept], hard]) {
    if (meet(run, new Set(set)) < EXACT) return;
  }
  if (worst(run, hard) <= PLANTED) return;
  // Nothing near holds the planted points: less of the way may, and what is certain is the start.
  const whole = copyOf(run.at);
  for (const share of SHARES) {
    stand(run, partOfWay(run.start, whole, share));
    if (meet(run, new Set(hard)) <= PLANTED) return;
  }
  stand(run, run.start);
}

const SHARES = [0.9, 0.7, 0.4] as const;

const EXACT = 1e-5;

/** Coordinates of a pose to begin with, inside the bounds; what is locked, or never turns, as at the start. */
function beginAt(
  skeleton: Skeleton,
  pose: Pose,
  start: Coordinates,
  { low, high }: Bounds,
  locked: Uint8Array,
): Coordinates {
  const there = readPose(skeleton, pose);
  const at = copyOf(start);
  for (let i = 0; i < skeleton.freedoms; i++) {
    const kind = skeleton.kindOf[i]!;
    if (locked[i] === 1) continue;
    if (kind < TURN) at.place[kind] = there.place[kind]!;
    else if (kind < JOINT) at.turn.set(there.turn);
    else {
      const k = skeleton.segmentOf[i]! * 3 + kind - JOINT;
      at.angles[k] = Math.min(high[i]!, Math.max(low[i]!, there.angles[k]!));
    }
  }
  return at;
}

const error = new Float64Array(3);

const REACHED = 1e-4;
const TURNED = Math.PI / 1800;
const CENTRED = 1e-3;

function resultOf(run: Run, pose: Pose): SolveResult {
  let reached = true;
  let residual = 0;
  let off = 0;
  const size = (wish: Wish): number => errorOf(wish, run.placed, error, 0);
  for (const wish of run.wishes) {
    if (wish.hard) continue;
    if (wish.kind === 'centre') off = size(wish);
    else if (wish.kind === 'place') residual = Math.max(residual, size(wish));
    else if (size(wish) > TURNED) reached = false;
  }
  reached &&= residual <= REACHED && off <= CENTRED;
  return {
    pose: writePose(run.at, run.start, pose),
    reached,
    residual_m: residual,
    centre_m: off,
  };
}
