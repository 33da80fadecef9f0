import type { Body, SegmentName } from '../body/types.ts';
import { between, conjugate, IDENTITY, multiply, rotate, slerp } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { add, distance, subtract } from '../geometry/vec3.ts';
import { clamp, clampJoint, fromSwingTwist, swingTwist } from './angles.ts';
import { setJoint } from './edit-pose.ts';
import { type LegSpan, nearestHips } from './nearest-hips.ts';
import { palmLocal, pointOn, poseFigure } from './pose-figure.ts';
import { type Limb, solveLimb, spanRange } from './two-bone.ts';
import type { Pose, PosedFigure } from './types.ts';

export const REACHABLE = [
  'handL',
  'handR',
  'footL',
  'footR',
  'pelvis',
  'head',
  'chest',
] as const satisfies readonly SegmentName[];
export type Reachable = (typeof REACHABLE)[number];

export interface ReachGoal {
  readonly segment: Reachable;
  /** World place for the segment's joint (ankle, mid-hip, neck, chest joint); for a hand the palm's middle. Metres. */
  readonly target: Vec3;
  /** Feet whose place and turn in the world are kept while the pelvis moves. */
  readonly planted: readonly ('L' | 'R')[];
  /** World turn that the segment shall have; left out, see reach. */
  readonly rotation?: Quat;
}

export interface ReachResult {
  readonly pose: Pose;
  /** The target was met: 0.1 mm for hands, feet and hips, 5 mm for head and chest. */
  readonly reached: boolean;
}

type Side = 'L' | 'R';
const sideOf = (segment: SegmentName): Side => (segment.endsWith('L') ? 'L' : 'R');
const arm = (side: Side): Limb => ({ upper: `upperArm${side}`, lower: `forearm${side}` });
const leg = (side: Side): Limb => ({ upper: `thigh${side}`, lower: `shank${side}` });

/** Where a reachable segment is now: what a grab takes hold of, metres. */
export function grabPoint(posed: PosedFigure, segment: Reachable): Vec3 {
  return segment === 'handL' || segment === 'handR'
    ? pointOn(posed, segment, palmLocal(posed.body, sideOf(segment)))
    : posed.segments[segment].position;
}

/**
 * Brings one segment to a place in the world. Lengths never change; elbows and knees keep their swivel
 * and bend their own way; a target where the segment already is gives the same pose back; one out of
 * reach is stretched towards, with reached: false.
 *
 * - hand: arm only. The wrist keeps its turn against the forearm unless `rotation` is given.
 * - foot: leg only. The foot keeps its turn in the world as far as the ankle allows.
 * - pelvis: the whole figure moves; planted feet keep place and turn to rounding (their hips and ankles
 *   may leave their ranges for it). The hips stop where a planted leg is straight or folded, at the
 *   nearest place to the target.
 * - chest, head: the trunk bends towards the target at the abdomen (chest) or at abdomen and chest in
 *   equal shares (head); the joint above bends on by a third, as a back does. Joint ranges hold.
 */
export function reach(body: Body, pose: Pose, goal: ReachGoal): ReachResult {
  const posed = poseFigure(body, pose);
  const at = grabPoint(posed, goal.segment);
  const turned = goal.rotation && !sameTurn(goal.rotation, posed.segments[goal.segment].rotation);
  if (distance(at, goal.target) < 1e-9 && !turned) return { pose, reached: true };
  switch (goal.segment) {
    case 'handL':
    case 'handR':
      return reachHand(posed, pose, goal, sideOf(goal.segment));
    case 'footL':
    case 'footR':
      return reachFoot(posed, pose, goal, sideOf(goal.segment));
    case 'pelvis':
      return reachPelvis(posed, pose, goal);
    default:
      return bendTrunk(posed, pose, goal, goal.segment);
  }
}

const REACHED = 1e-4;

const sameTurn = (a: Quat, b: Quat): boolean =>
  Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3]) > 1 - 1e-12;

const turnIn = (pose: Pose, segment: SegmentName): Quat =>
  segment === 'pelvis' ? pose.rotation : (pose.joints[segment] ?? IDENTITY);

