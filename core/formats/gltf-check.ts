import { GLTF_LIMITS, type GltfAccessor, GltfFault, type GltfJson } from './gltf-schema.ts';

/** Channels that move a node, and what their keys are made of. */
export const MOVING_PATHS = { translation: 'VEC3', rotation: 'VEC4', scale: 'VEC3' } as const;
export type MovingPath = keyof typeof MOVING_PATHS;

export const isMoving = (path: string): path is MovingPath => Object.hasOwn(MOVING_PATHS, path);

/** Numbers in an element, by type; bytes in a number, by component type. */
export const ELEMENT_SIZE = { SCALAR: 1, VEC2: 2, VEC3: 3, VEC4: 4, MAT2: 4, MAT3: 9, MAT4: 16 };
const COMPONENT_BYTES = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 };
const FLOAT = 5126;

/** Extensions that pack the very numbers that a skeleton needs, and what to ask for instead. */
const PACKED = /meshopt/i;

/**
 * Checks what the schema cannot: indices, the shape of the tree, and that every number that is needed
 * lies inside the file. Throws GltfFault with the place.
 * @returns the accessors that are needed, by index, in order
 */
export function checkGltf(json: GltfJson): readonly number[] {
  const { version, minVersion } = json.asset;
  if (!/^2\./.test(minVersion ?? version)) {
    throw new GltfFault(
      'asset.version',
      `expected 2.x, got "${(minVersion ?? version).slice(0, 20)}"`,
    );
  }
  for (const [list, most] of [
    ['nodes', GLTF_LIMITS.nodes],
    ['animations', GLTF_LIMITS.animations],
    ['accessors', GLTF_LIMITS.accessors],
  ] as const) {
    if (json[list].length > most) {
      throw new GltfFault(list, `${json[list].length} are more than can be read (${most})`);
    }
  }
  const packed = json.extensionsRequired.find((extension) => PACKED.test(extension));
  if (packed !== undefined) {
    throw new GltfFault(
      'extensionsRequired',
      `the file is packed by ${packed.slice(0, 60)}; export it without packing`,
    );
  }
  checkTree(json);
  const needed = new Set<number>();
  checkSkins(json, needed);
  checkAnimations(json, needed);
  const used = [...needed].sort((a, b) => a - b);
  const values = used.reduce((sum, i) => {
    const { count, type } = json.accessors[i] as GltfAccessor;
    return sum + count * ELEMENT_SIZE[type];
  }, 0);
  if (values > GLTF_LIMITS.values) {
    throw new GltfFault(
      'accessors',
      `${values} numbers are more than can be read (${GLTF_LIMITS.values}); cut the clip into shorter ones`,
    );
  }
  for (const i of used) checkAccessor(json, i);
  return used;
}

function inRange(place: string, at: number, list: readonly unknown[], what: string): void {
  if (at < list.length) return;
  const there = list.length === 0 ? 'there is none' : `the last is ${list.length - 1}`;
  throw new GltfFault(place, `there is no ${what} ${at}; ${there}`);
}

/** Every node has one parent at most, and none is its own ancestor. */
function checkTree({ nodes }: GltfJson): void {
  const parent = new Int32Array(nodes.length).fill(-1);
  nodes.forEach(({ children = [] }, i) => {
    children.forEach((child, k) => {
      const place = `nodes[${i}].children[${k}]`;
      inRange(place, child, nodes, 'node');
      if (child === i) throw new GltfFault(place, 'a node cannot be its own child');
      const before = parent[child] as number;
      if (before >= 0) {
        throw new GltfFault(place, `node ${child} is a child of node ${before} already`);
      }
      parent[child] = i;
    });
  });
  // Each node once: what has been walked from is known to end at a root.
  const known = new Uint8Array(nodes.length);
  for (let i = 0; i < nodes.length; i++) {
    const path: number[] = [];
    let at = i;
    while (at >= 0 && known[at] === 0) {
      known[at] = 1;
      path.push(at);
      at = parent[at] as number;
    }
    if (at >= 0 && known[at] === 1) {
      throw new GltfFault(`nodes[${at}].children`, 'the nodes go round in a circle');
    }
    for (const node of path) known[node] = 2;
  }
}

