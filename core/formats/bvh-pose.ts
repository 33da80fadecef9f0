import { multiply, rotate } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { add, distance, length } from '../geometry/vec3.ts';
import type { BvhClip, BvhJoint } from './bvh-types.ts';

/**
 * World placement of every joint at a frame (from 0), in the order of the clip's joints, file units.
 * The rule of the format: parent, then the joint's OFFSET, then its position channels, then its
 * rotations in the order of its channels, the first named outermost. Position channels of a joint
 * below the root that repeat its OFFSET (nearer to it than to nothing in the first frame) take its
 * place instead of adding to it, as several exporters mean it.
 */
export function bvhTransforms(clip: BvhClip, frame: number): Transform[] {
  const placed: Transform[] = [];
  const row = frame * clip.channelCount;
  for (const joint of clip.joints) {
    const { move, turn } = channelsAt(clip, joint, row);
    const offset = replacesOffset(clip, joint) ? move : add(joint.offset, move);
    const parent = placed[joint.parent];
    placed.push(
      parent
        ? {
            position: add(parent.position, rotate(parent.rotation, offset)),
            rotation: multiply(parent.rotation, turn),
          }
        : { position: offset, rotation: turn },
    );
  }
  return placed;
}

/** World placement in the clip's zero pose: all channels 0. */
export function bvhRest(clip: BvhClip): Vec3[] {
  const placed: Vec3[] = [];
  for (const joint of clip.joints) {
    placed.push(add(placed[joint.parent] ?? [0, 0, 0], joint.offset));
  }
  return placed;
}

/** World positions by joint name at a frame (from 0), file units; an End Site is `NAME_end`. */
export function bvhJointPositions(clip: BvhClip, frame: number): ReadonlyMap<string, Vec3> {
  const placed = bvhTransforms(clip, frame);
  const positions = new Map<string, Vec3>();
  clip.joints.forEach((joint, i) => {
    const { position, rotation } = placed[i] as Transform;
    positions.set(joint.name, position);
    if (joint.endSite) {
      positions.set(`${joint.name}_end`, add(position, rotate(rotation, joint.endSite)));
    }
  });
  return positions;
}

function channelsAt(clip: BvhClip, joint: BvhJoint, row: number): { move: Vec3; turn: Quat } {
  const move: [number, number, number] = [0, 0, 0];
  let turn: Quat = [0, 0, 0, 1];
  for (let i = 0; i < joint.channels.length; i++) {
    const channel = joint.channels[i] as string;
    const value = clip.values[row + joint.firstChannel + i] as number;
    const axis = channel.charCodeAt(0) - 88; // X, Y, Z
    if (channel.endsWith('position')) {
      move[axis] = value;
      continue;
    }
    const half = (value * Math.PI) / 360;
    const about: [number, number, number, number] = [0, 0, 0, Math.cos(half)];
    about[axis] = Math.sin(half);
    turn = multiply(turn, about);
  }
  return { move, turn };
}

function replacesOffset(clip: BvhClip, joint: BvhJoint): boolean {
  if (joint.parent < 0 || !joint.channels.some((name) => name.endsWith('position'))) return false;
  const { move } = channelsAt(clip, joint, 0);
  return distance(move, joint.offset) < length(move);
}
