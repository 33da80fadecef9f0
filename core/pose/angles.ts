import type { JointLimits, SegmentName } from '../body/types.ts';
import { conjugate, multiply, normaliseQuat } from '../geometry/quat.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { normalise } from '../geometry/vec3.ts';
import { shareBeside, swingShare } from './swing-limits.ts';

/**
 * Turns of a joint as angles a person would say, radians.
 *
 * Every joint turn is parted into a twist about the segment's own upright axis (y) followed by a swing
 * about an axis in the horizontal plane (x, z) of the parent: q = swing · twist. The swing is written as
 * a rotation vector, so its x part is flexion and its z part sideways, each exact when it stands alone,
 * and there is no direction inside half a turn in which the angles flip. Only a swing of half a turn
 * (an arm straight up) has no single answer; flexion and abduction of 180° meet there.
 *
 * Signs (segment groups differ because the body's joints do):
 * - flexion: trunk and head forward; thigh and upper arm forward; shank back (knee bends); forearm
 *   forward (elbow bends); foot up (dorsiflexion); toes up; hand towards its palm.
 * - abduction: limbs away from the body's middle; foot: sole turned outward (eversion); trunk and head:
 *   bent to the figure's own left; hand: towards the thumb.
 * - rotation: limbs outward (external); forearm: palm forward (supination); foot: toes outward; trunk and
 *   head: turned to the figure's own left.
 */
export interface ClinicalAngles {
  readonly flexion: number;
  readonly abduction: number;
  readonly rotation: number;
}

type Component = 'x' | 'y' | 'z';
/** Which component of the turn each angle reads, and its sign on the left side. */
type Reading = Readonly<Record<keyof ClinicalAngles, readonly [Component, 1 | -1]>>;

const TRUNK: Reading = { flexion: ['x', 1], abduction: ['z', -1], rotation: ['y', 1] };
const FORWARD: Reading = { flexion: ['x', -1], abduction: ['z', 1], rotation: ['y', 1] };
const KNEE: Reading = { flexion: ['x', 1], abduction: ['z', 1], rotation: ['y', 1] };
// The palm faces the thigh at rest, so bending towards it is sideways in the body's frame.
const HAND: Reading = { flexion: ['z', -1], abduction: ['x', -1], rotation: ['y', 1] };

function readingOf(segment: SegmentName): Reading {
  if (segment.startsWith('shank')) return KNEE;
  if (segment.startsWith('hand')) return HAND;
  return sideOf(segment) === null ? TRUNK : FORWARD;
}

function sideOf(segment: SegmentName): 'L' | 'R' | null {
  const last = segment.slice(-1);
  return last === 'L' || last === 'R' ? last : null;
}

/** Components of the right side are those of its mirror image: y and z change sign, x does not. */
const mirrorSign = (segment: SegmentName, component: Component): 1 | -1 =>
  sideOf(segment) === 'R' && component !== 'x' ? -1 : 1;

type Components = Readonly<Record<Component, number>>;

/** Swing (x, z) as a rotation vector and twist (y), each within ±π, of q = swing · twist. */
export function swingTwist(q: Quat): Components {
  const sign = q[3] < 0 ? -1 : 1;
  const [x, y, z, w] = [q[0] * sign, q[1] * sign, q[2] * sign, q[3] * sign];
  const n = Math.hypot(y, w);
  // A half-turn swing leaves the twist open; none is the simplest.
  const [ty, tw] = n < 1e-12 ? [0, 1] : [y / n, w / n];
  // swing = q · conjugate(twist): its y part is 0 and its w part is n.
  const sx = x * tw + z * ty;
  const sz = z * tw - x * ty;
  const s = Math.hypot(sx, sz);
  const angle = 2 * Math.atan2(s, n);
  const k = s < 1e-12 ? 2 : angle / s;
  return { x: sx * k, y: 2 * Math.atan2(ty, tw), z: sz * k };
}

