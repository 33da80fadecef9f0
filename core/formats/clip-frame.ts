import type { Body, SegmentName } from '../body/types.ts';
import { between, conjugate, multiply, normaliseQuat, rotate, slerp } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { add, cross, distance, dot, normalise, scale, subtract } from '../geometry/vec3.ts';
import type { Pose } from '../pose/types.ts';
import { type ClipMapping, type LimbJoints, middleOf } from './clip-mapping.ts';
import type { ClipMotion } from './clip-motion.ts';

/**
 * How the clip's skeleton lies on ours, in the clip's zero pose: for each segment the turn that brings
 * our rest frame (facing +Z, limbs hanging) onto the clip's. A segment's world turn at a frame is then
 * world · (joint's turn) · align.
 */
export interface ClipRig {
  readonly motion: ClipMotion;
  readonly mapping: ClipMapping;
  /** Metres per file unit. */
  readonly scale: number;
  /** Turns the clip's world so that its up is +Y. */
  readonly world: Quat;
  readonly align: Readonly<Partial<Record<SegmentName, Quat>>>;
  /** Up and forward of the figure in the clip's zero pose. */
  readonly upright: Quat;
}

type Side = 'L' | 'R';
const SIDES = ['L', 'R'] as const;

const snapped = (v: Vec3): Vec3 => {
  const size = v.map(Math.abs) as [number, number, number];
  const axis = size.indexOf(Math.max(...size));
  return [0, 1, 2].map((i) =>
    i === axis ? Math.sign(v[axis] as number) || 1 : 0,
  ) as unknown as Vec3;
};

/** Turn that takes +x to `x` and +y to `y` (unit, square to each other). */
export function fromAxes(x: Vec3, y: Vec3): Quat {
  const toX = between([1, 0, 0], x);
  // What is left after x is in place is a turn about it.
  const yNow = rotate(toX, [0, 1, 0]);
  const angle = Math.atan2(dot(cross(yNow, y), x), dot(yNow, y));
  const half: Quat = [
    x[0] * Math.sin(angle / 2),
    x[1] * Math.sin(angle / 2),
    x[2] * Math.sin(angle / 2),
    Math.cos(angle / 2),
  ];
  return normaliseQuat(multiply(half, toX));
}

/** Lays our skeleton on the clip's zero pose; scale and floor come later. */
export function rigClip(motion: ClipMotion, mapping: ClipMapping): ClipRig {
  const at = (i: number): Vec3 => motion.rest[i] ?? [0, 0, 0];
  const { legs, arms } = mapping;
  const ankles = middleOf(at(legs.L.lower), at(legs.R.lower));
  const hips = middleOf(at(legs.L.upper), at(legs.R.upper));
  const up = snapped(subtract(hips, ankles));
  const aside = subtract(at(legs.L.upper), at(legs.R.upper));
  // Left is square to up even where the two axes of a skewed rest pose are not.
  const left = snapped(subtract(aside, scale(up, dot(aside, up))));
  const upright = fromAxes(left, up);

  const align: Partial<Record<SegmentName, Quat>> = {
    pelvis: upright,
    chest: upright,
    head: upright,
  };
  const down = rotate(upright, [0, -1, 0]);
  const bone = (from: number, to: number): Quat | null =>
    from < 0 || to < 0 || distance(at(from), at(to)) < 1e-4
      ? null
      : multiply(between(down, subtract(at(to), at(from))), upright);
  for (const side of SIDES) {
    const chain = (limb: LimbJoints, names: readonly [SegmentName, SegmentName]): void => {
      align[names[0]] = bone(limb.upper, limb.middle) ?? upright;
      align[names[1]] = bone(limb.middle, limb.lower) ?? align[names[0]] ?? upright;
    };
    chain(legs[side], [`thigh${side}`, `shank${side}`]);
    chain(arms[side], [`upperArm${side}`, `forearm${side}`]);
    const hand = bone(arms[side].lower, arms[side].tip) ?? align[`forearm${side}`];
    if (hand) align[`hand${side}`] = hand;
    // A foot is taken to be flat in the zero pose; only its heading is read (see levelFeet).
    const toe = subtract(
      at(legs[side].tip < 0 ? legs[side].lower : legs[side].tip),
      at(legs[side].lower),
    );
    const level = subtract(toe, scale(up, dot(toe, up)));
    const forward = rotate(upright, [0, 0, 1]);
    const heading = dot(level, level) < 1e-8 ? forward : normalise(level);
    const foot = multiply(between(forward, heading), upright);
    align[`foot${side}`] = foot;
    align[`toes${side}`] = foot;
  }
  return { motion, mapping, scale: 1, world: worldTurn(motion, mapping), align, upright };
}

