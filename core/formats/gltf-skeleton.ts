import type { Vec3 } from '../geometry/types.ts';
import { distance, scale } from '../geometry/vec3.ts';
import { median } from './clip-frame.ts';
import type { GltfFile } from './gltf-file.ts';
import { inverted, type Matrix, matrixOf, multiplied, placedBy, UNIT } from './gltf-matrix.ts';
import type { GltfJson, GltfNode } from './gltf-schema.ts';

/** Nodes of a file that may be one figure's skeleton: parents before children. */
export interface Skeleton {
  /** Index of each node in the file. */
  readonly nodes: readonly number[];
  /** Whether its joints move a skin. */
  readonly skinned: boolean;
}

/** Parent of every node, -1 for those without one. */
export function parentsOf({ nodes }: GltfJson): Int32Array {
  const parents = new Int32Array(nodes.length).fill(-1);
  nodes.forEach(({ children = [] }, i) => {
    for (const child of children) parents[child] = i;
  });
  return parents;
}

/**
 * What may be a skeleton, likeliest first: what hangs together among the joints of the skins, largest
 * first; then every whole tree of the file. Leaves that are a mesh or a camera are left out.
 */
export function skeletonsIn(json: GltfJson): readonly Skeleton[] {
  const parents = parentsOf(json);
  const joints = new Set(json.skins.flatMap((skin) => skin.joints));
  const above = new Set<number>();
  for (const joint of joints) {
    for (let i = parents[joint] as number; i >= 0 && !above.has(i); i = parents[i] as number)
      above.add(i);
  }
  const hasJointAbove = (joint: number): boolean => {
    for (let i = parents[joint] as number; i >= 0; i = parents[i] as number)
      if (joints.has(i)) return true;
    return false;
  };
  const isLeafThing = ({ children = [], mesh, camera }: GltfNode): boolean =>
    children.length === 0 && (mesh !== undefined || camera !== undefined);
  const walk = (root: number, keep: (node: number) => boolean): number[] => {
    const found: number[] = [];
    const waiting = [root];
    for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
      if (!keep(node)) continue;
      found.push(node);
      waiting.push(...[...((json.nodes[node] as GltfNode).children ?? [])].reverse());
    }
    return found;
  };
  // A bone's end is often a plain node beneath the last joint.
  const ofSkin = (node: number): boolean =>
    joints.has(node) || above.has(node) || !isLeafThing(json.nodes[node] as GltfNode);
  const skinned = [...joints]
    .filter((joint) => !hasJointAbove(joint))
    .sort((a, b) => a - b)
    .map((root): Skeleton => ({ nodes: walk(root, ofSkin), skinned: true }))
    .sort((a, b) => b.nodes.length - a.nodes.length);
  const whole = json.nodes
    .map((_, i) => i)
    .filter((i) => parents[i] === -1)
    .map(
      (root): Skeleton => ({
        nodes: walk(root, (node) => !isLeafThing(json.nodes[node] as GltfNode)),
        skinned: false,
      }),
    )
    .filter(({ nodes }) => nodes.length > 0)
    .sort((a, b) => b.nodes.length - a.nodes.length);
  return [...skinned, ...whole];
}

/** Where a node is in its parent while nothing moves it. */
export function localOf({ matrix, translation, rotation, scale: size }: GltfNode): Matrix {
  if (matrix) return matrix;
  return matrixOf(translation ?? [0, 0, 0], rotation ?? [0, 0, 0, 1], size ?? [1, 1, 1]);
}

/** The zero pose of a skeleton, by node of the file. */
export interface Rest {
  readonly world: ReadonlyMap<number, Matrix>;
  /** `bind`: as the skin was laid on. `nodes`: as the nodes stand. `broken`: the same, since the skin's is unusable. */
  readonly from: 'bind' | 'nodes' | 'broken';
}

/**
 * The zero pose: for a skin the pose it was bound in, the inverse of its inverse bind matrices; joints
 * without one hang on their parents as the nodes say. Without a skin the nodes as they stand.
 */
export function restOf(file: GltfFile, skeleton: Skeleton): Rest {
  const { json } = file;
  const parents = parentsOf(json);
  const bound = skeleton.skinned ? boundJoints(file, skeleton) : null;
  const world = new Map<number, Matrix>();
  const standing = (node: number): Matrix => {
    const parent = parents[node] as number;
    const local = localOf(json.nodes[node] as GltfNode);
    if (parent < 0) return local;
    const known = world.get(parent);
    if (known) return multiplied(known, local);
    return multiplied(worldOf(json, parents, parent), local);
  };
  for (const node of skeleton.nodes) world.set(node, bound?.get(node) ?? standing(node));
  const from = bound ? 'bind' : skeleton.skinned && hasBindMatrices(json) ? 'broken' : 'nodes';
  return { world, from };
}

const hasBindMatrices = ({ skins }: GltfJson): boolean =>
  skins.some(({ inverseBindMatrices }) => inverseBindMatrices !== undefined);

function worldOf({ nodes }: GltfJson, parents: Int32Array, node: number): Matrix {
  let world: Matrix = UNIT;
  for (let i = node; i >= 0; i = parents[i] as number) {
    world = multiplied(localOf(nodes[i] as GltfNode), world);
  }
  return world;
}

/** Bind pose of the skeleton's joints; null where the root has none, or one cannot be undone. */
function boundJoints(file: GltfFile, { nodes }: Skeleton): Map<number, Matrix> | null {
  const wanted = new Set(nodes);
  const bound = new Map<number, Matrix>();
  for (const { joints, inverseBindMatrices } of file.json.skins) {
    if (inverseBindMatrices === undefined || !joints.some((joint) => wanted.has(joint))) continue;
    const numbers = file.numbers(inverseBindMatrices);
    for (const [k, joint] of joints.entries()) {
      if (!wanted.has(joint) || bound.has(joint)) continue;
      const undone = inverted(numbers.subarray(16 * k, 16 * k + 16));
      if (undone === null) return null;
      bound.set(joint, undone);
    }
  }
  // A mixture of bind pose and standing nodes is only one pose where it starts from the root.
  return bound.has(nodes[0] as number) ? bound : null;
}

/**
 * Places of the zero pose in the unit of the nodes: a skin may have been bound at another size (an
 * armature scaled by 100), which the lengths of its bones show.
 * @param moved places of the same joints at a frame
 */
export function restPlaces(
  rest: Rest,
  { nodes }: Skeleton,
  parents: readonly number[],
  moved: readonly Vec3[],
): Vec3[] {
  const places = nodes.map((node) => placedBy(rest.world.get(node) ?? UNIT).position);
  const span = (at: readonly Vec3[], i: number, parent: number): number =>
    distance(at[i] as Vec3, at[parent] as Vec3);
  const ratios = parents.flatMap((parent, i) => {
    const bone = parent < 0 ? 0 : span(places, i, parent);
    return bone > 0 ? [span(moved, i, parent) / bone] : [];
  });
  const ratio = ratios.length === 0 ? 1 : median(ratios);
  // Bones of a figure may stretch a little; only another unit is more than that.
  return Math.abs(ratio - 1) < 0.1 || !(ratio > 0)
    ? places
    : places.map((place) => scale(place, ratio));
}
