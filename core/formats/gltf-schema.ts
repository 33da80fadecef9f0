import { z } from 'zod';

/**
 * The part of a glTF 2.0 file that moves a skeleton (Khronos glTF 2.0 specification, section 5): nodes,
 * skins, animations and the numbers behind them. Everything else in the file, meshes and pictures
 * above all, is let go, so that what is not needed cannot be missing.
 */

/** What one file may hold; more is refused by name of the limit, so that no input can hang the reader. */
export const GLTF_LIMITS = {
  bytes: 512 * 1024 * 1024,
  nodes: 20_000,
  joints: 1_000,
  animations: 2_000,
  accessors: 200_000,
  /** Numbers in all keys and bind matrices together. */
  values: 24_000_000,
  frames: 200_000,
} as const;

const index = z.int().min(0);
const bytes = z.int().min(0);
const name = z.string().optional();
/** No place or size of a figure is larger; beyond it products along a chain of nodes run out of numbers. */
export const LARGEST = 1e9;
const number = z.number().min(-LARGEST).max(LARGEST);
const vec3 = z.tuple([number, number, number]);
const vec4 = z.tuple([number, number, number, number]);
const matrix = z.array(number).length(16);

const node = z.object({
  name,
  children: z.array(index).optional(),
  translation: vec3.optional(),
  rotation: vec4.optional(),
  scale: vec3.optional(),
  matrix: matrix.optional(),
  /** Only whether there is one: a leaf that is a mesh or a camera is no joint. */
  mesh: index.optional(),
  camera: index.optional(),
});

const skin = z.object({
  name,
  joints: z.array(index).min(1),
  inverseBindMatrices: index.optional(),
});

const animation = z.object({
  name,
  channels: z.array(
    z.object({ sampler: index, target: z.object({ node: index.optional(), path: z.string() }) }),
  ),
  samplers: z.array(
    z.object({
      input: index,
      output: index,
      interpolation: z.enum(['LINEAR', 'STEP', 'CUBICSPLINE']).optional(),
    }),
  ),
});

const accessor = z.object({
  bufferView: index.optional(),
  byteOffset: bytes.optional(),
  componentType: z.literal([5120, 5121, 5122, 5123, 5125, 5126]),
  normalized: z.boolean().optional(),
  count: z.int().min(1),
  type: z.enum(['SCALAR', 'VEC2', 'VEC3', 'VEC4', 'MAT2', 'MAT3', 'MAT4']),
  sparse: z
    .object({
      count: z.int().min(1),
      indices: z.object({
        bufferView: index,
        byteOffset: bytes.optional(),
        componentType: z.literal([5121, 5123, 5125]),
      }),
      values: z.object({ bufferView: index, byteOffset: bytes.optional() }),
    })
    .optional(),
});

const bufferView = z.object({
  buffer: index,
  byteOffset: bytes.optional(),
  byteLength: z.int().min(1),
  byteStride: z.int().min(4).max(252).optional(),
});

const list = <T extends z.ZodType>(item: T) => z.array(item).default([]);

export const gltfSchema = z.object({
  asset: z.object({ version: z.string(), minVersion: z.string().optional() }),
  extensionsRequired: list(z.string()),
  nodes: list(node),
  skins: list(skin),
  animations: list(animation),
  accessors: list(accessor),
  bufferViews: list(bufferView),
  buffers: list(z.object({ uri: z.string().optional(), byteLength: z.int().min(1) })),
});

/** The skeletal part of a glTF file, as it stands in its JSON. */
export type GltfJson = z.infer<typeof gltfSchema>;
export type GltfNode = GltfJson['nodes'][number];
export type GltfAccessor = GltfJson['accessors'][number];

/** What is wrong with a glTF file; the message begins with the place. */
export class GltfFault extends Error {
  constructor(place: string, fault: string) {
    super(`${place}: ${fault}`);
  }
}
