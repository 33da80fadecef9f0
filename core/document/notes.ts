import type * as Y from 'yjs';
import { SEGMENTS, type SegmentName } from '../body/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';
import { dropRow, putRow, type Row, readRows, SEPARATOR } from './table.ts';

/**
 * The `notes` document of a review: notes and replies. Who wrote what and when is not in it: the
 * server stamps each row and each change of state in the `record` document (record.ts), from its own
 * knowledge of the person, so that no client can claim to be someone else.
 * Root names: `notes`, `replies`.
 */
export const NOTE_STATES = ['open', 'answered', 'settled'] as const;
export type NoteState = (typeof NOTE_STATES)[number];

export const NOTE_WEIGHTS = ['must', 'should', 'could'] as const;
export type NoteWeight = (typeof NOTE_WEIGHTS)[number];

/** What a note is about. Pins on a thing follow the thing; `point` stays where it was put. */
export type Pin =
  | { readonly kind: 'shot' }
  | { readonly kind: 'joint'; readonly figure: string; readonly segment: SegmentName }
  | { readonly kind: 'load'; readonly load: string }
  /** The plumb line of a figure. */
  | { readonly kind: 'plumb'; readonly figure: string }
  /** A contact by its id in the report, `figure/patch`. */
  | { readonly kind: 'contact'; readonly contact: string }
  | { readonly kind: 'point'; readonly point: Vec3 };

export interface Note {
  readonly id: string;
  readonly shot: string;
  readonly draft: string;
  readonly pin: Pin;
  /** Frame that it speaks of; null where the shot is one pose. */
  readonly frame: number | null;
  readonly text: string;
  readonly state: NoteState;
  readonly weight: NoteWeight;
  readonly replies: readonly Reply[];
}

export interface Reply {
  readonly id: string;
  readonly note: string;
  readonly text: string;
}

const notesMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('notes');
const repliesMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('replies');

/** The root maps of the document, to observe. */
export const noteMaps = (doc: Y.Doc): readonly Y.Map<unknown>[] => [notesMap(doc), repliesMap(doc)];

/** Key under which the server stamps the last change of a note's state. */
export const stateStampKey = (note: string): string => `${note}${SEPARATOR}state`;

function readPin(value: unknown): Pin {
  const pin = asRecord(value);
  const figure = asText(pin?.figure);
  const segment = asOneOf(pin?.segment, SEGMENTS);
  const load = asText(pin?.load);
  const contact = asText(pin?.contact);
  const point = asVec3(pin?.point);
  if (pin?.kind === 'joint' && figure && segment) return { kind: 'joint', figure, segment };
  if (pin?.kind === 'load' && load) return { kind: 'load', load };
  if (pin?.kind === 'plumb' && figure) return { kind: 'plumb', figure };
  if (pin?.kind === 'contact' && contact) return { kind: 'contact', contact };
  if (pin?.kind === 'point' && point) return { kind: 'point', point };
  return { kind: 'shot' };
}

/** All notes, unordered (the stamps in `record` give the times); `shot` narrows to one shot. */
export function readNotes(doc: Y.Doc, shot?: string): Note[] {
  const replies = new Map<string, Reply[]>();
  for (const { id, fields } of readRows(repliesMap(doc)).values()) {
    const note = asText(fields.get('note')) ?? '';
    const reply = { id, note, text: asText(fields.get('text')) ?? '' };
    replies.set(note, [...(replies.get(note) ?? []), reply]);
  }
  return [...readRows(notesMap(doc)).values()]
    .map((row) => toNote(row, replies.get(row.id) ?? []))
    .filter((note) => shot === undefined || note.shot === shot);
}

function toNote({ id, fields }: Row, replies: readonly Reply[]): Note {
  return {
    id,
    shot: asText(fields.get('shot')) ?? '',
    draft: asText(fields.get('draft')) ?? '',
    pin: readPin(fields.get('pin')),
    frame: asNumber(fields.get('frame')),
    text: asText(fields.get('text')) ?? '',
    state: asOneOf(fields.get('state'), NOTE_STATES) ?? 'open',
    weight: asOneOf(fields.get('weight'), NOTE_WEIGHTS) ?? 'should',
    replies,
  };
}

export function addNote(doc: Y.Doc, note: Omit<Note, 'replies'>, origin: unknown): void {
  const { id, ...fields } = note;
  doc.transact(() => putRow(notesMap(doc), id, fields), origin);
}

export function addReply(doc: Y.Doc, reply: Reply, origin: unknown): void {
  const { id, ...fields } = reply;
  doc.transact(() => putRow(repliesMap(doc), id, fields), origin);
}

export function setNoteState(doc: Y.Doc, note: string, state: NoteState, origin: unknown): void {
  doc.transact(() => notesMap(doc).set(stateStampKey(note), state), origin);
}

/**
 * Removes a note. Its replies are other people's words: they stay in the document, where nothing reads
 * them without their note, and come back with it when the removal is undone.
 * @param withReplies removes the replies too, which the server takes from a lead alone
 */
export function removeNote(
  doc: Y.Doc,
  note: string,
  origin: unknown,
  { withReplies = false } = {},
): void {
  doc.transact(() => {
    dropRow(notesMap(doc), note);
    if (!withReplies) return;
    for (const reply of readRows(repliesMap(doc)).values()) {
      if (reply.fields.get('note') === note) dropRow(repliesMap(doc), reply.id);
    }
  }, origin);
}
