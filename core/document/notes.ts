import type * as Y from 'yjs';
import { type BalanceReport, VERDICTS, type Verdict } from '../balance/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import type { Scene } from '../scene/types.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';
import { type Pin, pinnedGroup, readPin } from './pins.ts';
import { dropRow, putRow, type Row, readRows, SEPARATOR } from './table.ts';

/**
 * The `notes` document of a review: notes and replies. Who wrote what and when is not in it: the
 * server stamps each row and each change of state in the `record` document (record.ts), from its own
 * knowledge of the person, so that no client can claim to be someone else.
 * Root names: `notes`, `replies`; marks.ts reads a third, `marks`.
 */
export const NOTE_STATES = ['open', 'answered', 'settled', 'parked', 'kept'] as const;
export type NoteState = (typeof NOTE_STATES)[number];

export const NOTE_WEIGHTS = ['must', 'should', 'could'] as const;
export type NoteWeight = (typeof NOTE_WEIGHTS)[number];

/** How what a note is about balanced when the note was written. */
export interface NoteReading {
  readonly verdict: Verdict;
  /** Metres, positive inside; null where there is no edge to measure to. */
  readonly margin: number | null;
  /** Metres; null where nothing has a mass. */
  readonly centre: Vec3 | null;
}

/** The reading that a note on a pin keeps; null where there is nothing to weigh. */
export function noteReading(pin: Pin, scene: Scene, report: BalanceReport): NoteReading | null {
  const group = pinnedGroup(pin, scene, report);
  if (group === undefined) return null;
  const { verdict, margin, centre } = group;
  return { verdict, margin: margin?.distance ?? null, centre };
}

/** What is handed over with a note. */
export type Attachment =
  | { readonly kind: 'draft'; readonly draft: string }
  /** A way back: its words and the entries of the draft that it sets. */
  | {
      readonly kind: 'way';
      readonly draft: string;
      readonly words: string;
      readonly entries: Readonly<Record<string, unknown>>;
    };

export interface Note {
  readonly id: string;
  readonly shot: string;
  readonly draft: string;
  readonly pin: Pin;
  /** Frame that it speaks of; null where the shot is one pose. */
  readonly frame: number | null;
  readonly text: string;
  readonly state: NoteState;
  /** Why the pose stays as it is, in a note that is kept on purpose; empty in every other state. */
  readonly reason: string;
  readonly weight: NoteWeight;
  /** Null in a note from before readings were kept. */
  readonly reading: NoteReading | null;
  readonly attached: Attachment | null;
  /** Person who is asked to see to it; null: nobody by name. */
  readonly asked: string | null;
  /** People whom its text speaks to. */
  readonly mentions: readonly string[];
  readonly replies: readonly Reply[];
}

/** What a note is made from; what is left out is as in a note that says nothing of it. */
export type NewNote = Pick<Note, 'id' | 'shot' | 'draft' | 'pin' | 'frame' | 'text' | 'weight'> &
  Partial<Pick<Note, 'state' | 'reading' | 'attached' | 'asked' | 'mentions'>>;

export interface Reply {
  readonly id: string;
  readonly note: string;
  readonly text: string;
  /** People whom its text speaks to. */
  readonly mentions: readonly string[];
}

/** A reply's text is at most this long, and so is a note's, characters. */
export const MAX_WORDS = 4000;

const notesMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('notes');
const repliesMap = (doc: Y.Doc): Y.Map<unknown> => doc.getMap<unknown>('replies');

/** The root maps of the document, to observe. */
export const noteMaps = (doc: Y.Doc): readonly Y.Map<unknown>[] => [notesMap(doc), repliesMap(doc)];

/** Key under which the server stamps the last change of a note's state. */
export const stateStampKey = (note: string): string => `${note}${SEPARATOR}state`;

/** The fields of a note that everybody who writes notes may set; all others are its author's. */
export const SHARED_NOTE_FIELDS: readonly string[] = ['state', 'asked'];

/**
 * Reads a state as it was stored: a word, or for `kept` the word with its reason. A note cannot be
 * kept on purpose without saying why, so without a reason it stands open.
 */
export function readState(value: unknown): Pick<Note, 'state' | 'reason'> | null {
  const kept = asText(asRecord(value)?.kept)?.trim();
  if (kept) return { state: 'kept', reason: kept };
  const state = asOneOf(value, NOTE_STATES);
  return state === null || state === 'kept' ? null : { state, reason: '' };
}

