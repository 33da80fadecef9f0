import { Document } from '@gltf-transform/core';
import { asGlb } from './gltf-files.ts';

type Place = readonly [number, number, number];

/** Joints of a little figure of 1.7 m with common names: parent, place from it in metres. */
const BONES: readonly (readonly [string, number, Place])[] = [
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
  ['LeftForeArm', 9, [0, -0.28, 0]],
  ['LeftHand', 10, [0, -0.25, 0]],
  ['RightArm', 1, [-0.17, 0.2, 0]],
  ['RightForeArm', 12, [0, -0.28, 0]],
  ['RightHand', 13, [0, -0.25, 0]],
];

const RATE = 24;

/**
 * A .glb of our own: a figure whose trunk bends to `degrees` and back over `frames` frames at 24 a
 * second, with a skin over the trunk (one triangle, which is enough to be a mesh).
 */
export function skinnedGlb(frames: number, degrees: number): Promise<Uint8Array> {
  const document = new Document();
  const buffer = document.createBuffer();
  const nodes = BONES.map(([name, , place]) =>
    document.createNode(name).setTranslation([...place]),
  );
  BONES.forEach(([, parent], i) => {
    nodes[parent]?.addChild(nodes[i]!);
  });
  const world = BONES.map(([, parent, place], i): Place => {
    let [x, y, z] = place;
    for (let up = parent; up >= 0; up = BONES[up]![1]) {
      const [px, py, pz] = BONES[up]![2];
      [x, y, z] = [x + px, y + py, z + pz];
    }
    return i < 0 ? place : [x, y, z];
  });
  const accessor = (type: 'SCALAR' | 'VEC3' | 'VEC4' | 'MAT4', array: Float32Array | Uint16Array) =>
    document.createAccessor().setType(type).setArray(array).setBuffer(buffer);
  const bind = new Float32Array(
    world.flatMap(([x, y, z]) => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, -x, -y, -z, 1]),
  );
  const skin = document.createSkin('Skin').setInverseBindMatrices(accessor('MAT4', bind));
  for (const node of nodes) skin.addJoint(node);
  const triangle = document
    .createPrimitive()
    .setAttribute(
      'POSITION',
      accessor('VEC3', new Float32Array([-0.2, 1, 0.1, 0.2, 1, 0.1, 0, 1.5, 0.1])),
    )
    .setAttribute(
      'JOINTS_0',
      accessor('VEC4', new Uint16Array([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0])),
    )
    .setAttribute(
      'WEIGHTS_0',
      accessor('VEC4', new Float32Array([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0])),
    );
  const mesh = document.createMesh('Coat').addPrimitive(triangle);
  const coat = document.createNode('Coat').setMesh(mesh).setSkin(skin);
  document.createScene().addChild(nodes[0]!).addChild(coat);
  const turns = Array.from({ length: frames }, (_, i) => {
    const share = Math.sin((Math.PI * i) / Math.max(1, frames - 1));
    const half = (degrees * share * Math.PI) / 360;
    return [Math.sin(half), 0, 0, Math.cos(half)];
  });
  const times = Float32Array.from({ length: frames }, (_, i) => i / RATE);
  const sampler = document
    .createAnimationSampler()
    .setInput(accessor('SCALAR', times))
    .setOutput(accessor('VEC4', Float32Array.from(turns.flat())));
  const channel = document
    .createAnimationChannel()
    .setTargetNode(nodes[1]!)
    .setTargetPath('rotation')
    .setSampler(sampler);
  document.createAnimation('Bow').addSampler(sampler).addChannel(channel);
  return asGlb(document);
}
