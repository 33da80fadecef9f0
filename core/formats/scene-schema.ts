import { z } from 'zod';
import { PATCHES, SEGMENTS, TABLES } from '../body/types.ts';
import { type Scene, SURFACE_KINDS } from '../scene/types.ts';

/**
 * The shape of a scene file: `{ "counterlean": 1, "scene": { ... }, "name"?: "..." }`. The scene is
 * exactly `Scene` (core/scene/types.ts): metres, kilograms, quaternions [x, y, z, w], Y up.
 */
export const SCENE_FILE_VERSION = 1;

// Ids become parts of keys in the shared documents, where "/" separates them (core/document/table.ts).
const id = z
  .string()
  .regex(/^[^/]{1,64}$/)
  .describe('Unique in its list; 1 to 64 characters without "/".');
const metres = z.number().min(-1000).max(1000);
const positive = z.number().positive();
const vec3 = z.tuple([metres, metres, metres]).describe('x left, y up, z forward; metres.');
const extents = z.tuple([positive, positive, positive]).describe('Full extents; metres.');

// Hand-written files round their quaternions; a length that is off by more than a rounding is a slip.
const QUAT_LENGTH_TOLERANCE = 0.01;
const component = z.number().min(-1.01).max(1.01);
const quat = z
  .tuple([component, component, component, component])
  .refine((q) => Math.abs(Math.hypot(...q) - 1) <= QUAT_LENGTH_TOLERANCE, {
    error: 'expected a unit quaternion [x, y, z, w]',
  })
  .describe('Unit quaternion [x, y, z, w].');

const segment = z.enum(SEGMENTS);
const joint = z.enum(SEGMENTS).exclude(['pelvis']);

const bodySchema = z.strictObject({
  table: z.enum(TABLES),
  stature: z.number().min(0.2).max(20).describe('Standing height; metres.'),
  mass: positive.max(10_000).describe('Kilograms.'),
  overrides: z
    .partialRecord(
      segment,
      z.strictObject({
        length: positive.exactOptional(),
        width: positive.exactOptional(),
        girth: positive.exactOptional(),
        mass: positive.exactOptional(),
      }),
    )
    .describe('Factors on what the table gives.')
    .exactOptional(),
});

const poseSchema = z.strictObject({
  position: vec3.describe('Mid-hip in the world; metres.'),
  rotation: quat,
  joints: z.partialRecord(joint, quat),
});

const figureSchema = z.strictObject({
  id,
  name: z.string(),
  body: bodySchema,
  pose: poseSchema,
  contacts: z.partialRecord(z.enum(PATCHES), z.enum(['auto', 'planted', 'lifted'])),
});

const loadSchema = z.strictObject({
  id,
  name: z.string(),
  shape: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('box'), size: extents }),
    z.strictObject({ kind: z.literal('ball'), radius: positive }),
  ]),
  mass: z.number().min(0).max(100_000).nullable().describe('Kilograms; null: unknown.'),
  place: z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('held'),
      figure: id,
      hands: z.enum(['both', 'left', 'right']),
      offset: vec3,
    }),
    z.strictObject({
      kind: z.literal('attached'),
      figure: id,
      segment,
      offset: vec3,
      rotation: quat,
    }),
    z.strictObject({ kind: z.literal('standing'), position: vec3, rotation: quat }),
  ]),
});

const surfaceSchema = z.strictObject({
  id,
  name: z.string(),
  kind: z.enum(SURFACE_KINDS),
  position: vec3,
  rotation: quat,
  size: extents.nullable().describe('null: an endless plane that faces its own +Y.'),
  friction: z.number().min(0).max(10),
});

const gripEnd = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('figure'), figure: id, segment }),
  z.strictObject({ kind: z.literal('load'), load: id }),
]);

const gripSchema = z.strictObject({ id, a: gripEnd, b: gripEnd, open: z.boolean() });

export const sceneSchema = z.strictObject({
  figures: z.array(figureSchema),
  loads: z.array(loadSchema),
  surfaces: z.array(surfaceSchema),
  grips: z.array(gripSchema),
});

export const sceneFileSchema = z.strictObject({
  counterlean: z.literal(SCENE_FILE_VERSION).describe('Version of this format.'),
  name: z.string().exactOptional(),
  scene: sceneSchema,
});

export type SceneFile = z.infer<typeof sceneFileSchema>;

// The schema and the type are written apart; this line fails to compile when they part.
const sameShape = (scene: z.infer<typeof sceneSchema>): Scene => scene;

/** The scene of a file that the schema has accepted. */
export const asScene = sameShape;

/** JSON Schema (draft 2020-12) of a scene file, and of a bare scene, which is read as well. */
export function sceneJsonSchema(): Record<string, unknown> {
  const schema = z.toJSONSchema(z.union([sceneFileSchema, sceneSchema]));
  return { title: 'Counterlean scene', ...schema };
}
