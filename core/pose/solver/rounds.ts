import { errorOf, turnError, type Wish } from './constraints.ts';
import { alongEdges, fromEdges, newEdges } from './edges.ts';
import { addPull, chainOf, writeRows } from './jacobian.ts';
import { type Masses, newPlaced, type Placed, placeAll, placeAxes } from './kinematics.ts';
import { type Bounds, type Coordinates, copyOf, holdSwings } from './limits.ts';
import { JOINT, type Skeleton, TURN } from './skeleton.ts';
import { LOCKED, newStepProblem, type StepProblem, solveStep } from './step.ts';

/** A problem being solved: what is wanted, from where, and where it stands. */
export interface Run {
  readonly skeleton: Skeleton;
  readonly masses: Masses;
  readonly wishes: readonly Wish[];
  /** How the pose was: what bounds are measured from. */
  readonly start: Coordinates;
  /** What the answer stays near to. */
  rest: Coordinates;
  /** By how much goals that are far off pull harder than their knee says. */
  pull: number;
  readonly bounds: Bounds;
  readonly step: StepProblem;
  /** The cost of moving every freedom. */
  readonly stiffness: Float64Array;
  /** Swings near the edge of their range, whose steps are told along it and across. */
  readonly edges: Float64Array;
  /** For every wish the unlocked freedoms that can change it. */
  readonly chains: readonly Int32Array[];
  /** By how much the aim of every row is moved on, so that a pull against it comes out even. */
  readonly shift: Float64Array;
  /** Where it stands, and everything placed there. */
  at: Coordinates;
  placed: Placed;
  /** The same for a step that is tried. */
  next: Coordinates;
  nextPlaced: Placed;
}

/** @param locked 1 for every freedom that stays */
export function newRun(
  parts: Pick<Run, 'skeleton' | 'masses' | 'wishes' | 'start' | 'bounds'>,
  from: Coordinates,
  locked: Uint8Array,
): Run {
  const { skeleton, masses, wishes } = parts;
  const rows = wishes.reduce((sum, wish) => sum + wish.rows, 0);
  const step = newStepProblem(skeleton.freedoms, rows);
  locked.forEach((is, i) => {
    step.held[i] = is === 1 ? LOCKED : 0;
  });
  const run: Run = {
    ...parts,
    chains: wishes.map((wish) => chainOf(skeleton, wish).filter((i) => locked[i] === 0)),
    ...{ stiffness: skeleton.stiffness.slice(), edges: newEdges(skeleton) },
    ...{ step, shift: new Float64Array(rows), rest: parts.start, pull: 1 },
    ...{ at: from, next: copyOf(from) },
    ...{ placed: newPlaced(skeleton), nextPlaced: newPlaced(skeleton) },
  };
  placeAll(skeleton, run.at, masses, run.placed);
  return run;
}

const back = new Float64Array(3);
const error = new Float64Array(3);

/** How far freedom i is from its rest; for the turn of the hips `back` must hold the way back. */
function fromRest({ skeleton, rest }: Run, at: Coordinates, i: number): number {
  const kind = skeleton.kindOf[i]!;
  if (kind < TURN) return rest.place[kind]! - at.place[kind]!;
  if (kind < JOINT) return back[kind - TURN]!;
  const k = skeleton.segmentOf[i]! * 3 + kind - JOINT;
  return rest.angles[k]! - at.angles[k]!;
}

const turnBack = ({ rest }: Run, at: Coordinates): void => {
  const [x = 0, y = 0, z = 0, w = 1] = rest.turn;
  turnError([x, y, z, w], at.turn, 0, back, 0);
};

/** A wish's error with its shift added; returns its size. */
function shifted(
  run: Run,
  placed: Placed,
  wish: Wish,
  row: number,
  to: Float64Array,
  ti: number,
): number {
  errorOf(wish, placed, to, ti);
  let square = 0;
  for (let k = 0; k < wish.rows; k++) {
    to[ti + k]! += run.shift[row + k]!;
    square += to[ti + k]! * to[ti + k]!;
  }
  return Math.sqrt(square);
}

