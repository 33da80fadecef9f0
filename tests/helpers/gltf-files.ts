import { Document, type Node, WebIO } from '@gltf-transform/core';
import { bvhTransforms } from '../../core/formats/bvh-pose.ts';
import type { BvhClip } from '../../core/formats/bvh-types.ts';
import {
  conjugate,
  fromAxisAngle,
  IDENTITY,
  multiply,
  type Quat,
  rotate,
  scale,
  subtract,
  type Vec3,
} from '../../core/geometry/index.ts';

export interface BvhAsGltf {
  /** Metres per unit of the BVH. */
  readonly unit: number;
  /** Frames to write, in order; all when left out. */
  readonly frames?: readonly number[];
  /**
   * Bones whose own axes lie askew to the world in the zero pose, as most programs write them; the motion
   * is the same. Without it every joint's axes are the world's.
   */
  readonly askew?: boolean;
  /** With a skin: bind matrices of the zero pose, seen from a mesh that is this much larger. */
  readonly skin?: { readonly meshUnit: number };
  /** An armature node above the root that is scaled and turned, as some programs write it. */
  readonly armature?: boolean;
  readonly animation?: string;
}

/** A turn of its own for every joint, seeded by its index. */
const askewTurn = (i: number): Quat => fromAxisAngle([1 + (i % 3), 2 - (i % 5), 0.5], 0.4 * i);

/** The clip as a glTF document: node per joint, one animation of linear keys. */
export function bvhAsGltf(bvh: BvhClip, options: BvhAsGltf): Document {
  const { unit, askew = false } = options;
  const document = new Document();
  const buffer = document.createBuffer();
  const frames = options.frames ?? Array.from({ length: bvh.frameCount }, (_, i) => i);
  const own = bvh.joints.map((_, i) => (askew ? askewTurn(i) : IDENTITY));
  // The armature is 100 times as large and lies on its back; its children make up for it.
  const size = options.armature ? 100 : 1;
  const lying: Quat = options.armature ? fromAxisAngle([1, 0, 0], -Math.PI / 2) : IDENTITY;

  const nodes: Node[] = [];
  const zero: { position: Vec3; rotation: Quat }[] = [];
  bvh.joints.forEach(({ name, parent, offset }, i) => {
    const above = zero[parent] ?? { position: [0, 0, 0] as Vec3, rotation: lying };
    const from: Vec3 = parent < 0 ? [0, 0, 0] : bvhZero(bvh, parent);
    const to: Vec3 = parent < 0 ? offset : bvhZero(bvh, i);
    const local = scale(rotate(conjugate(above.rotation), subtract(to, from)), unit / size);
    const turn = multiply(conjugate(above.rotation), own[i] as Quat);
    zero.push({ position: scale(to, unit), rotation: own[i] as Quat });
    const node = document
      .createNode(name)
      .setTranslation([...local])
      .setRotation([...turn]);
    nodes[parent]?.addChild(node);
    nodes.push(node);
  });
  const root = nodes[0] as Node;
  const scene = document.createScene();
  if (options.armature) {
    const armature = document
      .createNode('Armature')
      .setScale([size, size, size])
      .setRotation([...lying])
      .addChild(root);
    scene.addChild(armature);
  } else scene.addChild(root);

  if (options.skin) {
    const { meshUnit } = options.skin;
    const skin = document.createSkin('Skin');
    const matrices = new Float32Array(16 * nodes.length);
    zero.forEach(({ position, rotation }, i) => {
      skin.addJoint(nodes[i] as Node);
      matrices.set(inverseOf(scale(position, meshUnit), rotation), 16 * i);
    });
    skin.setInverseBindMatrices(
      document.createAccessor().setType('MAT4').setArray(matrices).setBuffer(buffer),
    );
  }

  const times = document
    .createAccessor()
    .setType('SCALAR')
    .setArray(Float32Array.from(frames, (_, i) => i * bvh.frameTime))
    .setBuffer(buffer);
  const animation = document.createAnimation(options.animation ?? 'Walk');
  const track = (node: Node, path: 'translation' | 'rotation', values: number[]): void => {
    const output = document
      .createAccessor()
      .setType(path === 'rotation' ? 'VEC4' : 'VEC3')
      .setArray(Float32Array.from(values))
      .setBuffer(buffer);
    const sampler = document.createAnimationSampler().setInput(times).setOutput(output);
    animation.addSampler(sampler);
    animation.addChannel(
      document.createAnimationChannel().setTargetNode(node).setTargetPath(path).setSampler(sampler),
    );
  };
  const placed = frames.map((frame) => bvhTransforms(bvh, frame));
  bvh.joints.forEach(({ parent }, i) => {
    const turns = placed.flatMap((joints) => {
      // World turn of the joint's own axes, seen from its parent's.
      const world = multiply(joints[i]!.rotation, own[i] as Quat);
      const above = parent < 0 ? lying : multiply(joints[parent]!.rotation, own[parent] as Quat);
      return multiply(conjugate(above), world);
    });
    track(nodes[i] as Node, 'rotation', turns);
    if (parent >= 0) return;
    const path = placed.flatMap((joints) =>
      scale(rotate(conjugate(lying), joints[i]!.position), unit / size),
    );
    track(nodes[i] as Node, 'translation', path);
  });
  return document;
}

