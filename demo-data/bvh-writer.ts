import { type Body, SEGMENTS, type SegmentName } from '../core/body/index.ts';
import { IDENTITY, type Quat, type Vec3 } from '../core/geometry/index.ts';
import type { Pose } from '../core/pose/index.ts';

/** Names that people know from recorded clips, so that ours reads like one. */
const NAMES: Readonly<Record<SegmentName, string>> = {
  pelvis: 'Hips',
  abdomen: 'Spine',
  chest: 'Chest',
  head: 'Head',
  upperArmL: 'LeftArm',
  forearmL: 'LeftForeArm',
  handL: 'LeftHand',
  upperArmR: 'RightArm',
  forearmR: 'RightForeArm',
  handR: 'RightHand',
  thighL: 'LeftUpLeg',
  shankL: 'LeftLeg',
  footL: 'LeftFoot',
  toesL: 'LeftToeBase',
  thighR: 'RightUpLeg',
  shankR: 'RightLeg',
  footR: 'RightFoot',
  toesR: 'RightToeBase',
};

const CM = 100;
const fixed = (value: number, digits = 4): string => (value + 0).toFixed(digits);

/** Writes poses of one body as a BVH clip: centimetres, degrees, channels Z X Y as is common. */
export function writeBvh(body: Body, poses: readonly Pose[], rate: number): string {
  const order: SegmentName[] = [];
  const lines = ['HIERARCHY', ...joint(body, 'pelvis', '', order), 'MOTION'];
  lines.push(`Frames: ${poses.length}`, `Frame Time: ${(1 / rate).toFixed(8)}`);
  for (const pose of poses) {
    const values = order.flatMap((segment) =>
      segment === 'pelvis'
        ? [...pose.position.map((metres) => metres * CM), ...eulerZxy(pose.rotation)]
        : eulerZxy(pose.joints[segment] ?? IDENTITY),
    );
    lines.push(values.map((value) => fixed(value)).join(' '));
  }
  return `${lines.join('\n')}\n`;
}

const offset = ([x, y, z]: Vec3): string =>
  `OFFSET ${fixed(x * CM)} ${fixed(y * CM)} ${fixed(z * CM)}`;

/** A joint with everything below it; `order` collects the joints in the order of their channels. */
function joint(body: Body, name: SegmentName, indent: string, order: SegmentName[]): string[] {
  order.push(name);
  const { parent, offset: from, end } = body.segments[name];
  const inner = `${indent}  `;
  const children = SEGMENTS.filter((child) => body.segments[child].parent === name);
  const channels =
    parent === null
      ? '6 Xposition Yposition Zposition Zrotation Xrotation Yrotation'
      : '3 Zrotation Xrotation Yrotation';
  return [
    `${indent}${parent === null ? 'ROOT' : 'JOINT'} ${NAMES[name]}`,
    `${indent}{`,
    `${inner}${offset(from)}`,
    `${inner}CHANNELS ${channels}`,
    ...(children.length > 0
      ? children.flatMap((child) => joint(body, child, inner, order))
      : [`${inner}End Site`, `${inner}{`, `${inner}  ${offset(end)}`, `${inner}}`]),
    `${indent}}`,
  ];
}

/** Angles a, b, c in degrees with R = Rz(a) Rx(b) Ry(c). */
function eulerZxy([x, y, z, w]: Quat): number[] {
  const sine = Math.min(1, Math.max(-1, 2 * (y * z + w * x)));
  const a = Math.atan2(-2 * (x * y - w * z), 1 - 2 * (x * x + z * z));
  const c = Math.atan2(-2 * (x * z - w * y), 1 - 2 * (x * x + y * y));
  return [a, Math.asin(sine), c].map((radians) => (radians * 180) / Math.PI);
}
