import { conjugate, multiply, normaliseQuat } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import type { ClipMotion } from './clip-motion.ts';
import type { GltfFile } from './gltf-file.ts';
import { type Matrix, matrixOf, multiplied, placedBy, UNIT } from './gltf-matrix.ts';
import { GLTF_LIMITS, GltfFault, type GltfJson, type GltfNode } from './gltf-schema.ts';
import {
  localOf,
  parentsOf,
  type Rest,
  restOf,
  restPlaces,
  type Skeleton,
} from './gltf-skeleton.ts';
import { endOf, type Rate, rateOf, startOf, type Track, valueAt } from './gltf-tracks.ts';

/** A skeleton of a glTF file in motion, and how its zero pose and rate were found. */
export interface GltfMotion {
  readonly motion: ClipMotion;
  readonly rest: Rest['from'];
  /** Null where nothing moves it: then there is one frame. */
  readonly rate: Rate | null;
  /** Time of the first frame in the animation, seconds. */
  readonly start: number;
}

/**
 * Lays tracks on a skeleton. Frames start at the first key; the last one is the frame at or just after
 * the last key. Throws GltfFault for more frames than can be read.
 * @param given frames a second that are asked for
 */
export function gltfMotion(
  file: GltfFile,
  skeleton: Skeleton,
  tracks: readonly Track[],
  given: number | undefined,
): GltfMotion {
  const { nodes } = file.json;
  const rate = tracks.length === 0 ? null : rateOf(tracks, given);
  const perSecond = rate?.rate ?? 1;
  const start = startOf(tracks);
  // A last key that lies off its frame by rounding alone asks for no frame more.
  const frameCount = 1 + Math.ceil((endOf(tracks) - start) * perSecond - 1e-3);
  if (frameCount > GLTF_LIMITS.frames) {
    throw new GltfFault(
      'animations',
      `${frameCount} frames are more than can be read (${GLTF_LIMITS.frames}); ask for fewer frames a second`,
    );
  }
  const places = placer(file.json, skeleton, tracks);
  const rest = restOf(file, skeleton);
  const turns = new Set(tracks.filter(({ path }) => path === 'rotation').map(({ node }) => node));
  const still = tracks.length === 0;
  const parent = parentsOf(file.json);
  const at = new Map(skeleton.nodes.map((node, i) => [node, i]));
  const joints = skeleton.nodes.map((node, i) => ({
    name: (nodes[node] as GltfNode).name || `node ${node}`,
    parent: i === 0 ? -1 : (at.get(parent[node] as number) ?? -1),
    turns: still || turns.has(node),
  }));
  // Turns are told from the zero pose.
  const back = skeleton.nodes.map((node) => conjugate(turnOf(rest.world.get(node) ?? UNIT)));
  const placedAt = (frame: number): Transform[] =>
    places(start + frame / perSecond).map((world, i) => {
      const { position, rotation } = placedBy(world);
      return { position, rotation: normaliseQuat(multiply(rotation, back[i] as Quat)) };
    });
  const first = placedAt(0).map(({ position }): Vec3 => position);
  return {
    rest: rest.from,
    rate,
    start,
    motion: {
      joints,
      frameCount,
      frameTime: 1 / perSecond,
      rest: restPlaces(
        rest,
        skeleton,
        joints.map((joint) => joint.parent),
        first,
      ),
      metres: true,
      placedAt,
    },
  };
}

const turnOf = (world: Matrix): Quat => placedBy(world).rotation;

/** World matrices of a skeleton's nodes at a time, in its order. */
function placer(
  json: GltfJson,
  skeleton: Skeleton,
  tracks: readonly Track[],
): (time: number) => readonly Matrix[] {
  const parents = parentsOf(json);
  const root = skeleton.nodes[0] as number;
  const above: number[] = [];
  for (let i = parents[root] as number; i >= 0; i = parents[i] as number) above.unshift(i);
  const order = [...above, ...skeleton.nodes];
  const moved = new Map<number, Track[]>();
  for (const track of tracks) moved.set(track.node, [...(moved.get(track.node) ?? []), track]);
  const fixed = order.map((node) => localOf(json.nodes[node] as GltfNode));
  const slot = new Map(order.map((node, i) => [node, i]));
  const parentSlot = order.map((node) => slot.get(parents[node] as number) ?? -1);

  return (time) => {
    const world: Matrix[] = [];
    order.forEach((node, i) => {
      const own = moved.get(node);
      const local = own ? localAt(json.nodes[node] as GltfNode, own, time) : (fixed[i] as Matrix);
      const parent = world[parentSlot[i] as number];
      world.push(parent ? multiplied(parent, local) : local);
    });
    return world.slice(above.length);
  };
}

function localAt(node: GltfNode, tracks: readonly Track[], time: number): Matrix {
  let move = node.translation ?? [0, 0, 0];
  let turn = node.rotation ?? [0, 0, 0, 1];
  let size = node.scale ?? [1, 1, 1];
  // A node that moves has no matrix by the format's rules (section 3.5.3); one that has both moves.
  for (const track of tracks) {
    const value = valueAt(track, time);
    const [x = 0, y = 0, z = 0, w = 1] = value;
    if (track.path === 'translation') move = [x, y, z];
    else if (track.path === 'scale') size = [x, y, z];
    else turn = [x, y, z, w];
  }
  return matrixOf(move, turn, size);
}