/** The turn with these components: inverse of swingTwist. */
export function fromSwingTwist({ x, y, z }: Components): Quat {
  const angle = Math.hypot(x, z);
  const k = angle < 1e-12 ? 0.5 : Math.sin(angle / 2) / angle;
  const swing: Quat = [x * k, 0, z * k, Math.cos(angle / 2)];
  return normaliseQuat(multiply(swing, [0, Math.sin(y / 2), 0, Math.cos(y / 2)]));
}

/** Anatomical angles of the joint above `segment`, radians. */
export function anglesOf(segment: SegmentName, turn: Quat): ClinicalAngles {
  const parts = swingTwist(turn);
  const read = readingOf(segment);
  const value = ([component, sign]: readonly [Component, 1 | -1]): number =>
    // `+ 0` turns -0 into 0, which would be shown as "-0".
    parts[component] * sign * mirrorSign(segment, component) + 0;
  return {
    flexion: value(read.flexion),
    abduction: value(read.abduction),
    rotation: value(read.rotation),
  };
}

/** The turn of the joint above `segment` with these anatomical angles (missing ones are 0), radians. */
export function turnOf(segment: SegmentName, angles: Partial<ClinicalAngles>): Quat {
  const parts = { x: 0, y: 0, z: 0 };
  const read = readingOf(segment);
  for (const name of ['flexion', 'abduction', 'rotation'] as const) {
    const [component, sign] = read[name];
    parts[component] = (angles[name] ?? 0) * sign * mirrorSign(segment, component) + 0;
  }
  return fromSwingTwist(parts);
}

/**
 * The axis about which a joint turns as one of its angles grows and the other two stay, right-handed: a
 * unit vector in the parent's frame.
 */
export function angleAxis(segment: SegmentName, turn: Quat, name: keyof ClinicalAngles): Vec3 {
  const angles = anglesOf(segment, turn);
  const at = (by: number): Quat => turnOf(segment, { ...angles, [name]: angles[name] + by });
  const [x, y, z, w] = multiply(at(STEP), conjugate(at(-STEP)));
  return normalise(w < 0 ? [-x, -y, -z] : [x, y, z]);
}

/** Half of the turn that an axis is read off, radians: small against any joint, large against rounding. */
const STEP = 1e-4;

/**
 * A turn inside the joint's range: each component at the end of its own range at most, and a swing that
 * is still outside the ellipse between them (swing-limits.ts) drawn straight back to it. Unchanged when
 * inside.
 */
export function clampJoint(limits: JointLimits, turn: Quat): Quat {
  const parts = swingTwist(turn);
  const x = clamp(parts.x, limits.x);
  const y = clamp(parts.y, limits.y);
  const z = clamp(parts.z, limits.z);
  const share = swingShare(x, z, limits);
  const back = share > 1 + SLACK ? 1 / share : 1;
  const same = x === parts.x && y === parts.y && z === parts.z && back === 1;
  return same ? turn : fromSwingTwist({ x: x * back, y, z: z * back });
}

const SLACK = 1e-9; // a turn written and read again may be off by rounding

/** Nearest end of the range going round the circle: 175° is 5° short of -180° and far from 60°. */
function clamp(value: number, [low, high]: readonly [number, number]): number {
  if (value >= low - SLACK && value <= high + SLACK) return value;
  const away = (end: number): number =>
    Math.abs(Math.atan2(Math.sin(value - end), Math.cos(value - end)));
  return away(low) <= away(high) ? low : high;
}

/**
 * Range of one anatomical angle of a joint, radians, low to high.
 * @param beside what the joint's other angles are: of a swing the further one is bent, the less the other
 *   may be; left out, they are 0
 */
export function angleRange(
  segment: SegmentName,
  limits: JointLimits,
  angle: keyof ClinicalAngles,
  beside?: Quat,
): readonly [min: number, max: number] {
  const [component, sign] = readingOf(segment)[angle];
  const s = sign * mirrorSign(segment, component);
  const other = component === 'x' ? 'z' : 'x';
  const part =
    beside === undefined || component === 'y'
      ? 1
      : shareBeside(swingTwist(beside)[other], other, limits);
  const [low, high] = limits[component];
  return s === 1 ? [low * part, high * part] : [0 - high * part, 0 - low * part];
}
