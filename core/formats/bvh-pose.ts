import { multiply, rotate } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import { add, distance, length } from '../geometry/vec3.ts';
import { BVH_CHANNELS, type BvhClip, type BvhJoint } from './bvh-types.ts';

/**
 * World placement of every joint at a frame (from 0), in the order of the clip's joints, file units.
 * The rule of the format: parent, then the joint's OFFSET, then its position channels, then its
 * rotations in the order of its channels, the first named outermost. Position channels of a joint
 * below the root that repeat its OFFSET (nearer to it than to nothing in the first frame) take its
 * place instead of adding to it, as several exporters mean it.
 */
export function bvhTransforms(clip: BvhClip, frame: number): Transform[] {
  const program = programOf(clip);
  const placed: Transform[] = [];
  const row = frame * clip.channelCount;
  for (const joint of clip.joints) {
    const { move, turn } = channelsAt(clip, program.axes, joint, row);
    const offset = program.replaces[placed.length] ? move : add(joint.offset, move);
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

/** What each value of a frame does, worked out once for a clip instead of at every frame. */
interface Program {
  /** Axis 0-2 moves along x, y, z; 3-5 turns about them; by index of the value. */
  readonly axes: Uint8Array;
  readonly replaces: readonly boolean[];
}

const programs = new WeakMap<BvhClip, Program>();

function programOf(clip: BvhClip): Program {
  const known = programs.get(clip);
  if (known) return known;
  const axes = new Uint8Array(clip.channelCount);
  for (const joint of clip.joints) {
    joint.channels.forEach((channel, i) => {
      axes[joint.firstChannel + i] = BVH_CHANNELS.indexOf(channel);
    });
  }
  const replaces = clip.joints.map((joint) => {
    if (joint.parent < 0 || !joint.channels.some((name) => name.endsWith('position'))) return false;
    const { move } = channelsAt(clip, axes, joint, 0);
    return distance(move, joint.offset) < length(move);
  });
  const program = { axes, replaces };
  programs.set(clip, program);
  return program;
}

function channelsAt(
  clip: BvhClip,
  axes: Uint8Array,
  joint: BvhJoint,
  row: number,
): { move: Vec3; turn: Quat } {
  const move: [number, number, number] = [0, 0, 0];
  let [x, y, z, w] = [0, 0, 0, 1];
  const end = joint.firstChannel + joint.channels.length;
  for (let i = joint.firstChannel; i < end; i++) {
    const value = clip.values[row + i] as number;
    const axis = axes[i] as number;
    if (axis < 3) {
      move[axis] = value;
      continue;
    }
    const half = (value * Math.PI) / 360;
    const s = Math.sin(half);
    const c = Math.cos(half);
    // turn · (turn about one axis), written out: most of a clip's reading time is spent here.
    if (axis === 3) [x, y, z, w] = [x * c + w * s, y * c + z * s, z * c - y * s, w * c - x * s];
    else if (axis === 4)
      [x, y, z, w] = [x * c - z * s, y * c + w * s, z * c + x * s, w * c - y * s];
    else [x, y, z, w] = [x * c + y * s, y * c - x * s, z * c + w * s, w * c - z * s];
  }
  return { move, turn: [x, y, z, w] };
}
