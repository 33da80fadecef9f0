import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addMark,
  addNote,
  askPerson,
  type Mark,
  markMaps,
  type NewNote,
  type Note,
  readMarks,
  readNotes,
  removeMark,
  setNoteState,
} from '../../core/document/index.ts';
import { updateOf } from '../helpers/hostile.ts';
import { copyOf, expectRefused, meet } from '../helpers/meeting.ts';
import { docUntil, saved } from '../helpers/sync-client.ts';

const USER = { source: 'user' } as const;

const NOTE: NewNote = {
  id: 'n1',
  shot: 'qy-010',
  draft: 'qy-010-1',
  pin: { kind: 'edge', figure: 'porter', side: 'front' },
  frame: null,
  text: 'Weight is on the wrong foot.',
  weight: 'should',
  reading: { verdict: 'holds', margin: 0.031, centre: [0, 0.98, 0.04] },
};
const noteIn = (doc: Y.Doc): Note | undefined => readNotes(doc).find(({ id }) => id === 'n1');

describe('a note', () => {
  it.each([
    ['pin', { kind: 'shot' }],
    ['reading', { verdict: 'falls', margin: -1, centre: null }],
    ['attached', { kind: 'draft', draft: 'qy-010-1' }],
    ['mentions', ['somebody']],
    ['weight', 'must'],
    ['whatever-comes-later', 1],
  ] as const)('keeps its %s from everybody but its author', async (field, value) => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, NOTE, USER);
      await saved(anna);
      const forged = updateOf(copyOf(anna.doc), (doc) =>
        doc.getMap('notes').set(`n1/${field}`, value),
      );
      for (const role of ['reviewer', 'lead'] as const) {
        await expectRefused(await socket(await join(role)), forged, /its author alone/, anna.doc);
      }
    });
  });

  it('is kept on purpose by anybody who says why, and by nobody who does not', async () => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, NOTE, USER);
      await saved(anna);
      const hostile = await socket(await join('reviewer'));
      for (const value of ['kept', { kept: ' ' }, { settled: 1 }, 7]) {
        const silent = updateOf(copyOf(anna.doc), (doc) =>
          doc.getMap('notes').set('n1/state', value),
        );
        await expectRefused(hostile, silent, /says why/, anna.doc);
      }
      const bert = await window(await join('animator'));
      setNoteState(bert.doc, 'n1', 'kept', USER, 'The floor is ice.');
      await docUntil(anna.doc, () => noteIn(anna.doc)?.state === 'kept', 'the state');
      expect(noteIn(anna.doc)?.reason).toBe('The floor is ice.');
    });
  });

  it('is handed from one person to the next by anybody who writes notes', async () => {
    await meet('notes', async ({ join, window }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, { ...NOTE, asked: 'bert' }, USER);
      await saved(anna);
      const bert = await window(await join('animator'));
      askPerson(bert.doc, 'n1', 'carla', USER);
      await docUntil(anna.doc, () => noteIn(anna.doc)?.asked === 'carla', 'the handing over');
    });
  });
});

const MARK: Mark = {
  id: 'm1',
  draft: 'qy-010-1',
  frame: null,
  view: 'front',
  reference: null,
  towards: null,
  kind: 'ink',
  points: [0, 1, 0, 0.5, 0.1, 1, 0, 0.5],
  ends: [],
  pen: false,
};
const marksIn = (doc: Y.Doc): string[] => readMarks(doc, 'qy-010-1').map(({ id }) => id);

describe('a mark', () => {
  it.each<[string, (doc: Y.Doc) => void]>([
    ['rubbed out', (doc) => removeMark(doc, 'm1', USER)],
    ['redrawn', (doc) => doc.getMap('marks').set('m1/points', [9, 9, 9, 1])],
    ['moved to another draft', (doc) => doc.getMap('marks').set('m1/draft', 'qy-020-1')],
    ['given what it has not', (doc) => doc.getMap('marks').set('m1/owner', 'me')],
  ])('is not %s by anybody but who drew it', async (_, change) => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      addMark(anna.doc, MARK, USER);
      await saved(anna);
      const forged = updateOf(copyOf(anna.doc), change);
      for (const role of ['reviewer', 'animator'] as const) {
        await expectRefused(await socket(await join(role)), forged, /whoever drew it/, anna.doc);
      }
      expect(marksIn(anna.doc)).toEqual(['m1']);
    });
  });

  it('is drawn by nobody who may only look on', async () => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      const drawn = updateOf(copyOf(anna.doc), (doc) => addMark(doc, MARK, USER));
      await expectRefused(await socket(await join('guest')), drawn, /may read notes/, anna.doc);
    });
  });

  it('is rubbed out by who drew it, who can take that back', async () => {
    await meet('notes', async ({ join, window }) => {
      const anna = await window(await join('reviewer'));
      const bert = await window(await join('animator'));
      const undo = new Y.UndoManager([...markMaps(anna.doc)], { trackedOrigins: new Set([USER]) });
      addMark(anna.doc, MARK, USER);
      await docUntil(bert.doc, () => marksIn(bert.doc).length === 1, 'the mark');
      undo.stopCapturing();
      removeMark(anna.doc, 'm1', USER);
      await docUntil(bert.doc, () => marksIn(bert.doc).length === 0, 'the rubbing out');
      undo.undo();
      await docUntil(bert.doc, () => marksIn(bert.doc).length === 1, 'the mark again');
    });
  });
});
