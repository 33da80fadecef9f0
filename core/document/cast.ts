import type * as Y from 'yjs';
import type { BodySpec } from '../body/types.ts';
import { bodyFields, isBodyField, readBody } from './body-entries.ts';
import { asText } from './decode.ts';
import { dropRow, type Entries, putRow, type Row, readRows, SEPARATOR } from './table.ts';

/**
 * The cast of a review: bodies that figures of any shot are drawn with. Root map `cast` of the `scenes`
 * document, a row a body: `name` and the fields of body-entries.ts. A figure refers to it by the field
 * `cast`; body fields of its own stand before the cast's. Changing a row changes its figures everywhere.
 *
 * A sealed draft does not follow: sealing writes the bodies into it (`detachFigures`).
 */
export interface CastBody {
  readonly id: string;
  readonly name: string;
  readonly body: BodySpec;
}

/** The body of a figure whose cast body is gone, until somebody gives it another one. */
const STAND_IN: BodySpec = { table: 'deleva-female', stature: 1.68, mass: 62 };

const NOBODY: Entries = new Map();

/** The root map of the cast, to observe and to hand to `readSceneEntries`. */
export const castMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('cast');

/** The cast by name. */
export function readCast(entries: Entries): CastBody[] {
  return [...readRows(entries).values()]
    .flatMap(({ id, fields }) => {
      const body = readBody(fields.keys(), (field) => fields.get(field));
      return body === null ? [] : [{ id, name: asText(fields.get('name')) ?? id, body }];
    })
    .sort((a, b) => a.name.localeCompare(b.name, 'en') || (a.id < b.id ? -1 : 1));
}

/** Adds a body to the cast, or replaces one whole. */
export function putCast(doc: Y.Doc, { id, name, body }: CastBody, origin: unknown): void {
  doc.transact(() => {
    dropRow(castMap(doc), id);
    putRow(castMap(doc), id, { name, ...bodyFields(body) });
  }, origin);
}

/** Sets fields of one cast body; undefined removes a field. */
export function setCastFields(
  doc: Y.Doc,
  id: string,
  fields: Readonly<Record<string, unknown>>,
  origin: unknown,
): void {
  const map = castMap(doc);
  if (!map.has(id)) return;
  doc.transact(() => {
    for (const [field, value] of Object.entries(fields)) {
      if (value === undefined) map.delete(id + SEPARATOR + field);
      else map.set(id + SEPARATOR + field, value);
    }
  }, origin);
}

/** A figure's fields with those of its cast body beneath them, and which body fields are its own. */
export interface CastFields {
  readonly fields: ReadonlyMap<string, unknown>;
  readonly link: { readonly body: string; readonly own: readonly string[] } | null;
}

/** Lays a figure's row over its cast body. */
export function withCast({ fields }: Row, cast: Entries = NOBODY): CastFields {
  const body = asText(fields.get('cast'));
  if (body === null) return { fields, link: null };
  const own = [...fields.keys()].filter(isBodyField).sort();
  const prefix = body + SEPARATOR;
  const below = new Map<string, unknown>(Object.entries(bodyFields(STAND_IN)));
  if (cast.has(body)) {
    for (const [key, value] of cast) {
      const field = key.slice(prefix.length);
      if (key.startsWith(prefix) && isBodyField(field)) below.set(field, value);
    }
  }
  return { fields: new Map([...below, ...fields]), link: { body, own } };
}

/**
 * Writes the bodies of a draft's figures into the draft, so that they no longer follow the cast.
 * @param entries the draft's map
 * @param of only figures of this cast body
 */
export function detachFigures(entries: Y.Map<unknown>, cast: Entries, of?: string): void {
  const map = new Map(entries.entries());
  for (const row of readRows(map, 'figure').values()) {
    const { fields, link } = withCast(row, cast);
    if (link === null || (of !== undefined && link.body !== of)) continue;
    const key = ['figure', row.id].join(SEPARATOR);
    for (const [field, value] of fields) {
      if (isBodyField(field) && !row.fields.has(field)) entries.set(key + SEPARATOR + field, value);
    }
    entries.delete(`${key}${SEPARATOR}cast`);
  }
}

/** Whether a draft has a figure with a body of the cast. */
export const usesCast = (entries: Entries, of?: string): boolean =>
  [...readRows(entries, 'figure').values()].some(({ fields }) => {
    const body = asText(fields.get('cast'));
    return body !== null && (of === undefined || body === of);
  });

/**
 * Takes a body out of the cast; its figures keep it as their own.
 * @param drafts the maps of all drafts that may be changed
 */
export function removeCast(
  doc: Y.Doc,
  id: string,
  drafts: readonly Y.Map<unknown>[],
  origin: unknown,
): void {
  const cast = castMap(doc);
  doc.transact(() => {
    for (const entries of drafts) detachFigures(entries, new Map(cast.entries()), id);
    dropRow(cast, id);
  }, origin);
}
