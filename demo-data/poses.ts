import { type Body, type BodySpec, buildBody, type SegmentName } from '../core/body/index.ts';
import {
  conjugate,
  fromAxisAngle,
  multiply,
  type Quat,
  rotate,
  type Vec3,
} from '../core/geometry/index.ts';
import {
  angleRange,
  type ClinicalAngles,
  type Pose,
  type PoseAngles,
  type PosedFigure,
  poseFigure,
  poseFromAngles,
} from '../core/pose/index.ts';

/**
 * Poses of the demo: angles a person would say, and a few of them found so that a hand, a foot or
 * the plumb line lands where the shot wants it.
 */
type Side = 'L' | 'R';

export interface Stance {
  readonly body: BodySpec;
  /** Degrees, by anatomical name. */
  readonly angles: PoseAngles;
  /** Feet whose soles are turned level (in the order given), with toes turned out by `turnOut` degrees. */
  readonly level?: readonly Side[];
  readonly turnOut?: number;
  /** Which ankle stands at `at`; both: their midpoint. */
  readonly anchor?: Side | 'both';
  /** Where it stands: x, height of the sole, z; metres. The origin if left out. */
  readonly at?: Vec3;
  /** Degrees by which the whole figure is turned to its left about the vertical. */
  readonly turn?: number;
  /** The ground falls away before it by degrees: the soles lie on the slope. */
  readonly downhill?: number;
  /** Leans the whole figure over by degrees about its own forward axis (positive: to its right). */
  readonly roll?: number;
}

const DEGREE = Math.PI / 180;
const UP: Vec3 = [0, 1, 0];
const FORWARD: Vec3 = [0, 0, 1];
const RIGHT: Vec3 = [1, 0, 0];

export const turned = (degrees: number, axis: Vec3 = UP): Quat =>
  fromAxisAngle(axis, degrees * DEGREE);

/** The pose of a stance in the world. */
export function poseOf(stance: Stance): Pose {
  const body = buildBody(stance.body);
  const { level = ['L', 'R'], anchor = 'both', at = [0, 0, 0] } = stance;
  const raw = poseFromAngles(stance.angles);
  const whole = multiply(turned(stance.turn ?? 0), turned(stance.roll ?? 0, FORWARD));
  let pose: Pose = { ...raw, rotation: multiply(whole, raw.rotation) };
  pose = levelled(body, pose, level, stance);
  const { footL, footR } = poseFigure(body, pose).segments;
  const share = anchor === 'both' ? 0.5 : anchor === 'L' ? 1 : 0;
  const now = [0, 1, 2].map(
    (i) => (footL.position[i] as number) * share + (footR.position[i] as number) * (1 - share),
  );
  const sole = -(body.patches.soleL.outline[0] as Vec3)[1];
  const up = rotate(slope(stance), [0, sole, 0]);
  return {
    ...pose,
    position: [
      at[0] + up[0] - (now[0] as number),
      at[1] + up[1] - (now[1] as number),
      at[2] + up[2] - (now[2] as number),
    ],
  };
}

/** How the ground under a stance is turned. */
const slope = ({ downhill = 0, turn = 0 }: Stance): Quat =>
  multiply(turned(turn), multiply(turned(downhill, RIGHT), turned(-turn)));

function levelled(body: Body, pose: Pose, sides: readonly Side[], stance: Stance): Pose {
  const joints: Record<string, Quat> = { ...(pose.joints as Record<string, Quat>) };
  const { segments } = poseFigure(body, pose);
  for (const side of sides) {
    const out = (stance.turnOut ?? 0) * (side === 'L' ? 1 : -1);
    const flat = multiply(slope(stance), turned((stance.turn ?? 0) + out));
    joints[`foot${side}`] = multiply(conjugate(segments[`shank${side}`].rotation), flat);
  }
  return { ...pose, joints };
}

/** An angle to be found: a joint's, or the lean of the legs, the tilt of the trunk. */
export type Unknown = 'lean' | 'trunk' | readonly [SegmentName, keyof ClinicalAngles];

/** What is wrong with a pose still, in metres; all zero when it is as wanted. */
export type Wish = (posed: PosedFigure) => readonly number[];

/** The point `local` of a segment is at `target`. */
export const placed =
  (segment: SegmentName, local: Vec3, target: Vec3): Wish =>
  (posed) => {
    const at = pointOf(posed, segment, local);
    return [at[0] - target[0], at[1] - target[1], at[2] - target[2]];
  };

export function pointOf(posed: PosedFigure, segment: SegmentName, local: Vec3): Vec3 {
  const { position, rotation } = posed.segments[segment];
  const [x, y, z] = rotate(rotation, local);
  return [position[0] + x, position[1] + y, position[2] + z];
}

/** Middle of the fist: where something thin is gripped, in the hand's frame. */
export const fist = (body: BodySpec, share = 0.42): Vec3 => [
  0,
  buildBody(body).segments.handL.end[1] * share,
  0,
];

const MAX_ROUNDS = 200;
const CLOSE = 2e-4;
const STEP = 0.05;

