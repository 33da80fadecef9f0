import type * as Y from 'yjs';

/**
 * A set of rows kept in one root Y.Map with one entry per field: `id` marks that the row exists and
 * `id/field` holds a value.
 *
 * Why flat instead of a Y.Map per row: two people who set different fields of a row never meet, two
 * peers can never each create a container of the same name and lose one side's, removing a row is
 * deleting its keys (a field set meanwhile by someone else is an orphan that reading skips), and undo
 * of a removal brings every field back. Values are plain JSON: what must change together (a rotation,
 * a point) is one value.
 */
export type Entries = ReadonlyMap<string, unknown>;

/** Separates a row's id from its field; ids must not contain it. */
export const SEPARATOR = '/';

const MARK = 1;

/** One row as read: its id and the fields that were set. */
export interface Row {
  readonly id: string;
  readonly fields: ReadonlyMap<string, unknown>;
}

/**
 * Reads the rows of one entry map. Fields of rows that are not marked as existing are skipped.
 * @param kind only keys that start with `kind/` are read (ids stand behind it); '' reads them all
 */
export function readRows(entries: Entries, kind = ''): Map<string, Row> {
  const prefix = kind === '' ? '' : kind + SEPARATOR;
  const rows = new Map<string, { id: string; fields: Map<string, unknown> }>();
  const orphans: [string, string, unknown][] = [];
  for (const [key, value] of entries) {
    if (!key.startsWith(prefix)) continue;
    const rest = key.slice(prefix.length);
    const cut = rest.indexOf(SEPARATOR);
    if (cut === -1) {
      if (value === MARK) rows.set(rest, { id: rest, fields: new Map() });
    } else {
      orphans.push([rest.slice(0, cut), rest.slice(cut + 1), value]);
    }
  }
  for (const [id, field, value] of orphans) rows.get(id)?.fields.set(field, value);
  return rows;
}

/** Marks a row as existing and sets the given fields; undefined fields are left alone. */
export function putRow(
  map: Y.Map<unknown>,
  key: string,
  fields: Readonly<Record<string, unknown>>,
): void {
  if (map.get(key) !== MARK) map.set(key, MARK);
  for (const [field, value] of Object.entries(fields)) {
    if (value !== undefined) map.set(key + SEPARATOR + field, value);
  }
}

/** Removes a row and all its fields. Removing what is not there does nothing. */
export function dropRow(map: Y.Map<unknown>, key: string): void {
  for (const existing of [...map.keys()]) {
    if (existing === key || existing.startsWith(key + SEPARATOR)) map.delete(existing);
  }
}

/** A view of `base` with some entries replaced (undefined: hidden), for drags that are not stored yet. */
export function overlaid(
  base: Entries,
  patch: Readonly<Record<string, unknown>>,
): Map<string, unknown> {
  const merged = new Map(base);
  for (const [key, value] of Object.entries(patch)) {
    if (value === undefined) merged.delete(key);
    else merged.set(key, value);
  }
  return merged;
}
