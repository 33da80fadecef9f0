import type * as Y from 'yjs';
import { SEGMENTS, type SegmentName } from '../body/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';
import { PICTURE_VIEWS, type PictureView } from './pictures.ts';
import { dropRow, putRow, type Row, readRows } from './table.ts';

/**
 * Marks drawn over the drawings of a draft, in the root map `marks` of the notes document. Their points
 * are points of the scene or of a reference, so that they sit right at any zoom and in every window. Who drew a mark is
 * stamped in the record, as with notes.
 */
export const MARK_KINDS = ['ink', 'line', 'arrow', 'length', 'angle'] as const;
export type MarkKind = (typeof MARK_KINDS)[number];

/**
 * The drawing that a mark is on: it is seen there and nowhere else. `picture`: through the camera of the
 * reference. `free`: the free camera, while it looks about the way that it did. `every`: all but the plan,
 * for what is tied to joints.
 */
export const MARK_VIEWS = ['front', 'side', 'free', 'picture', 'plan', 'every'] as const;
export type MarkView = (typeof MARK_VIEWS)[number];

/** An end of a straight mark: a place, or a joint that it follows. */
export type MarkEnd =
  | { readonly point: Vec3 }
  | { readonly figure: string; readonly segment: SegmentName };

/** A mark as it is drawn, stored or still under the hand. */
export interface Stroke {
  readonly draft: string;
  /** Frame that it is on; null where the draft is one pose. */
  readonly frame: number | null;
  readonly view: MarkView;
  /**
   * The reference that it lies on, and goes along with when that is lined up anew: its points are then
   * shares of the picture's width and height from its top left corner, and 0. Null: points of the scene.
   */
  readonly reference: PictureView | null;
  /** Unit direction from the scene to the viewer, for marks in the free view; null in all others. */
  readonly towards: Vec3 | null;
  readonly kind: MarkKind;
  /** Of ink: x, y, z (metres) and pressure (0 to 1) of each point in turn; empty for straight marks. */
  readonly points: readonly number[];
  /** Of straight marks: two ends; of an angle three, the vertex in the middle. */
  readonly ends: readonly MarkEnd[];
  /** A pen that tells its pressure drew it; else the width is made from the speed of the hand. */
  readonly pen: boolean;
}

export interface Mark extends Stroke {
  readonly id: string;
}

/** Points of one stroke of ink; what goes on beyond them is cut off. */
export const MAX_POINTS = 1500;

const marksMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('marks');

/** The root map of the marks, to observe. */
export const markMaps = (doc: Y.Doc): readonly Y.Map<unknown>[] => [marksMap(doc)];

/** The marks of a draft that make sense, in no order. */
export function readMarks(doc: Y.Doc, draft: string): Mark[] {
  return [...readRows(marksMap(doc)).values()].flatMap((row) => {
    const mark = toMark(row);
    return mark === null || mark.draft !== draft ? [] : [mark];
  });
}

function toMark({ id, fields }: Row): Mark | null {
  const stroke = readStroke(Object.fromEntries(fields));
  return stroke === null ? null : { id, ...stroke };
}

/** Reads a stroke from a row or from somebody's presence; null where it makes no sense. */
export function readStroke(value: unknown): Stroke | null {
  const fields = asRecord(value);
  const draft = asText(fields?.draft);
  const kind = asOneOf(fields?.kind, MARK_KINDS);
  const view = asOneOf(fields?.view, MARK_VIEWS);
  if (fields === null || draft === null || kind === null || view === null) return null;
  const points = readPoints(fields.points);
  const ends = Array.isArray(fields.ends) ? fields.ends.map(readEnd) : [];
  const whole = ends.filter((end) => end !== null);
  const needed = kind === 'ink' ? 0 : kind === 'angle' ? 3 : 2;
  if (whole.length !== needed || (kind === 'ink' && points.length === 0)) return null;
  return {
    draft,
    frame: asNumber(fields.frame),
    view,
    reference: asOneOf(fields.reference, PICTURE_VIEWS),
    towards: asVec3(fields.towards),
    kind,
    points: kind === 'ink' ? points : [],
    ends: whole,
    pen: fields.pen === true,
  };
}

function readPoints(value: unknown): number[] {
  if (!Array.isArray(value)) return [];
  const numbers = value.slice(0, 4 * MAX_POINTS);
  return numbers.every((n) => asNumber(n) !== null)
    ? (numbers as number[]).slice(0, numbers.length - (numbers.length % 4))
    : [];
}

function readEnd(value: unknown): MarkEnd | null {
  const fields = asRecord(value);
  const point = asVec3(fields?.point);
  if (point !== null) return { point };
  const figure = asText(fields?.figure);
  const segment = asOneOf(fields?.segment, SEGMENTS);
  return figure === null || segment === null ? null : { figure, segment };
}

export function addMark(doc: Y.Doc, { id, ...stroke }: Mark, origin: unknown): void {
  doc.transact(() => putRow(marksMap(doc), id, { ...stroke }), origin);
}

export function removeMark(doc: Y.Doc, mark: string, origin: unknown): void {
  doc.transact(() => dropRow(marksMap(doc), mark), origin);
}
