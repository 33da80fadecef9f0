import {
  type BodySpec,
  EXTRA_KINDS,
  type ExtraSpec,
  FOOT_FORMS,
  SEGMENTS,
  type SegmentOverride,
  TABLES,
} from '../body/types.ts';
import { asNumber, asOneOf, asQuat, asRecord } from './decode.ts';

/**
 * The fields that say what a body is like, the same in a figure's row and in a row of the cast:
 *   table stature mass age feet   override.SEGMENT { length?, width?, girth?, mass? }
 *   extra.ID { kind, parent, length, girth, mass }
 * How an extra part is turned belongs to the pose: turn.ID { turn?, curl? }, in a figure's row alone.
 */
type Get = (field: string) => unknown;

const OVERRIDE = 'override.';
const EXTRA = 'extra.';
const TURN = 'turn.';

export const overrideField = (segment: string): string => OVERRIDE + segment;
export const extraField = (id: string): string => EXTRA + id;
export const extraTurnField = (id: string): string => TURN + id;

/** Whether a field says what a body is like. */
export const isBodyField = (field: string): boolean =>
  ['table', 'stature', 'mass', 'age', 'feet'].includes(field) ||
  field.startsWith(OVERRIDE) ||
  field.startsWith(EXTRA);

/** The fields of a body, without how its extra parts are turned. */
export function bodyFields(body: BodySpec): Record<string, unknown> {
  const { table, stature, mass, age, feet } = body;
  const fields: Record<string, unknown> = { table, stature, mass };
  if (age !== undefined) fields.age = age;
  if (feet !== undefined) fields.feet = feet;
  for (const [segment, override] of Object.entries(body.overrides ?? {}))
    fields[overrideField(segment)] = override;
  for (const [id, { kind, parent, length, girth, mass: share }] of Object.entries(
    body.extras ?? {},
  ))
    fields[extraField(id)] = { kind, parent, length, girth, mass: share };
  return fields;
}

/** How the extra parts of a body are turned, as fields. */
export function extraTurnFields(body: BodySpec): Record<string, unknown> {
  const turned = Object.entries(body.extras ?? {}).filter(
    ([, { turn, curl }]) => turn !== undefined || curl !== undefined,
  );
  return Object.fromEntries(
    turned.map(([id, { turn, curl }]) => [
      extraTurnField(id),
      { ...(turn === undefined ? {} : { turn }), ...(curl === undefined ? {} : { curl }) },
    ]),
  );
}

/**
 * Reads a body; null where table, stature or mass make no sense. What else makes no sense is left out.
 * @param names of all fields, for the extra parts
 */
export function readBody(names: Iterable<string>, get: Get): BodySpec | null {
  const table = asOneOf(get('table'), TABLES);
  const stature = asNumber(get('stature'));
  const mass = asNumber(get('mass'));
  if (table === null || stature === null || mass === null) return null;
  const age = asNumber(get('age'));
  const feet = asOneOf(get('feet'), FOOT_FORMS);
  const overrides: Record<string, SegmentOverride> = {};
  for (const segment of SEGMENTS) {
    const override = asRecord(get(overrideField(segment)));
    if (override !== null) overrides[segment] = override;
  }
  const extras: Record<string, ExtraSpec> = {};
  for (const name of [...names].filter((field) => field.startsWith(EXTRA)).sort()) {
    const id = name.slice(EXTRA.length);
    const extra = readExtra(get(name), get(extraTurnField(id)));
    if (extra !== null) extras[id] = extra;
  }
  return {
    table,
    stature,
    mass,
    ...(age === null ? {} : { age }),
    ...(feet === null ? {} : { feet }),
    ...(Object.keys(overrides).length > 0 ? { overrides } : {}),
    ...(Object.keys(extras).length > 0 ? { extras } : {}),
  };
}

function readExtra(value: unknown, turned: unknown): ExtraSpec | null {
  const fields = asRecord(value);
  const kind = asOneOf(fields?.kind, EXTRA_KINDS);
  const parent = asOneOf(fields?.parent, SEGMENTS);
  const length = asNumber(fields?.length);
  const girth = asNumber(fields?.girth);
  const mass = asNumber(fields?.mass);
  if (kind === null || parent === null) return null;
  if (length === null || girth === null || mass === null) return null;
  const pose = asRecord(turned);
  const turn = asQuat(pose?.turn);
  const curl = asNumber(pose?.curl);
  return {
    ...{ kind, parent, length, girth, mass },
    ...(turn === null ? {} : { turn }),
    ...(curl === null ? {} : { curl }),
  };
}
