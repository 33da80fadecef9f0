import { describe, expect, it } from 'vitest';
import type * as Y from 'yjs';
import {
  addNote,
  askPerson,
  type NewNote,
  type Note,
  readNotes,
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