/** What a round makes smaller: the way from rest, and every wish's error by its weight (Huber's loss). */
function cost(run: Run, at: Coordinates, placed: Placed): number {
  let sum = 0;
  turnBack(run, at);
  for (let i = 0; i < run.step.n; i++) {
    const away = fromRest(run, at, i);
    sum += 0.5 * run.stiffness[i]! * away * away;
  }
  let row = 0;
  for (const wish of run.wishes) {
    const size = shifted(run, placed, wish, row, error, 0);
    const { weight } = wish;
    const knee = wish.knee * run.pull;
    sum += weight * (size <= knee ? 0.5 * size * size : knee * (size - knee / 2));
    row += wish.rows;
  }
  return sum;
}

/** Damping of rows that must be met, just enough for the ones that say the same twice. */
const TINY = 1e-9;

/** The longest way that a round goes for, metres (radians). */
const STRIDE = 0.25;

/** Fills the step's rows with all wishes by their weight; or with some, which are to be met exactly. */
function fill(run: Run, only: ReadonlySet<Wish> | null): void {
  const { skeleton, step, placed, at, bounds } = run;
  placeAxes(skeleton, at, placed);
  step.rows.fill(0);
  step.bend.fill(0);
  let m = 0;
  let row = 0;
  for (let w = 0; w < run.wishes.length; w++) {
    const wish = run.wishes[w]!;
    if (only === null || only.has(wish)) {
      const chain = run.chains[w]!;
      writeRows(skeleton, placed, wish, chain, step.rows, m);
      let compliance = TINY;
      if (only === null) {
        const size = shifted(run, placed, wish, row, step.error, m);
        // Beyond the knee the pull grows no more, and the row goes for a part of the way only.
        const share = size > STRIDE ? STRIDE / size : 1;
        const knee = wish.knee * run.pull;
        const weight = size > knee ? (wish.weight * knee) / (size * share) : wish.weight;
        for (let k = 0; k < wish.rows; k++) step.error[m + k]! *= share;
        addPull(skeleton, placed, wish, chain, step.error, m, weight, step.bend);
        compliance = 1 / weight;
      } else errorOf(wish, placed, step.error, m);
      for (let k = 0; k < wish.rows; k++) {
        step.compliance[m + k] = compliance;
        step.chains[m + k] = chain;
      }
      m += wish.rows;
    }
    row += wish.rows;
  }
  step.m = m;
  if (only === null) turnBack(run, at);
  for (let i = 0; i < step.n; i++) {
    const kind = skeleton.kindOf[i]!;
    const angle = kind < JOINT ? 0 : at.angles[skeleton.segmentOf[i]! * 3 + kind - JOINT]!;
    step.low[i] = bounds.low[i]! - angle;
    step.high[i] = bounds.high[i]! - angle;
    step.rest[i] = only === null ? fromRest(run, at, i) : 0;
    if (step.bend[i]! < 0) step.bend[i] = 0;
  }
  step.stiffness.set(run.stiffness);
  alongEdges(skeleton, at, bounds, step, run.edges);
}

/** Solves for the step, told in the joints' own angles. */
function solve({ skeleton, step, edges }: Run, damping: number): void {
  solveStep(step, damping);
  fromEdges(skeleton, step, edges);
}

/** Joints turn by no more than this in a round, radians: beyond it the rows say little. */
const LONGEST = 0.4;

/** Takes the step from `at` to `next`; returns the largest change. */
function take(run: Run): number {
  const { skeleton, step, at, next, bounds } = run;
  let most = 0;
  for (let i = 0; i < step.n; i++) most = Math.max(most, Math.abs(step.step[i]!));
  const share = most > LONGEST ? LONGEST / most : 1;
  next.place.set(at.place);
  next.turn.set(at.turn);
  next.angles.set(at.angles);
  for (let i = 0; i < step.n; i++) {
    const kind = skeleton.kindOf[i]!;
    const by = step.step[i]! * share;
    if (kind < TURN) next.place[kind]! += by;
    else if (kind >= JOINT) next.angles[skeleton.segmentOf[i]! * 3 + kind - JOINT]! += by;
  }
  turnHips(next.turn, step.step, share);
  holdSwings(skeleton, next, bounds);
  placeAll(skeleton, next, run.masses, run.nextPlaced);
  return most * share;
}