function checkSkins({ skins, nodes, accessors }: GltfJson, needed: Set<number>): void {
  skins.forEach(({ joints, inverseBindMatrices }, i) => {
    joints.forEach((joint, k) => {
      inRange(`skins[${i}].joints[${k}]`, joint, nodes, 'node');
    });
    if (inverseBindMatrices === undefined) return;
    const place = `skins[${i}].inverseBindMatrices`;
    inRange(place, inverseBindMatrices, accessors, 'accessor');
    const { type, componentType, count } = accessors[inverseBindMatrices] as GltfAccessor;
    if (type !== 'MAT4' || componentType !== FLOAT) {
      throw new GltfFault(
        place,
        `accessor ${inverseBindMatrices} must hold MAT4 of floats, it holds ${type}`,
      );
    }
    if (count < joints.length) {
      throw new GltfFault(
        place,
        `${joints.length} joints need as many matrices, there are ${count}`,
      );
    }
    needed.add(inverseBindMatrices);
  });
}

function checkAnimations({ animations, nodes, accessors }: GltfJson, needed: Set<number>): void {
  animations.forEach(({ channels, samplers }, a) => {
    channels.forEach(({ sampler, target }, c) => {
      const place = `animations[${a}].channels[${c}]`;
      // Shapes of a mesh and what extensions move are no business of a skeleton.
      if (target.node === undefined || !isMoving(target.path)) return;
      inRange(`${place}.target.node`, target.node, nodes, 'node');
      inRange(`${place}.sampler`, sampler, samplers, 'sampler');
      const { input, output, interpolation } = samplers[sampler] as (typeof samplers)[number];
      const at = `animations[${a}].samplers[${sampler}]`;
      inRange(`${at}.input`, input, accessors, 'accessor');
      inRange(`${at}.output`, output, accessors, 'accessor');
      const times = accessors[input] as GltfAccessor;
      const keys = accessors[output] as GltfAccessor;
      if (times.type !== 'SCALAR' || times.componentType !== FLOAT) {
        throw new GltfFault(
          `${at}.input`,
          `accessor ${input} must hold SCALAR floats (seconds), it holds ${times.type}`,
        );
      }
      const wanted = MOVING_PATHS[target.path];
      if (keys.type !== wanted) {
        throw new GltfFault(
          `${at}.output`,
          `a ${target.path} needs ${wanted}, accessor ${output} holds ${keys.type}`,
        );
      }
      const each = interpolation === 'CUBICSPLINE' ? 3 : 1;
      if (keys.count !== times.count * each) {
        const spline = each === 3 ? ' (three a key for CUBICSPLINE)' : '';
        throw new GltfFault(
          `${at}.output`,
          `${times.count} keys need ${times.count * each} values${spline}, there are ${keys.count}`,
        );
      }
      needed.add(input).add(output);
    });
  });
}

function checkAccessor({ accessors, bufferViews, buffers }: GltfJson, i: number): void {
  const accessor = accessors[i] as GltfAccessor;
  const { count, type, componentType, byteOffset = 0, bufferView, sparse } = accessor;
  const place = `accessors[${i}]`;
  const element = ELEMENT_SIZE[type] * COMPONENT_BYTES[componentType];
  const fits = (at: string, view: number, from: number, items: number, size: number): void => {
    inRange(`${at}.bufferView`, view, bufferViews, 'bufferView');
    const {
      buffer,
      byteOffset: start = 0,
      byteLength,
      byteStride = size,
    } = bufferViews[view] as (typeof bufferViews)[number];
    inRange(`bufferViews[${view}].buffer`, buffer, buffers, 'buffer');
    const whole = (buffers[buffer] as (typeof buffers)[number]).byteLength;
    if (start + byteLength > whole) {
      throw new GltfFault(
        `bufferViews[${view}]`,
        `it ends at byte ${start + byteLength}, buffer ${buffer} has ${whole}`,
      );
    }
    if (byteStride < size) {
      throw new GltfFault(
        `bufferViews[${view}].byteStride`,
        `elements of ${size} bytes do not fit in ${byteStride}`,
      );
    }
    const end = from + byteStride * (items - 1) + size;
    if (end > byteLength) {
      throw new GltfFault(
        at,
        `it needs ${end} bytes of bufferView ${view}, which has ${byteLength}`,
      );
    }
  };
  if (bufferView !== undefined) fits(place, bufferView, byteOffset, count, element);
  if (sparse === undefined) return;
  if (sparse.count > count) {
    throw new GltfFault(`${place}.sparse.count`, `expected at most ${count}, got ${sparse.count}`);
  }
  const { indices, values } = sparse;
  const indexBytes = COMPONENT_BYTES[indices.componentType];
  fits(
    `${place}.sparse.indices`,
    indices.bufferView,
    indices.byteOffset ?? 0,
    sparse.count,
    indexBytes,
  );
  fits(`${place}.sparse.values`, values.bufferView, values.byteOffset ?? 0, sparse.count, element);
}