function readReading(value: unknown): NoteReading | null {
  const fields = asRecord(value);
  const verdict = asOneOf(fields?.verdict, VERDICTS);
  if (fields === null || verdict === null) return null;
  return { verdict, margin: asNumber(fields.margin), centre: asVec3(fields.centre) };
}

function readAttached(value: unknown): Attachment | null {
  const fields = asRecord(value);
  const draft = asText(fields?.draft);
  if (fields === null || !draft) return null;
  if (fields.kind === 'draft') return { kind: 'draft', draft };
  const entries = asRecord(fields.entries);
  if (fields.kind !== 'way' || entries === null) return null;
  return { kind: 'way', draft, words: asText(fields.words) ?? '', entries };
}

const readMentions = (value: unknown): readonly string[] =>
  Array.isArray(value) ? value.filter((person) => asText(person) !== null) : [];

/** All notes, unordered (the stamps in `record` give the times); `shot` narrows to one shot. */
export function readNotes(doc: Y.Doc, shot?: string): Note[] {
  const replies = new Map<string, Reply[]>();
  for (const { id, fields } of readRows(repliesMap(doc)).values()) {
    const note = asText(fields.get('note')) ?? '';
    const text = asText(fields.get('text')) ?? '';
    const reply = { id, note, text, mentions: readMentions(fields.get('mentions')) };
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
    ...(readState(fields.get('state')) ?? { state: 'open', reason: '' }),
    weight: asOneOf(fields.get('weight'), NOTE_WEIGHTS) ?? 'should',
    reading: readReading(fields.get('reading')),
    attached: readAttached(fields.get('attached')),
    asked: asText(fields.get('asked')),
    mentions: readMentions(fields.get('mentions')),
    replies,
  };
}

/** Whether a field of a note tells how its shot balances: its reading, or a way back, which says what comes of it. */
export const tellsReading = (field: string | undefined, value: unknown): boolean =>
  field === 'reading' || (field === 'attached' && asRecord(value)?.kind === 'way');

/** The entries of a shot's notes that tell how it balances, by key. */
export function tellingEntries(doc: Y.Doc, shot: string): Record<string, unknown> {
  const notes = notesMap(doc);
  return Object.fromEntries(
    [...notes.entries()].filter(([key, value]) => {
      const [note = '', field] = key.split(SEPARATOR);
      return tellsReading(field, value) && notes.get(shotKey(note)) === shot;
    }),
  );
}

/** A note as it is shown while the readings of its shot are hidden. */
export const withoutReadings = (note: Note): Note => ({
  ...note,
  reading: null,
  attached: tellsReading('attached', note.attached) ? null : note.attached,
});

/** Key of the shot that a note is about. */
export const shotKey = (note: string): string => `${note}${SEPARATOR}shot`;

export function addNote(doc: Y.Doc, note: NewNote, origin: unknown): void {
  const { id, state = 'open', reading, attached, asked, mentions = [], ...rest } = note;
  const fields = {
    ...rest,
    state,
    reading: reading ?? undefined,
    attached: attached ?? undefined,
    asked: asked ?? undefined,
    mentions: mentions.length > 0 ? mentions : undefined,
  };
  doc.transact(() => putRow(notesMap(doc), id, fields), origin);
}

export function addReply(
  doc: Y.Doc,
  { id, note, text, mentions = [] }: Omit<Reply, 'mentions'> & Partial<Pick<Reply, 'mentions'>>,
  origin: unknown,
): void {
  const fields = { note, text, mentions: mentions.length > 0 ? mentions : undefined };
  doc.transact(() => putRow(repliesMap(doc), id, fields), origin);
}

/** Sets a note's state. Throws a RangeError when it is to be kept on purpose without a reason. */
export function setNoteState(
  doc: Y.Doc,
  note: string,
  state: NoteState,
  origin: unknown,
  reason = '',
): void {
  if (state === 'kept' && reason.trim() === '') {
    throw new RangeError('a note that is kept on purpose says why');
  }
  const value = state === 'kept' ? { kept: reason.trim() } : state;
  doc.transact(() => notesMap(doc).set(stateStampKey(note), value), origin);
}

/** Asks a person to see to a note; null asks nobody by name. */
export function askPerson(doc: Y.Doc, note: string, person: string | null, origin: unknown): void {
  const key = `${note}${SEPARATOR}asked`;
  doc.transact(() => {
    if (person === null) notesMap(doc).delete(key);
    else notesMap(doc).set(key, person);
  }, origin);
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