/** +Y up unless the figure clearly stands along another axis over the clip (a file made with Z up). */
function worldTurn(motion: ClipMotion, mapping: ClipMapping): Quat {
  const sum: [number, number, number] = [0, 0, 0];
  for (const frame of sampleFrames(motion, 20)) {
    const placed = motion.placedAt(frame);
    const place = (i: number): Vec3 => (placed[i] as Transform).position;
    const { L, R } = mapping.legs;
    const way = subtract(
      middleOf(place(L.upper), place(R.upper)),
      middleOf(place(L.lower), place(R.lower)),
    );
    for (const axis of [0, 1, 2] as const) sum[axis] += way[axis];
  }
  const up = snapped(sum);
  const other = Math.abs(sum[up.findIndex((c) => c !== 0)] ?? 0);
  return other > 2 * Math.abs(sum[1]) ? between(up, [0, 1, 0]) : [0, 0, 0, 1];
}

/** Up to `count` frames spread evenly over the clip. */
export function sampleFrames(
  { frameCount }: { readonly frameCount: number },
  count: number,
): number[] {
  const n = Math.min(count, frameCount);
  return Array.from({ length: n }, (_, i) =>
    n === 1 ? 0 : Math.round((i * (frameCount - 1)) / (n - 1)),
  );
}

/** World places of the clip's joints at a frame: metres, +Y up, before any floor is taken off. */
export function jointsAt(rig: ClipRig, frame: number): Transform[] {
  return rig.motion.placedAt(frame).map(({ position, rotation }) => ({
    position: scale(rotate(rig.world, position), rig.scale),
    rotation: multiply(rig.world, rotation),
  }));
}

/** Lengths between joints that a body takes over from the clip, metres or file units as `joints` are. */
export interface ClipLengths {
  readonly hipWidth: number;
  readonly shoulderWidth: number | null;
  /** Middle of the hips to middle of the shoulders, in the zero pose. */
  readonly trunk: number | null;
  readonly thigh: Readonly<Record<Side, number>>;
  readonly shank: Readonly<Record<Side, number>>;
  readonly upperArm: Readonly<Record<Side, number | null>>;
  readonly forearm: Readonly<Record<Side, number | null>>;
}

/** Medians over the clip (bones of some clips stretch a little), file units. */
export function measureClip({ motion, mapping }: ClipRig): ClipLengths {
  const frames = sampleFrames(motion, 40).map((frame) => motion.placedAt(frame));
  const span = (a: number, b: number): number | null =>
    a < 0 || b < 0
      ? null
      : median(
          frames.map((placed) =>
            distance((placed[a] as Transform).position, (placed[b] as Transform).position),
          ),
        );
  const { legs, arms } = mapping;
  const at = (i: number): Vec3 => motion.rest[i] ?? [0, 0, 0];
  const hasArms = arms.L.upper >= 0 && arms.R.upper >= 0;
  return {
    hipWidth: span(legs.L.upper, legs.R.upper) ?? 0,
    shoulderWidth: span(arms.L.upper, arms.R.upper),
    trunk: hasArms
      ? distance(
          middleOf(at(legs.L.upper), at(legs.R.upper)),
          middleOf(at(arms.L.upper), at(arms.R.upper)),
        )
      : null,
    thigh: {
      L: span(legs.L.upper, legs.L.middle) ?? 0,
      R: span(legs.R.upper, legs.R.middle) ?? 0,
    },
    shank: {
      L: span(legs.L.middle, legs.L.lower) ?? 0,
      R: span(legs.R.middle, legs.R.lower) ?? 0,
    },
    upperArm: {
      L: span(arms.L.upper, arms.L.middle),
      R: span(arms.R.upper, arms.R.middle),
    },
    forearm: {
      L: span(arms.L.middle, arms.L.lower),
      R: span(arms.R.middle, arms.R.lower),
    },
  };
}

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  const [low, high] = [sorted[half - 1] ?? 0, sorted[half] ?? 0];
  return sorted.length % 2 === 1 ? high : (low + high) / 2;
};

