import {
  buildBody,
  type JointLimits,
  SEGMENTS,
  type SegmentName,
} from '../../../../core/body/index.ts';
import {
  add,
  conjugate,
  length,
  multiply,
  type Quat,
  scale,
  subtract,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import {
  clampJoint,
  fromSwingTwist,
  type Planted,
  type Pose,
  palmLocal,
  pointOn,
  poseFigure,
  poseFromAngles,
  restPose,
  swingTwist,
} from '../../../../core/pose/index.ts';

export const body = buildBody({ table: 'deleva-female', stature: 1.66, mass: 60 });

/** What can be taken hold of: segment and point. */
export const HANDLES: readonly { readonly segment: SegmentName; readonly point: Vec3 }[] = [
  { segment: 'handL', point: palmLocal(body, 'L') },
  { segment: 'handR', point: palmLocal(body, 'R') },
  { segment: 'forearmL', point: [0, 0, 0] },
  { segment: 'shankR', point: [0, 0, 0] },
  { segment: 'pelvis', point: [0, 0, 0] },
  { segment: 'chest', point: [0, 0.1, 0] },
  { segment: 'head', point: [0, 0.12, 0] },
];

export const SOLES: readonly Planted[] = [
  { segment: 'footL', turn: true },
  { segment: 'footR', turn: true },
];

/** Standing, a half crouch, and a stride: poses that a drag may begin with. */
export const STARTS: readonly Pose[] = [
  restPose(body),
  poseFromAngles(
    {
      thigh: { flexion: 40, abduction: 6 },
      shank: { flexion: 60 },
      foot: { flexion: 20 },
      abdomen: { flexion: 10 },
      upperArm: { flexion: 20, abduction: 10 },
      forearm: { flexion: 50 },
    },
    body,
  ),
  poseFromAngles(
    {
      thighL: { flexion: 25 },
      shankL: { flexion: 15 },
      footL: { flexion: -5 },
      thighR: { flexion: -12 },
      shankR: { flexion: 10 },
      footR: { flexion: 18 },
      chest: { rotation: 10 },
    },
    body,
  ),
];

/** Angle between two turns, radians; exact where it is small, too. */
export const away = (a: Quat, b: Quat): number => {
  const c = a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3];
  const [x, y, z] = multiply(a, conjugate(b));
  return 2 * Math.atan2(Math.hypot(x, y, z), Math.abs(c));
};

const ORIGIN: Vec3 = [0, 0, 0];

/**
 * The place of a handle moved by `move`. Above a planted foot a knee can only go round the ankle: its
 * place is put back on that sphere.
 */
export function movedBy(start: Pose, handle: (typeof HANDLES)[number], move: Vec3): Vec3 {
  const posed = poseFigure(body, start);
  const target = add(pointOn(posed, handle.segment, handle.point), move);
  if (handle.segment !== 'shankR') return target;
  const ankle = posed.segments.footR.position;
  const out = subtract(target, ankle);
  return add(ankle, scale(out, length(body.segments.footR.offset) / length(out)));
}

/** How far planted segments have moved: metres and radians. */
export function torn(
  before: Pose,
  after: Pose,
  planted: readonly Planted[],
): { metres: number; radians: number } {
  const a = poseFigure(body, before);
  const b = poseFigure(body, after);
  let metres = 0;
  let radians = 0;
  for (const { segment, point, turn } of planted) {
    const p = pointOn(a, segment, point ?? ORIGIN);
    const q = pointOn(b, segment, point ?? ORIGIN);
    metres = Math.max(metres, Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]));
    if (turn)
      radians = Math.max(radians, away(a.segments[segment].rotation, b.segments[segment].rotation));
  }
  return { metres, radians };
}

/**
 * By how much joints are out of their ranges, radians, or out of the ellipse of their swing, as a share of
 * it (0 inside); joints out before may stay so.
 */
export function outOfRange(pose: Pose, before: Pose): number {
  let most = 0;
  for (const segment of SEGMENTS) {
    if (segment === 'pelvis') continue;
    const turn = pose.joints[segment];
    if (turn === undefined) continue;
    const was = swingTwist(before.joints[segment] ?? [0, 0, 0, 1]);
    const is = swingTwist(turn);
    for (const axis of ['x', 'y', 'z'] as const) {
      const [low, high] = body.segments[segment].limits[axis];
      most = Math.max(
        most,
        Math.min(low, was[axis]) - is[axis],
        is[axis] - Math.max(high, was[axis]),
      );
    }
    const { limits } = body.segments[segment];
    most = Math.max(most, ellipse(is, limits) - Math.max(1, ellipse(was, limits)));
  }
  return most;
}

/** How far out a swing is between its ranges, 1 on the edge; written again, apart from the core's. */
export function ellipse({ x, z }: { x: number; z: number }, limits: JointLimits): number {
  const part = (value: number, [low, high]: readonly [number, number]): number =>
    Math.abs(value) < 1e-9 ? 0 : (value / (value > 0 ? high : low)) ** 2;
  const [a, b] = [part(x, limits.x), part(z, limits.z)];
  return Math.sqrt(limits.apart ? Math.max(a, b) : a + b);
}

/** A turn inside a joint's range, each component drawn for itself. */
export function randomTurn(segment: SegmentName, next: () => number, share = 1): Quat {
  const { limits } = body.segments[segment];
  const draw = ([low, high]: readonly [number, number]): number => {
    const middle = Math.min(high, Math.max(low, 0));
    return (low + (high - low) * next()) * share + middle * (1 - share);
  };
  let parts = { x: draw(limits.x), y: draw(limits.y), z: draw(limits.z) };
  const size = Math.hypot(parts.x, parts.z);
  if (size > 3) parts = { ...parts, x: (parts.x * 3) / size, z: (parts.z * 3) / size };
  return clampJoint(limits, fromSwingTwist(parts));
}
