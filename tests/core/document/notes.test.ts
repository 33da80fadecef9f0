import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addNote,
  addReply,
  type Note,
  readNotes,
  removeNote,
  setNoteState,
} from '../../../core/document/notes.ts';
import { readPresence } from '../../../core/document/presence.ts';
import { readHistory, readPeople, readStamps, recordMap } from '../../../core/document/record.ts';

const USER = { source: 'user' };

const note: Omit<Note, 'replies'> = {
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
      { ...note, replies: [{ id: 'r', note: 'n', text: 'Sliding the pelvis over.' }] },
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