const result = (body: Body, pose: Pose, goal: ReachGoal, tolerance = REACHED): ReachResult => ({
  pose,
  reached: distance(grabPoint(poseFigure(body, pose), goal.segment), goal.target) <= tolerance,
});

/** Holds the swing of a limb's upper joint in its range; its twist is left, as it only follows. */
function swingInRange(body: Body, segment: SegmentName, turn: Quat, before: Quat): Quat {
  const { limits } = body.segments[segment];
  const was = swingTwist(before);
  const is = swingTwist(turn);
  // A joint that was out of range before (an imported pose) is not pulled in by a reach.
  const x = clamp(was.x, limits.x) === was.x ? clamp(is.x, limits.x) : is.x;
  const z = clamp(was.z, limits.z) === was.z ? clamp(is.z, limits.z) : is.z;
  return x === is.x && z === is.z ? turn : fromSwingTwist({ x, y: is.y, z });
}

function reachHand(posed: PosedFigure, pose: Pose, goal: ReachGoal, side: Side): ReachResult {
  const { body, segments } = posed;
  const limb = arm(side);
  const hand = `hand${side}` as const;
  const wrist = body.segments[hand].offset;
  const palm = palmLocal(body, side);
  const { rotation } = goal;
  const turns = solveLimb(body, limb, {
    parent: segments.chest,
    upperWorld: segments[limb.upper].rotation,
    lowerTurn: turnIn(pose, limb.lower),
    tip: rotation ? wrist : add(wrist, rotate(turnIn(pose, hand), palm)),
    target: rotation ? subtract(goal.target, rotate(rotation, palm)) : goal.target,
  });
  const upper = swingInRange(body, limb.upper, turns.upperTurn, turnIn(pose, limb.upper));
  let next = setJoint(setJoint(pose, limb.upper, upper), limb.lower, turns.lowerTurn);
  if (rotation) {
    const forearm = multiply(multiply(segments.chest.rotation, upper), turns.lowerTurn);
    // The hand's turn about the forearm's length belongs to the forearm (a wrist cannot twist), which
    // leaves the wrist where it is: turn = twist · swing, from swing · twist of the inverse.
    const inverse = swingTwist(conjugate(multiply(conjugate(forearm), rotation)));
    const twist = conjugate(fromSwingTwist({ x: 0, y: inverse.y, z: 0 }));
    const swing = conjugate(fromSwingTwist({ x: inverse.x, y: 0, z: inverse.z }));
    const { limits } = body.segments[limb.lower];
    next = setJoint(next, limb.lower, clampJoint(limits, multiply(turns.lowerTurn, twist)));
    next = setJoint(next, hand, clampJoint(body.segments[hand].limits, swing));
  }
  return result(body, next, goal);
}

function reachFoot(posed: PosedFigure, pose: Pose, goal: ReachGoal, side: Side): ReachResult {
  const { body, segments } = posed;
  const limb = leg(side);
  const foot = `foot${side}` as const;
  const turns = solveLimb(body, limb, {
    parent: segments.pelvis,
    upperWorld: segments[limb.upper].rotation,
    lowerTurn: turnIn(pose, limb.lower),
    tip: body.segments[foot].offset,
    target: goal.target,
  });
  const upper = swingInRange(body, limb.upper, turns.upperTurn, turnIn(pose, limb.upper));
  const shank = multiply(multiply(segments.pelvis.rotation, upper), turns.lowerTurn);
  const kept = multiply(conjugate(shank), goal.rotation ?? segments[foot].rotation);
  const inRange = clampJoint(body.segments[foot].limits, turnIn(pose, foot)) === turnIn(pose, foot);
  const ankle = inRange ? clampJoint(body.segments[foot].limits, kept) : kept;
  const next = setJoint(setJoint(pose, limb.upper, upper), limb.lower, turns.lowerTurn);
  return result(body, setJoint(next, foot, ankle), goal);
}