/** Place of a joint with all channels 0. */
function bvhZero(bvh: BvhClip, joint: number): Vec3 {
  let place: Vec3 = [0, 0, 0];
  for (let i = joint; i >= 0; i = bvh.joints[i]!.parent) {
    const { offset } = bvh.joints[i]!;
    place = [place[0] + offset[0], place[1] + offset[1], place[2] + offset[2]];
  }
  return place;
}

/** The inverse of a placement, as a matrix column after column. */
function inverseOf(position: Vec3, rotation: Quat): number[] {
  const back = conjugate(rotation);
  const columns = (
    [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ] as const
  ).map((axis) => rotate(back, axis));
  const move = rotate(back, scale(position, -1));
  return [...columns.flatMap((column) => [...column, 0]), ...move, 1];
}

export const asGlb = (document: Document): Promise<Uint8Array> => new WebIO().writeBinary(document);

/** A hand-written file as the bytes of a .gltf. */
export const asGltf = (json: unknown): Uint8Array => new TextEncoder().encode(JSON.stringify(json));

/** Little-endian floats as a data URI. */
export function dataUri(values: readonly number[]): string {
  const bytes = new Uint8Array(Float32Array.from(values).buffer);
  return `data:application/octet-stream;base64,${Buffer.from(bytes).toString('base64')}`;
}

/**
 * A hand-written .gltf of our own: a stick figure of 1.7 m without a skin whose trunk bends, 13 joints
 * with common names. `change` may spoil it.
 */
export function stickGltf(interpolation: 'LINEAR' | 'STEP' | 'CUBICSPLINE' = 'LINEAR') {
  const bones: readonly (readonly [string, number, Vec3])[] = [
    ['Hips', -1, [0, 0.92, 0]],
    ['Spine', 0, [0, 0.3, 0]],
    ['Head', 1, [0, 0.3, 0]],
    ['LeftUpLeg', 0, [0.09, 0, 0]],
    ['LeftLeg', 3, [0, -0.42, 0]],
    ['LeftFoot', 4, [0, -0.42, 0]],
    ['RightUpLeg', 0, [-0.09, 0, 0]],
    ['RightLeg', 6, [0, -0.42, 0]],
    ['RightFoot', 7, [0, -0.42, 0]],
    ['LeftArm', 1, [0.17, 0.2, 0]],
    ['LeftForeArm', 9, [0.28, 0, 0]],
    ['LeftHand', 10, [0.25, 0, 0]],
    ['RightArm', 1, [-0.17, 0.2, 0]],
    ['RightForeArm', 12, [-0.28, 0, 0]],
    ['RightHand', 13, [-0.25, 0, 0]],
  ];
  const times = [0, 0.5, 1];
  const turn = (degrees: number): number[] => {
    const half = (degrees * Math.PI) / 360;
    return [Math.sin(half), 0, 0, Math.cos(half)];
  };
  const still = [0, 0, 0, 0];
  const keys = [0, 40, 10].flatMap((degrees) =>
    interpolation === 'CUBICSPLINE' ? [...still, ...turn(degrees), ...still] : turn(degrees),
  );
  const numbers = [...times, ...keys];
  return {
    asset: { version: '2.0' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: bones.map(([name, , translation], i) => {
      const children = bones.flatMap(([, parent], k) => (parent === i ? [k] : []));
      return children.length > 0 ? { name, translation, children } : { name, translation };
    }),
    animations: [
      {
        name: 'Bow',
        channels: [{ sampler: 0, target: { node: 1, path: 'rotation' } }],
        samplers: [{ input: 0, output: 1, interpolation }],
      },
    ],
    accessors: [
      { bufferView: 0, componentType: 5126, count: times.length, type: 'SCALAR' },
      { bufferView: 1, componentType: 5126, count: keys.length / 4, type: 'VEC4' },
    ],
    bufferViews: [
      { buffer: 0, byteOffset: 0, byteLength: 4 * times.length },
      { buffer: 0, byteOffset: 4 * times.length, byteLength: 4 * keys.length },
    ],
    buffers: [{ uri: dataUri(numbers), byteLength: 4 * numbers.length }],
  };
}