/** Where the body's chest joint must be so that its shoulders' middle is at the clip's, and the trunk's turns. */
export function trunkAt(
  rig: ClipRig,
  body: Body,
  joints: readonly Transform[],
): { pelvis: Transform; abdomenJoint: Vec3; chestJoint: Vec3 | null; chest: Quat } {
  const { legs, arms, pelvis, chest } = rig.mapping;
  const place = (i: number): Vec3 => (joints[i] as Transform).position;
  const turned = (i: number): Quat => multiply((joints[i] as Transform).rotation, rig.upright);
  const [hipL, hipR] = [place(legs.L.upper), place(legs.R.upper)];
  const coarse = turned(pelvis);
  // The line through the hips is met exactly, so that both legs hang where the clip's do.
  const hips = between(rotate(coarse, [1, 0, 0]), subtract(hipL, hipR));
  const rotation = normaliseQuat(multiply(hips, coarse));
  const position = middleOf(hipL, hipR);
  const chestTurn = turned(chest);
  const hasArms = arms.L.upper >= 0 && arms.R.upper >= 0;
  const shoulder: Vec3 = [0, body.segments.upperArmL.offset[1], 0];
  return {
    pelvis: { position, rotation },
    abdomenJoint: add(position, rotate(rotation, body.segments.abdomen.offset)),
    chestJoint: hasArms
      ? subtract(middleOf(place(arms.L.upper), place(arms.R.upper)), rotate(chestTurn, shoulder))
      : null,
    chest: chestTurn,
  };
}

/** The pose of `body` at a frame, in the clip's own height (floor not taken off). */
export function clipPose(rig: ClipRig, body: Body, frame: number): Pose {
  const joints = jointsAt(rig, frame);
  const { pelvis, abdomenJoint, chestJoint, chest } = trunkAt(rig, body, joints);
  const world = new Map<SegmentName, Quat>([
    ['pelvis', pelvis.rotation],
    ['chest', chest],
  ]);
  const half = slerp(pelvis.rotation, chest, 0.5);
  const along = chestJoint
    ? between(rotate(half, [0, 1, 0]), subtract(chestJoint, abdomenJoint))
    : null;
  world.set('abdomen', along ? multiply(along, half) : half);
  const { mapping, align } = rig;
  const take = (segment: SegmentName, joint: number): void => {
    const turn = align[segment];
    if (joint >= 0 && turn) {
      world.set(segment, multiply((joints[joint] as Transform).rotation, turn));
    }
  };
  take('head', mapping.head);
  for (const side of SIDES) {
    const arm = mapping.arms[side];
    take(`upperArm${side}`, arm.upper);
    take(`forearm${side}`, arm.middle);
    take(`hand${side}`, arm.lower);
    const leg = mapping.legs[side];
    take(`thigh${side}`, leg.upper);
    take(`shank${side}`, leg.middle);
    take(`foot${side}`, leg.lower);
    if (rig.motion.joints[leg.tip]?.turns) take(`toes${side}`, leg.tip);
  }
  const turns: Partial<Record<SegmentName, Quat>> = {};
  for (const { name, parent } of Object.values(body.segments)) {
    const turn = world.get(name);
    if (parent === null || !turn) continue;
    const above = nearestTurn(body, world, parent);
    turns[name] = normaliseQuat(multiply(conjugate(above), turn));
  }
  return { position: pelvis.position, rotation: pelvis.rotation, joints: turns };
}

/** Turn of a segment; one that the clip does not move goes with its parent. */
function nearestTurn(body: Body, world: ReadonlyMap<SegmentName, Quat>, name: SegmentName): Quat {
  for (let at: SegmentName | null = name; at !== null; at = body.segments[at].parent) {
    const turn = world.get(at);
    if (turn) return turn;
  }
  return [0, 0, 0, 1];
}