function turnHips(q: Float64Array, step: Float64Array, share: number): void {
  const x = step[TURN]! * share;
  const y = step[TURN + 1]! * share;
  const z = step[TURN + 2]! * share;
  const size = Math.hypot(x, y, z);
  if (size === 0) return;
  const k = size < 1e-12 ? 0.5 : Math.sin(size / 2) / size;
  const [ax, ay, az, aw] = [x * k, y * k, z * k, Math.cos(size / 2)];
  const [bx = 0, by = 0, bz = 0, bw = 1] = q;
  q[0] = aw * bx + ax * bw + ay * bz - az * by;
  q[1] = aw * by - ax * bz + ay * bw + az * bx;
  q[2] = aw * bz + ax * by - ay * bx + az * bw;
  q[3] = aw * bw - ax * bx - ay * by - az * bz;
  const length = Math.hypot(q[0]!, q[1]!, q[2]!, q[3]!);
  for (let c = 0; c < 4; c++) q[c]! /= length;
}

function accept(run: Run): void {
  [run.at, run.next] = [run.next, run.at];
  [run.placed, run.nextPlaced] = [run.nextPlaced, run.placed];
}

/** Below this nothing is won by going on: radians or metres a round, and share of the cost. */
const SMALL = 5e-4;
const GAIN = 3e-4;

/**
 * Damped rounds until nothing changes any more. A step that does not make things better is tried again
 * with more damping (Levenberg 1944, Marquardt 1963).
 * @param first damping of the first round
 */
export function settle(run: Run, rounds: number, first: number): void {
  let damping = first;
  let raise = 4;
  let now = cost(run, run.at, run.placed);
  let fresh = true;
  for (let round = 0; round < rounds; round++) {
    if (fresh) fill(run, null);
    solve(run, damping);
    const most = take(run);
    const then = cost(run, run.next, run.nextPlaced);
    fresh = then < now;
    if (fresh) {
      const gain = now - then;
      accept(run);
      now = then;
      damping = damping > 1 ? damping / 5 : 0;
      raise = 4;
      if (most < SMALL || gain < GAIN * now) return;
    } else {
      if (most < SMALL) return;
      damping = Math.max(4, damping * raise);
      raise *= 2;
    }
  }
}

/**
 * Moves every aim on by what it is off, so that a pull against it comes out even: of goals against
 * planted points, of the rest against goals (method of multipliers; Hestenes 1969, Powell 1969).
 */
export function lean(run: Run): void {
  let row = 0;
  for (const wish of run.wishes) {
    const size = errorOf(wish, run.placed, error, 0);
    // Beyond the knee a goal pulls as hard as it may already.
    if (size <= wish.knee) for (let k = 0; k < wish.rows; k++) run.shift[row + k]! += error[k]!;
    row += wish.rows;
  }
}

/** The largest error (metres, radians) of some wishes as things stand. */
export const worst = (run: Run, wishes: Iterable<Wish>): number => {
  let most = 0;
  for (const wish of wishes) most = Math.max(most, errorOf(wish, run.placed, error, 0));
  return most;
};

const MET = 1e-7;

/**
 * Meets some wishes to rounding by the smallest change (Newton, with bounds); the others are let be.
 * @returns the largest error that is left; where it could not be made smaller, nothing has changed
 */
export function meet(run: Run, wishes: ReadonlySet<Wish>): number {
  const before = worst(run, wishes);
  if (before <= MET) return before;
  const kept = copyOf(run.at);
  let left = before;
  for (let round = 0; round < 8 && left > MET; round++) {
    fill(run, wishes);
    solve(run, 0);
    take(run);
    accept(run);
    left = worst(run, wishes);
  }
  if (left <= before) return left;
  stand(run, kept);
  return before;
}

/** Goes to where it stood before. */
export function stand(run: Run, where: Coordinates): void {
  run.at = copyOf(where);
  placeAll(run.skeleton, run.at, run.masses, run.placed);
}
