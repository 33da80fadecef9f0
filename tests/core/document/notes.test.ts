import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addNote,
  addReply,
  askPerson,
  type NewNote,
  readNotes,
  removeNote,
  setNoteState,
} from '../../../core/document/notes.ts';
import { type Pin, readPin } from '../../../core/document/pins.ts';
import { readPresence } from '../../../core/document/presence.ts';
import { readHistory, readPeople, readStamps, recordMap } from '../../../core/document/record.ts';

const USER = { source: 'user' };

const note: NewNote = {
  id: 'n',
  shot: 's',
  draft: 'd',
  pin: { kind: 'joint', figure: 'porter', segment: 'thighL' },
  frame: 12,
  text: 'Weight is on the right, but the hips say both.',
  state: 'open',
  weight: 'must',
};

describe('notes', () => {
  it('come back with their replies', () => {
    const doc = new Y.Doc();
    addNote(doc, note, USER);
    addReply(doc, { id: 'r', note: 'n', text: 'Sliding the pelvis over.' }, USER);
    expect(readNotes(doc, 's')).toEqual([
      {
        ...note,
        reason: '',
        reading: null,
        attached: null,
        asked: null,
        mentions: [],
        replies: [{ id: 'r', note: 'n', text: 'Sliding the pelvis over.', mentions: [] }],
      },
    ]);
    expect(readNotes(doc, 'another')).toEqual([]);
  });

  it('change state, and go; their replies go with them when a lead says so', () => {
    const doc = new Y.Doc();
    addNote(doc, note, USER);
    addReply(doc, { id: 'r', note: 'n', text: 'Done.' }, USER);
    setNoteState(doc, 'n', 'settled', USER);
    expect(readNotes(doc)[0]?.state).toBe('settled');
    removeNote(doc, 'n', USER);
    expect(readNotes(doc)).toEqual([]);
    expect(doc.getMap('replies').get('r/text')).toBe('Done.');
    removeNote(doc, 'n', USER, { withReplies: true });
    expect([...doc.getMap('replies').keys()]).toEqual([]);
  });

  it('fall back to the shot when a pin makes no sense', () => {
    const doc = new Y.Doc();
    addNote(doc, note, USER);
    doc.getMap('notes').set('n/pin', { kind: 'joint', figure: 'porter', segment: 'wing' });
    expect(readNotes(doc)[0]?.pin).toEqual({ kind: 'shot' });
  });
});

describe('a note', () => {
  it('keeps its reading, what is attached, who is asked and whom it speaks to', () => {
    const doc = new Y.Doc();
    const more = {
      reading: { verdict: 'holds', margin: 0.031, centre: [0, 0.98, 0.04] },
      attached: {
        kind: 'way',
        draft: 'd',
        words: 'hips back',
        entries: { 'figure/f/position': 1 },
      },
      asked: 'ida',
      mentions: ['ida', 'odd'],
    } as const;
    addNote(doc, { ...note, ...more }, USER);
    addReply(doc, { id: 'r', note: 'n', text: '@Odd look', mentions: ['odd'] }, USER);
    const [read] = readNotes(doc);
    expect(read).toMatchObject(more);
    expect(read?.replies[0]?.mentions).toEqual(['odd']);
    askPerson(doc, 'n', null, USER);
    expect(readNotes(doc)[0]?.asked).toBeNull();
    askPerson(doc, 'n', 'odd', USER);
    expect(readNotes(doc)[0]?.asked).toBe('odd');
  });

  it('is kept on purpose with its story reason, or not at all', () => {
    const doc = new Y.Doc();
    addNote(doc, note, USER);
    setNoteState(doc, 'n', 'kept', USER, ' He is drunk. ');
    expect(readNotes(doc)[0]).toMatchObject({ state: 'kept', reason: 'He is drunk.' });
    expect(() => setNoteState(doc, 'n', 'kept', USER, '  ')).toThrow(RangeError);
    doc.getMap('notes').set('n/state', 'kept');
    expect(readNotes(doc)[0]).toMatchObject({ state: 'open', reason: '' });
    setNoteState(doc, 'n', 'parked', USER);
    expect(readNotes(doc)[0]?.state).toBe('parked');
  });

  it('reads nothing from values that make no sense', () => {
    const doc = new Y.Doc();
    addNote(doc, note, USER);
    const set = (field: string, value: unknown) => doc.getMap('notes').set(`n/${field}`, value);
    set('reading', { verdict: 'wobbles', margin: 1 });
    set('attached', { kind: 'way', draft: 'd', words: 'no entries' });
    set('asked', 7);
    set('mentions', ['ida', 3, null]);
    expect(readNotes(doc)[0]).toMatchObject({
      reading: null,
      attached: null,
      asked: null,
      mentions: ['ida'],
    });
  });
});

describe('a pin', () => {
  const PINS: readonly Pin[] = [
    { kind: 'shot' },
    { kind: 'joint', figure: 'f', segment: 'handL' },
    { kind: 'segment', figure: 'f', segment: 'thighR' },
    { kind: 'load', load: 'pack' },
    { kind: 'grip', grip: 'g' },
    { kind: 'plumb', figure: 'f' },
    { kind: 'edge', figure: 'f', side: 'back' },
    { kind: 'contact', contact: 'f/soleL' },
    { kind: 'reference', view: 'front', at: [0.25, 0.5] },
    { kind: 'frames', from: 12, to: 40 },
    { kind: 'point', point: [0, 1, 2] },
  ];
  it.each(PINS)('of kind $kind comes back as it was stored', (pin) => {
    expect(readPin(structuredClone(pin))).toEqual(pin);
  });

  it('on frames runs forwards, whichever end was named first', () => {
    expect(readPin({ kind: 'frames', from: 40, to: 12 })).toEqual({
      kind: 'frames',
      from: 12,
      to: 40,
    });
  });

  it.each([
    null,
    'joint',
    { kind: 'edge', figure: 'f', side: 'top' },
    { kind: 'frames', from: 'x', to: 2 },
    { kind: 'reference', view: 'front', at: [0.5] },
    { kind: 'grip', load: 'pack' },
  ])('that makes no sense is the whole shot (%j)', (value) => {
    expect(readPin(value)).toEqual({ kind: 'shot' });
  });
});

describe('the record', () => {
  it('reads people, stamps and history, and skips what is not one', () => {
    const doc = new Y.Doc();
    recordMap(doc, 'people').set('p', { name: 'Ida', ink: 3, role: 'lead' });
    recordMap(doc, 'people').set('q', { name: 'Odd', ink: 3, role: 'emperor' });
    recordMap(doc, 'stamps').set('n', { by: 'p', at: '2026-01-02T03:04:05.000Z' });
    recordMap(doc, 'stamps').set('m', 'yesterday');
    recordMap(doc, 'history').set('d', { verdict: 'falls', margin: -0.012, ratio: -0.1, at: 't' });
    expect([...readPeople(doc).values()]).toEqual([{ id: 'p', name: 'Ida', ink: 3, role: 'lead' }]);
    expect([...readStamps(doc).keys()]).toEqual(['n']);
    expect(readHistory(doc).get('d')?.margin).toBe(-0.012);
  });
});

describe('presence', () => {
  it('reads a drag under way, and nothing from a stranger’s state', () => {
    const drag = { draft: 'd', entries: { 'figure/f/position': [0, 1, 0] } };
    expect(readPresence({ person: 'p', name: 'Ida', ink: 2, drag })?.drag).toEqual(drag);
    expect(readPresence({ user: { name: 'stock client' } })).toBeNull();
    expect(readPresence(null)).toBeNull();
  });
});
