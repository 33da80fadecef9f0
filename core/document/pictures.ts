import type * as Y from 'yjs';
import type { PerspectiveMarks } from '../geometry/index.ts';
import type { Vec2, Vec3 } from '../geometry/types.ts';
import { asNumber, asOneOf, asText, asVec2, asVec3 } from './decode.ts';
import { dropRow, type Entries, putRow, type Row, readRows } from './table.ts';

/**
 * Reference pictures of a draft: one a view, in the draft's map under `picture/VIEW` with the fields
 * /files /size /name /opacity /hidden /locked /feet /head /stature /at /horizon /focal /turn.
 * `front` and `side` lie flat behind the true elevation; `camera` is seen in perspective.
 */
export const PICTURE_VIEWS = ['front', 'side', 'camera'] as const;
export type PictureView = (typeof PICTURE_VIEWS)[number];

export interface Picture extends PerspectiveMarks {
  readonly view: PictureView;
  /** Content hashes; several are the frames of a shot, in order. All have the first one's shape. */
  readonly files: readonly string[];
  readonly name: string;
  /** 0 to 1. */
  readonly opacity: number;
  readonly hidden: boolean;
  /** The line-up is done: its marks cannot be dragged. */
  readonly locked: boolean;
}

export const pictureKey = (view: PictureView, field?: keyof Picture): string =>
  field === undefined ? `picture/${view}` : `picture/${view}/${field}`;

const within = (value: number | null, low: number, high: number, otherwise: number): number =>
  value === null ? otherwise : Math.max(low, Math.min(high, value));

/** Ranges of what may be set, shared by page and reading. */
export const FOCAL_RANGE = [10, 400] as const;
export const STATURE_RANGE = [0.2, 5] as const;

/** Marks for a picture that has just come in: a person who fills most of its height. */
export function startMarks(size: Vec2): Pick<Picture, 'feet' | 'head' | 'horizon'> {
  const [w, h] = size;
  return {
    feet: [w / 2, h * 0.92],
    head: [w / 2, h * 0.08],
    horizon: [
      [w * 0.1, h * 0.45],
      [w * 0.9, h * 0.45],
    ],
  };
}

function toPicture({ id, fields }: Row): Picture | null {
  const view = asOneOf(id, PICTURE_VIEWS);
  const size = asVec2(fields.get('size'));
  const files = fields.get('files');
  const hashes = (Array.isArray(files) ? files : []).map(asText).filter((hash) => hash !== null);
  if (view === null || size === null || !(size[0] > 0 && size[1] > 0) || hashes.length === 0)
    return null;
  const start = startMarks(size);
  const horizon = fields.get('horizon');
  const [a, b] = Array.isArray(horizon) ? horizon.map(asVec2) : [];
  const at: Vec3 = asVec3(fields.get('at')) ?? [0, 0, 0];
  return {
    ...{ view, size, files: hashes, at },
    name: asText(fields.get('name')) ?? 'Picture',
    opacity: within(asNumber(fields.get('opacity')), 0, 1, 0.6),
    hidden: fields.get('hidden') === true,
    locked: fields.get('locked') === true,
    feet: asVec2(fields.get('feet')) ?? start.feet,
    head: asVec2(fields.get('head')) ?? start.head,
    horizon: a && b ? [a, b] : start.horizon,
    stature: within(asNumber(fields.get('stature')), ...STATURE_RANGE, 1.7),
    focal: within(asNumber(fields.get('focal')), ...FOCAL_RANGE, 50),
    turn: asNumber(fields.get('turn')) ?? 0,
  };
}

/** The pictures among a draft's entries; what makes no sense is left out. */
export function readPictures(entries: Entries): ReadonlyMap<PictureView, Picture> {
  const pictures = [...readRows(entries, 'picture').values()].map(toPicture);
  return new Map(pictures.flatMap((picture) => (picture ? [[picture.view, picture]] : [])));
}

/** Puts a picture behind a view, in the place of the one that is there. */
export function putPicture(entries: Y.Map<unknown>, picture: Picture): void {
  const { view, ...fields } = picture;
  dropRow(entries, pictureKey(view));
  putRow(entries, pictureKey(view), fields);
}

export function dropPicture(entries: Y.Map<unknown>, view: PictureView): void {
  dropRow(entries, pictureKey(view));
}
