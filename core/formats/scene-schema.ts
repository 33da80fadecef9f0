import { z } from 'zod';
import { EXTRA_RANGES } from '../body/index.ts';
import { EXTRA_KINDS, FOOT_FORMS, PATCHES, SEGMENTS, TABLES } from '../body/types.ts';
import { MATERIALS } from '../scene/index.ts';
import { CONTACT_SETTINGS, LOAD_LOOKS, type Scene, SURFACE_KINDS } from '../scene/types.ts';

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

const share = (what: keyof typeof EXTRA_RANGES) =>
  z.number().min(EXTRA_RANGES[what][0]).max(EXTRA_RANGES[what][1]);

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
  age: z.number().min(4).max(18).describe('Years; for the child table.').exactOptional(),
  feet: z.enum(FOOT_FORMS).exactOptional(),
  extras: z
    .record(
      id,
      z.strictObject({
        kind: z.enum(EXTRA_KINDS),
        parent: segment,
        length: share('length').describe('Over the stature.'),
        girth: share('girth').describe('Radius at the root over the stature.'),
        mass: share('mass').describe('Share of the body.'),
        turn: quat.exactOptional(),
        curl: z.number().min(-6.3).max(6.3).describe('Radians over the length.').exactOptional(),
      }),
    )
    .describe('Tail, wings, hump, neck; by id.')
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
  cast: z
    .strictObject({ body: id, own: z.array(z.string()) })
    .describe('The body of the review’s cast that it follows there; not needed to weigh the scene.')
    .exactOptional(),
  pose: poseSchema,
  contacts: z.partialRecord(z.enum(PATCHES), z.enum(CONTACT_SETTINGS)),
});

const loadSchema = z.strictObject({
  id,
  name: z.string(),
  shape: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('box'), size: extents }),
    z.strictObject({ kind: z.literal('ball'), radius: positive }),
    z
      .strictObject({ kind: z.literal('cylinder'), radius: positive, length: positive })
      .describe('Round about its own y axis.'),
  ]),
  mass: z.number().min(0).max(100_000).nullable().describe('Kilograms; null: unknown.'),
  material: z
    .enum(MATERIALS)
    .describe('Solid through: the mass follows from the size.')
    .exactOptional(),
  centre: vec3.describe('Mass centre from the middle, own axes.').exactOptional(),
  look: z.enum(LOAD_LOOKS).exactOptional(),
  place: z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('held'),
      figure: id,
      hands: z.enum(['both', 'left', 'right']),
      offset: vec3,
      rotation: quat.exactOptional(),
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
  pair: z.string().describe('Where the friction is from.').exactOptional(),
  parts: z
    .strictObject({
      back: z.number().min(0).exactOptional(),
      arms: z.number().min(0).exactOptional(),
      steps: z.number().int().min(1).max(40).exactOptional(),
    })
    .describe('Of a chair: back and arms above the seat; of a stair: how many steps.')
    .exactOptional(),
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

// The schema and the type are written apart; this line fails to compile when they part.
const sameShape = (scene: z.infer<typeof sceneSchema>): Scene => scene;

/** The scene of a file that the schema has accepted. */
export const asScene = sameShape;

/** JSON Schema (draft 2020-12) of a scene file, and of a bare scene, which is read as well. */
export function sceneJsonSchema(): Record<string, unknown> {
  const schema = z.toJSONSchema(z.union([sceneFileSchema, sceneSchema]));
  return { title: 'Counterlean scene', ...schema };
}
