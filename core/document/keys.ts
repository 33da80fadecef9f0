import { PATCHES, type PatchName } from '../body/types.ts';
import { EASES, type EditedContact, type KeyPose } from '../motion/index.ts';
import { asNumber, asOneOf, asText } from './decode.ts';
import { poseFields, readPoseFields } from './pose-fields.ts';
import { type Entries, type Row, readRows } from './table.ts';

/**
 * What moves in a draft, as entries of its map beside those of scene-entries.ts. Frames are whole and
 * counted from 0, so that a shot may number its first frame anew.
 *   key/ID                 a pose of a figure at a frame; /figure /frame /ease and the fields of a
 *                          pose (pose-fields.ts)
 *   touch/FIGURE@PATCH     when a patch carries, set by hand; /spans [[from, to], ...]
 *   load/ID/span, grip/ID/span   [from, to]: frames between which it is there
 */
export const keyKey = (key: string, field?: string): string =>
  field === undefined ? `key/${key}` : `key/${key}/${field}`;
export const touchKey = (figure: string, patch: PatchName, field?: string): string =>
  field === undefined ? `touch/${figure}@${patch}` : `touch/${figure}@${patch}/${field}`;

/** A key as stored: whose it is and under which id. */
export interface StoredKey extends KeyPose {
  readonly id: string;
  readonly figure: string;
}

/** First and last frame. */
export type FrameSpan = readonly [from: number, to: number];

/** The fields of a key's row. */
export const keyFields = ({
  id: _,
  pose,
  contacts,
  ...fields
}: StoredKey): Record<string, unknown> => ({ ...fields, ...poseFields({ pose, contacts }) });

/**
 * The keys of every figure, by frame. Of two keys of one figure on one frame (two people at once) the
 * one with the higher id counts. Rows that make no sense are left out.
 */
export function readKeys(entries: Entries): ReadonlyMap<string, readonly StoredKey[]> {
  const byFigure = new Map<string, Map<number, StoredKey>>();
  for (const row of readRows(entries, 'key').values()) {
    const key = readKey(row);
    if (key === null) continue;
    const own = byFigure.get(key.figure) ?? new Map<number, StoredKey>();
    byFigure.set(key.figure, own);
    const other = own.get(key.frame);
    if (other === undefined || other.id < key.id) own.set(key.frame, key);
  }
  return new Map(
    [...byFigure].map(([figure, keys]) => [
      figure,
      [...keys.values()].sort((a, b) => a.frame - b.frame),
    ]),
  );
}

function readKey({ id, fields }: Row): StoredKey | null {
  const figure = asText(fields.get('figure'));
  const frame = asNumber(fields.get('frame'));
  const stored = readPoseFields(fields);
  if (figure === null || frame === null || stored === null) return null;
  if (!(frame >= 0 && Number.isInteger(frame))) return null;
  return { id, figure, frame, ...stored, ease: asOneOf(fields.get('ease'), EASES) ?? 'eased' };
}

/** When patches carry, as a person set it. Rows that make no sense are left out. */
export function readTouches(entries: Entries): EditedContact[] {
  return [...readRows(entries, 'touch').values()].flatMap(({ id, fields }): EditedContact[] => {
    const cut = id.lastIndexOf('@');
    const patch = asOneOf(id.slice(cut + 1), PATCHES);
    const given = fields.get('spans');
    if (cut < 1 || patch === null || !Array.isArray(given)) return [];
    const spans = given.map(readSpan).filter((span) => span !== null);
    return [{ figure: id.slice(0, cut), patch, spans }];
  });
}

/** A stored span; null for what is none. */
export function readSpan(value: unknown): FrameSpan | null {
  if (!Array.isArray(value) || value.length !== 2) return null;
  const [from, to] = value.map(asNumber);
  return from == null || to == null || from > to ? null : [from, to];
}
