import type { Verdict } from '../balance/types.ts';
import type { Note, NoteState } from './notes.ts';
import type { Person, Stamp } from './record.ts';
import type { Draft } from './scenes.ts';

/** What notes are looked for by; an empty string asks for nothing. */
export interface NoteQuery {
  /** Words, all of which stand in the note, its reason or its replies. */
  readonly text: string;
  /** Person who wrote it or a reply, is asked, or is spoken to. */
  readonly person: string;
  /** Person who is asked or spoken to. */
  readonly to: string;
  /** `standing`: open or answered. */
  readonly state: NoteState | 'standing' | '';
  /** Verdict at the time of writing. */
  readonly verdict: Verdict | '';
  readonly shot: string;
}

export const EVERY_NOTE: NoteQuery = {
  text: '',
  person: '',
  to: '',
  state: '',
  verdict: '',
  shot: '',
};

/** States in which something is still to be done about a note. */
export const isStanding = ({ state }: Pick<Note, 'state'>): boolean =>
  state === 'open' || state === 'answered';

/** The notes that fit a query, in the order given. `stamps` tells who wrote what. */
export function findNotes(
  notes: readonly Note[],
  query: NoteQuery,
  stamps: ReadonlyMap<string, Stamp>,
): Note[] {
  const words = query.text.toLowerCase().split(/\s+/).filter(Boolean);
  return notes.filter((note) => {
    if (query.shot !== '' && note.shot !== query.shot) return false;
    if (query.state === 'standing' ? !isStanding(note) : query.state && note.state !== query.state)
      return false;
    if (query.verdict !== '' && note.reading?.verdict !== query.verdict) return false;
    if (query.to !== '' && !isFor(note, query.to)) return false;
    if (query.person !== '' && !concerns(note, query.person, stamps)) return false;
    const said = [note.text, note.reason, ...note.replies.map(({ text }) => text)]
      .join('\n')
      .toLowerCase();
    return words.every((word) => said.includes(word));
  });
}

function concerns(note: Note, person: string, stamps: ReadonlyMap<string, Stamp>): boolean {
  const written = [note.id, ...note.replies.map(({ id }) => id)];
  return isFor(note, person) || written.some((id) => stamps.get(id)?.by === person);
}

/** Whether a note asks a person, or it or one of its replies speaks to them by name. */
export const isFor = (note: Note, person: string): boolean =>
  note.asked === person ||
  note.mentions.includes(person) ||
  note.replies.some(({ mentions }) => mentions.includes(person));

/** A stretch of a text; `person` where it is the `@name` of somebody. */
export interface TextPart {
  readonly text: string;
  readonly person: string | null;
}

const LETTER = /[\p{L}\p{N}_]/u;

/**
 * Takes a text apart at the people it speaks to: `@` and the name of a person as a word of its own,
 * in capitals or not; of several names that fit the longest.
 */
export function textParts(
  text: string,
  people: readonly Pick<Person, 'id' | 'name'>[],
): TextPart[] {
  const longest = people
    .filter(({ name }) => name !== '')
    .toSorted((a, b) => b.name.length - a.name.length);
  const parts: TextPart[] = [];
  let plain = 0;
  for (let at = text.indexOf('@'); at !== -1; at = text.indexOf('@', at + 1)) {
    if (LETTER.test(text[at - 1] ?? '')) continue;
    const person = longest.find(({ name }) => {
      const end = at + 1 + name.length;
      const said = text.slice(at + 1, end).toLowerCase();
      return said === name.toLowerCase() && !LETTER.test(text[end] ?? '');
    });
    if (person === undefined) continue;
    if (at > plain) parts.push({ text: text.slice(plain, at), person: null });
    plain = at + 1 + person.name.length;
    parts.push({ text: text.slice(at, plain), person: person.id });
  }
  if (plain < text.length) parts.push({ text: text.slice(plain), person: null });
  return parts;
}

/** Ids of the people whom a text speaks to, each once, in the order of their naming. */
export function mentionsIn(text: string, people: readonly Pick<Person, 'id' | 'name'>[]): string[] {
  const named = textParts(text, people).flatMap(({ person }) => (person === null ? [] : [person]));
  return [...new Set(named)];
}

/**
 * Whether a note speaks of a draft that is shown: it was written there, or on an earlier one and
 * something is still to be done about it, so that it comes along until it is settled.
 */
export function speaksOf(
  note: Pick<Note, 'draft' | 'state'>,
  shown: Pick<Draft, 'id' | 'number'>,
  drafts: readonly Pick<Draft, 'id' | 'number'>[],
): boolean {
  if (note.draft === shown.id) return true;
  const written = drafts.find(({ id }) => id === note.draft)?.number ?? 0;
  return isStanding(note) && written < shown.number;
}
