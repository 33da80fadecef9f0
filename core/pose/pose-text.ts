import { SEGMENTS, type SegmentName } from '../body/types.ts';
import { normaliseQuat } from '../geometry/quat.ts';
import type { Quat } from '../geometry/types.ts';
import type { JointName } from './edit-pose.ts';
import type { Pose } from './types.ts';

/** A pose or a part of one as it goes over the clipboard: turns by joint, no place. */
export interface PosePart {
  readonly joints: Readonly<Partial<Record<JointName, Quat>>>;
  /** Turn of the hips in the world; only of a whole pose. */
  readonly rotation?: Quat;
}

const KIND = 'counterlean pose';

/** A pose, or only some of its joints, as JSON. Joints at rest are written too, so that pasting rests them. */
export function poseText(pose: Pose, only?: readonly JointName[]): string {
  const names = only ?? SEGMENTS.filter((name): name is JointName => name !== 'pelvis');
  const joints = Object.fromEntries(names.map((name) => [name, pose.joints[name] ?? REST]));
  const whole = only === undefined ? { rotation: pose.rotation } : {};
  return JSON.stringify({ kind: KIND, ...whole, joints });
}

const REST: Quat = [0, 0, 0, 1];

/** Reads what `poseText` wrote; null for any other text. Turns are made unit, unknown joints left out. */
export function readPoseText(text: string): PosePart | null {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return null;
  }
  if (!isRecord(data) || data.kind !== KIND || !isRecord(data.joints)) return null;
  const joints: Partial<Record<SegmentName, Quat>> = {};
  for (const name of SEGMENTS) {
    const turn = asTurn(data.joints[name]);
    if (name !== 'pelvis' && turn !== null) joints[name] = turn;
  }
  const rotation = asTurn(data.rotation);
  if (Object.keys(joints).length === 0) return null;
  return rotation === null ? { joints } : { joints, rotation };
}

/** The pose with a part's joints; its place stays. */
export const withPart = (pose: Pose, { joints }: PosePart): Pose => ({
  ...pose,
  joints: { ...pose.joints, ...joints },
});

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function asTurn(value: unknown): Quat | null {
  if (!Array.isArray(value) || value.length !== 4) return null;
  const numbers = value.filter((part): part is number => Number.isFinite(part));
  const [x = 0, y = 0, z = 0, w = 0] = numbers;
  return numbers.length < 4 || Math.hypot(x, y, z, w) < 1e-6 ? null : normaliseQuat([x, y, z, w]);
}
