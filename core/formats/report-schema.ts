import { z } from 'zod';
import { type BalanceReport, type Study, SUBJECTS, VERDICTS } from '../balance/index.ts';
import { PATCHES, SEGMENTS } from '../body/types.ts';

/**
 * The shapes of a balance report (`assess`) and of a study (`study`) as JSON Schema. Both are plain data:
 * metres, kilograms, newtons, radians; null where there is no value or no limit.
 */
const vec2 = z.tuple([z.number(), z.number()]).describe('Plan: x, z.');
const vec3 = z.tuple([z.number(), z.number(), z.number()]).describe('x left, y up, z forward.');
const outline = z.array(vec3);
const verdict = z.enum(VERDICTS);
const ends = z.enum(['tips', 'slides', 'never']);
const patch = z.union([z.enum(PATCHES), z.literal('underside')]);
const sentence = z.string().min(1);

const contactSchema = z.strictObject({
  id: z.string(),
  owner: z.string(),
  patch,
  surface: z.string(),
  upon: z
    .discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('load'), load: z.string() }),
      z.strictObject({
        kind: z.literal('figure'),
        figure: z.string(),
        segment: z.enum(SEGMENTS),
      }),
    ])
    .exactOptional()
    .describe('The member of the scene that carries it, where that is no surface.'),
  normal: vec3,
  friction: z.number(),
  outline,
  functional: outline,
  clipped: z.boolean(),
  setting: z.enum(['auto', 'planted', 'gripping']),
});

const reading = {
  mass: z.number().nullable().describe('Kilograms; null while a mass is unknown.'),
  centre: vec3.nullable(),
  plumb: vec2.nullable(),
  support: z.strictObject({
    kind: z.enum(['none', 'point', 'line', 'area']),
    polygon: z.array(vec2).describe('Counter-clockwise seen with x right and z up.'),
    functional: z.array(vec2),
    area: z.number(),
    contacts: z.array(z.string()),
    basis: z.enum(['hull', 'region']),
    exact: z.boolean(),
    unbounded: z.boolean().exactOptional(),
    open: z.array(z.number().int().nonnegative()).exactOptional(),
  }),
  margin: z
    .strictObject({
      distance: z.number().describe('Signed, positive inside; metres.'),
      ratio: z.number().nullable(),
      functional: z.number().nullable(),
      edge: z.strictObject({ from: vec2, to: vec2, nearest: vec2 }),
      direction: vec2,
      heading: z.string(),
      footShare: z.number().nullable(),
      tipAngle: z.number().describe('Radians.'),
    })
    .nullable(),
  footPosition: z.number().nullable().describe('0 heel, 1 toe tip.'),
  verdict,
  sentence,
};

export const balanceReportSchema: z.ZodType<BalanceReport> = z.strictObject({
  groups: z.array(z.strictObject({ id: z.string(), members: z.array(z.string()), ...reading })),
  figures: z.array(
    z.strictObject({
      figure: z.string(),
      group: z.string(),
      groupVerdict: verdict,
      carries: z.array(z.strictObject({ load: z.string(), share: z.number() })),
      bodyCentre: vec3,
      ...reading,
    }),
  ),
  contacts: z.array(contactSchema),
  loads: z.record(z.string(), z.strictObject({ centre: vec3 })),
});

const cannotTell = z.strictObject({ kind: z.literal('cannot tell'), sentence });

/** What a subject tells, or that it cannot. */
const told = <T extends z.core.$ZodLooseShape>(shape: T) =>
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('told'), sentence, ...shape }),
    cannotTell,
  ]);

const band = z
  .strictObject({ least: z.number().nullable(), most: z.number().nullable() })
  .describe('Over all equilibria; null: without limit that way.');

const share = {
  vertical_N: band,
  share: band,
  unique: z.boolean(),
  likely_N: z.number(),
  likelyShare: z.number(),
};

const contactShare = z.strictObject({
  contact: z.string(),
  owner: z.string(),
  patch,
  ...share,
  frictionUsed: z.number().nullable(),
  arrow: z.strictObject({ at: vec3, force_N: vec3 }).nullable(),
});

const footShare = z.strictObject({
  figure: z.string(),
  side: z.enum(['L', 'R']),
  ...share,
  heelShare: z.number(),
  ballShare: z.number(),
  frictionUsed: z.number().nullable(),
});

const tipDirection = z.strictObject({
  direction: vec2,
  heading: z.string(),
  angle: z.number().describe('Radians; pi / 2 where nothing ends it.'),
  ends,
});

const sidePush = z.strictObject({
  from: z.enum(['front', 'behind', 'left', 'right']),
  direction: vec2,
  force_N: z.number().nullable().describe('null: any.'),
  ends,
});

const supportEdge = z.strictObject({
  from: vec2,
  to: vec2,
  side: z.string().min(1),
  contacts: z.array(z.string()),
  made: z.enum(['outline', 'friction', 'grips']),
});

const names = z.tuple([z.string(), z.string()]);

const moment = { seconds: z.number(), frames: z.number().int() };

