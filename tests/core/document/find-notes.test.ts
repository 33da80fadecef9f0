import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  EVERY_NOTE,
  findNotes,
  mentionsIn,
  type NoteQuery,
  textParts,
} from '../../../core/document/find-notes.ts';
import { addNote, addReply, readNotes, setNoteState } from '../../../core/document/notes.ts';

const USER = { source: 'user' };
const PEOPLE = [
  { id: 'ida', name: 'Ida' },
  { id: 'ida2', name: 'Ida Brand' },
  { id: 'odd', name: 'Odd' },
];

describe('people in a text', () => {
  it('are found by the longest name that fits, in capitals or not', () => {
    expect(mentionsIn('@ida brand and @Odd, not @Nobody', PEOPLE)).toEqual(['ida2', 'odd']);
    expect(mentionsIn('@Ida, @ida again', PEOPLE)).toEqual(['ida']);
  });

  it('are words of their own: an address or a longer name is nobody', () => {
    expect(mentionsIn('mail odd@ida.example, @Oddny', PEOPLE)).toEqual([]);
  });

  it('leave the rest of the text as it was', () => {
    const text = 'See @Odd: hips, @Ida Brand';
    const parts = textParts(text, PEOPLE);
    expect(parts.map((part) => part.text).join('')).toBe(text);
    expect(parts.map(({ person }) => person)).toEqual([null, 'odd', null, 'ida2']);
  });
});

describe('notes', () => {
  const doc = new Y.Doc();
  const base = { draft: 'd', pin: { kind: 'shot' }, frame: null, weight: 'should' } as const;
  const falls = { verdict: 'falls', margin: -0.02, centre: null } as const;
  addNote(doc, { ...base, id: 'a', shot: 's', text: 'Hips forward', reading: falls }, USER);
  addNote(doc, { ...base, id: 'b', shot: 's', text: 'Hand up', asked: 'odd' }, USER);
  addNote(doc, { ...base, id: 'c', shot: 't', text: 'Hips @Odd', mentions: ['odd'] }, USER);
  addReply(doc, { id: 'r', note: 'a', text: 'Or a lighter pack' }, USER);
  setNoteState(doc, 'b', 'answered', USER);
  setNoteState(doc, 'c', 'kept', USER, 'He is drunk');
  const stamps = new Map([
    ['a', { by: 'ida', at: '1' }],
    ['r', { by: 'odd', at: '2' }],
  ]);
  const find = (query: Partial<NoteQuery>): string[] =>
    findNotes(readNotes(doc), { ...EVERY_NOTE, ...query }, stamps).map(({ id }) => id);

  it.each<[string, Partial<NoteQuery>, string[]]>([
    ['nothing asked', {}, ['a', 'b', 'c']],
    ['a word of the text', { text: 'HIPS' }, ['a', 'c']],
    ['words of text and reply', { text: 'pack hips' }, ['a']],
    ['the story reason', { text: 'drunk' }, ['c']],
    ['who wrote, answered, is asked or spoken to', { person: 'odd' }, ['a', 'b', 'c']],
    ['whom it asks or speaks to', { to: 'odd' }, ['b', 'c']],
    ['who wrote it', { person: 'ida' }, ['a']],
    ['state', { state: 'kept' }, ['c']],
    ['what still stands', { state: 'standing' }, ['a', 'b']],
    ['verdict', { verdict: 'falls' }, ['a']],
    ['shot', { shot: 't' }, ['c']],
    ['all at once', { shot: 's', text: 'hips', person: 'odd', state: 'standing' }, ['a']],
  ])('are found by %s', (_, query, ids) => {
    expect(find(query)).toEqual(ids);
  });
});