/**
 * Finds the unknown angles by damped least squares (Levenberg 1944), starting from the stance, within
 * the joints' ranges, and returns the stance with them. Throws when the wish cannot be met to 0.2 mm.
 */
export function settle(stance: Stance, unknowns: readonly Unknown[], ...wishes: Wish[]): Stance {
  const body = buildBody(stance.body);
  const wrong = (s: Stance): number[] => {
    const posed = poseFigure(body, poseOf(s));
    return wishes.flatMap((wish) => [...wish(posed)]);
  };
  let best = stance;
  let error = wrong(best);
  let damping = 1e-4;
  for (let round = 0; round < MAX_ROUNDS && norm(error) > CLOSE; round++) {
    const columns = unknowns.map((unknown) => {
      const moved = wrong(withAngle(best, body, unknown, angleOf(best, unknown) + STEP));
      return moved.map((value, i) => (value - (error[i] as number)) / STEP);
    });
    const step = dampedStep(columns, error, damping);
    const next = unknowns.reduce(
      (s, unknown, i) => withAngle(s, body, unknown, angleOf(s, unknown) + (step[i] as number)),
      best,
    );
    const left = wrong(next);
    if (norm(left) < norm(error)) {
      [best, error, damping] = [next, left, damping / 3];
    } else damping *= 4;
  }
  if (norm(error) > CLOSE) {
    const left = error.map((value) => Math.round(value * 1000)).join(', ');
    throw new RangeError(`this pose cannot be reached; millimetres left: ${left}`);
  }
  return best;
}

const norm = (values: readonly number[]): number => Math.hypot(...values);

function angleOf({ angles }: Stance, unknown: Unknown): number {
  if (typeof unknown === 'string') return angles[unknown] ?? 0;
  const [segment, name] = unknown;
  const paired = segment.slice(0, -1) as 'thigh';
  return (angles[segment] ?? angles[paired])?.[name] ?? 0;
}

function withAngle(stance: Stance, body: Body, unknown: Unknown, degrees: number): Stance {
  if (typeof unknown === 'string')
    return { ...stance, angles: { ...stance.angles, [unknown]: degrees } };
  const [segment, name] = unknown;
  const paired = segment.slice(0, -1) as 'thigh';
  const before = stance.angles[segment] ?? stance.angles[paired] ?? {};
  const [low, high] = angleRange(segment, body.segments[segment].limits, name);
  const kept = Math.min(high / DEGREE, Math.max(low / DEGREE, degrees));
  return { ...stance, angles: { ...stance.angles, [segment]: { ...before, [name]: kept } } };
}

/** Solves (JJt + damping) y = error for the step -Jt y; J has one column an unknown. */
function dampedStep(
  columns: readonly (readonly number[])[],
  error: readonly number[],
  damping: number,
): number[] {
  const n = error.length;
  const rows = error.map((value, i) => {
    const row = Array.from({ length: n }, (_, j) =>
      columns.reduce(
        (sum, c) => sum + (c[i] as number) * (c[j] as number),
        i === j ? damping * 1e-2 : 0,
      ),
    );
    return [...row, value];
  });
  for (let i = 0; i < n; i++) {
    const pivot = rows.reduce(
      (top, row, k) =>
        k >= i && Math.abs(row[i] as number) > Math.abs(rows[top]?.[i] as number) ? k : top,
      i,
    );
    [rows[i], rows[pivot]] = [rows[pivot] as number[], rows[i] as number[]];
    const head = rows[i] as number[];
    for (let k = 0; k < n; k++) {
      if (k === i) continue;
      const row = rows[k] as number[];
      const factor = (row[i] as number) / (head[i] as number);
      for (let j = i; j <= n; j++) row[j] = (row[j] as number) - factor * (head[j] as number);
    }
  }
  const y = rows.map((row, i) => (row[n] as number) / (row[i] as number));
  return columns.map((c) => -c.reduce((sum, value, i) => sum + value * (y[i] as number), 0));
}

/** The angles by which an arm reaches: three at the shoulder, one at the elbow. */
export const armOf = (side: Side): Unknown[] => [
  [`upperArm${side}`, 'flexion'],
  [`upperArm${side}`, 'abduction'],
  [`upperArm${side}`, 'rotation'],
  [`forearm${side}`, 'flexion'],
];

/** The angles by which a leg reaches in its own plane and sideways. */
export const legOf = (side: Side): Unknown[] => [
  [`thigh${side}`, 'flexion'],
  [`thigh${side}`, 'abduction'],
  [`shank${side}`, 'flexion'],
];

/** The stance moved in plan, soles at their height, until its centre is over (x, z). */
export function centredOver(stance: Stance, x: number, z: number): Stance {
  const { centre } = poseFigure(buildBody(stance.body), poseOf(stance));
  const [atX, atY, atZ] = stance.at ?? [0, 0, 0];
  return { ...stance, at: [atX + x - centre[0], atY, atZ + z - centre[2]] };
}

/** A figure's point in the world. */
export const worldPoint = (stance: Stance, segment: SegmentName, local: Vec3): Vec3 =>
  pointOf(poseFigure(buildBody(stance.body), poseOf(stance)), segment, local);