const partAfter = z.strictObject({
  members: z.array(z.string()),
  names: z.array(z.string()),
  verdict,
  margin_m: z.number().nullable(),
  direction: vec2.nullable(),
  heading: z.string().nullable(),
  swings: z.boolean(),
  topple: z
    .strictObject({
      to20: z.strictObject(moment),
      to45: z.strictObject(moment),
      toFloor: z.strictObject(moment),
    })
    .nullable(),
  drop: z
    .strictObject({ from: vec3, to: vec3, height_m: z.number(), onto: z.string(), ...moment })
    .nullable(),
});

const massBand = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none') }),
  z.strictObject({
    kind: z.literal('range'),
    least_kg: z.number(),
    most_kg: z.number().nullable().describe('null: any heavier one too.'),
    leastShare: z.number(),
    mostShare: z.number().nullable(),
  }),
]);

const centring = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('mass'), mass_kg: z.number(), share: z.number() }),
  z.strictObject({ kind: z.literal('any') }),
  z.strictObject({ kind: z.literal('as heavy as can be') }),
  z.strictObject({ kind: z.literal('none') }),
]);

const letGo = z.strictObject({
  what: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('grip'), grip: z.string() }),
    z.strictObject({ kind: z.literal('grips'), grips: z.array(z.string()) }),
    z.strictObject({ kind: z.literal('hands'), hands: z.array(z.string()) }),
    z.strictObject({ kind: z.literal('load'), load: z.string() }),
  ]),
  parts: z.array(partAfter),
  sentence,
});

const gripStudy = z.strictObject({
  grip: z.string(),
  between: names,
  at: vec3,
  force: told({
    x_N: band,
    y_N: band,
    z_N: band,
    unique: z.boolean(),
    least_N: z.number(),
    leastForce_N: vec3,
    likelyForce_N: vec3.nullable(),
    moment_Nm: z.number(),
  }),
});

const pull = z.strictObject({
  between: names,
  at: vec3,
  direction: vec2,
  first_N: band.nullable(),
  second_N: band.nullable(),
  meet: z.boolean(),
  passes_N: band.nullable(),
  sentence,
});

const jointPull = z.strictObject({
  figure: z.string(),
  joint: z.enum(SEGMENTS).exclude(['pelvis']),
  both: z.boolean(),
  axis: z.enum(['flexion', 'abduction', 'rotation']),
  perDegree_m: vec2,
  size_m: z.number(),
});

export const studySchema: z.ZodType<Study> = z.strictObject({
  groups: z.array(
    z.strictObject({
      id: z.string(),
      members: z.array(z.string()),
      verdict,
      loads: told({
        weight_N: z.number(),
        contacts: z.array(contactShare),
        feet: z.array(footShare),
        between: z.array(contactShare),
        springs: z.boolean(),
      }),
      friction: told({
        scale: z.number(),
        needed: z.number(),
        available: z.number(),
        first: ends,
      }),
      tipping: told({
        directions: z.array(tipDirection),
        weakest: tipDirection,
        energy_J: z.number().nullable(),
        rise_m: z.number().nullable(),
        over: z.array(z.string()),
      }),
      pushes: z.array(told({ figure: z.string(), at: vec3, pushes: z.array(sidePush) })),
      edges: told({ edges: z.array(supportEdge), nearest: z.number().int().nullable() }),
      grips: z.array(gripStudy),
      pulls: z.array(pull),
      letGo: z.array(letGo),
      implied: z.array(
        z.strictObject({
          load: z.string(),
          mass_kg: z.number().nullable(),
          answer: told({ holds: massBand, teeters: massBand, centring }),
        }),
      ),
      partners: z.array(
        z.strictObject({
          figure: z.string(),
          mass_kg: z.number(),
          answer: told({ holds: massBand, teeters: massBand }),
        }),
      ),
      growth: z.array(
        z.strictObject({
          load: z.string(),
          answer: told({
            lifts: z.array(z.string()),
            lifts_kg: z.number().nullable(),
            falls_kg: z.number().nullable(),
          }),
        }),
      ),
      reach: z.array(
        z.strictObject({
          load: z.string(),
          figure: z.string(),
          answer: told({ teeters_m: z.number().nullable(), falls_m: z.number().nullable() }),
        }),
      ),
      sensitivity: z.array(
        z.strictObject({
          figure: z.string(),
          answer: told({ joints: z.array(jointPull) }),
        }),
      ),
      sturdiness: told({
        sturdy: z.boolean(),
        under: z.array(
          z.strictObject({ name: z.string(), verdict, margin_m: z.number().nullable() }),
        ),
      }),
      sentences: z.array(z.strictObject({ subject: z.enum(SUBJECTS), text: sentence })),
    }),
  ),
});

/** JSON Schema (draft 2020-12) of what `assess` gives. */
export const balanceReportJsonSchema = (): Record<string, unknown> => ({
  title: 'Counterlean balance report',
  ...z.toJSONSchema(balanceReportSchema),
});

/** JSON Schema (draft 2020-12) of what `study` gives. */
export const studyJsonSchema = (): Record<string, unknown> => ({
  title: 'Counterlean study',
  ...z.toJSONSchema(studySchema),
});