function reachPelvis(posed: PosedFigure, pose: Pose, goal: ReachGoal): ReachResult {
  const { body, segments } = posed;
  const from = pose.rotation;
  const to = goal.rotation ?? from;
  const spans = (rotation: Quat): LegSpan[] =>
    goal.planted.map((side) => {
      const limb = leg(side);
      const tip = body.segments[`foot${side}`].offset;
      const [shortest, longest] = spanRange(body, limb, turnIn(pose, limb.lower), tip);
      // Hips may be where the leg spans the way from its hip joint to the ankle that stays.
      const hip = rotate(rotation, body.segments[limb.upper].offset);
      return { centre: subtract(segments[`foot${side}`].position, hip), shortest, longest };
    });
  // The wanted turn may leave no place for the hips (feet far apart): then as much of it as does.
  let share = 1;
  let position = nearestHips(spans(to), goal.target, pose.position);
  for (let step = 0; step < 20 && position === null; step++) {
    share /= 2;
    position = nearestHips(spans(slerp(from, to, share)), goal.target, pose.position);
  }
  if (position === null) return { pose, reached: false };
  const rotation = share === 1 ? to : slerp(from, to, share);
  let next: Pose = { ...pose, position, rotation };
  const parent: Transform = { position, rotation };
  for (const side of goal.planted) {
    const limb = leg(side);
    const foot = `foot${side}` as const;
    const turns = solveLimb(body, limb, {
      parent,
      upperWorld: segments[limb.upper].rotation,
      lowerTurn: turnIn(pose, limb.lower),
      tip: body.segments[foot].offset,
      target: segments[foot].position,
    });
    next = setJoint(setJoint(next, limb.upper, turns.upperTurn), limb.lower, turns.lowerTurn);
    next = setJoint(next, foot, multiply(conjugate(turns.lowerWorld), segments[foot].rotation));
  }
  const { reached } = result(body, next, goal);
  return { pose: next, reached: reached && share === 1 };
}

/** Share of the trunk's bend by which the joint above it bends on (ours; a back has no hinge). */
const FOLLOW = 1 / 3;
const BEND_STEPS = 16;

function bendTrunk(
  posed: PosedFigure,
  pose: Pose,
  goal: ReachGoal,
  segment: 'head' | 'chest',
): ReachResult {
  const { body } = posed;
  const bending: readonly SegmentName[] = segment === 'head' ? ['abdomen', 'chest'] : ['abdomen'];
  let next = pose;
  // Each pass points the chain at the target and gives every joint an equal share of that turn. What
  // is left (a joint at its limit, the upper joint's shorter lever) the next pass shares out again.
  for (let pass = 0; pass < BEND_STEPS; pass++) {
    const start = poseFigure(body, next);
    const base = start.segments.abdomen.position;
    const swing = between(
      subtract(start.segments[segment].position, base),
      subtract(goal.target, base),
    );
    const part = slerp(IDENTITY, swing, 1 / bending.length);
    for (const name of bending) {
      next = turnInWorld(body, next, poseFigure(body, next), name, part);
    }
  }
  if (goal.rotation) {
    const now = poseFigure(body, next);
    const part = multiply(goal.rotation, conjugate(now.segments[segment].rotation));
    next = turnInWorld(body, next, now, segment, part);
  } else {
    const now = poseFigure(body, next);
    const last = bending[bending.length - 1] as SegmentName;
    const bent = multiply(now.segments[last].rotation, conjugate(posed.segments[last].rotation));
    next = turnInWorld(body, next, now, segment, slerp(IDENTITY, bent, FOLLOW));
  }
  return result(body, next, goal, 5e-3);
}

/** Turns a segment by a world turn about its own joint, within the joint's range. */
function turnInWorld(
  body: Body,
  pose: Pose,
  now: PosedFigure,
  segment: SegmentName,
  part: Quat,
): Pose {
  const parent = body.segments[segment].parent as SegmentName;
  const world = multiply(part, now.segments[segment].rotation);
  const turn = multiply(conjugate(now.segments[parent].rotation), world);
  return setJoint(pose, segment, clampJoint(body.segments[segment].limits, turn));
}
