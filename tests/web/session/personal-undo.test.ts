import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addNote,
  draftEntries,
  readNotes,
  setDraftTitle,
  setEntries,
} from '../../../core/document/index.ts';
import { PersonalUndo } from '../../../web/session/personal-undo.ts';
import { USER_ORIGIN } from '../../../web/session/types.ts';

/** Two documents under one person's undo, and a colleague's copy of the first, kept in step. */
function desk() {
  const scenes = new Y.Doc();
  const notes = new Y.Doc();
  const colleague = new Y.Doc();
  scenes.on('update', (update, origin) => {
    if (origin !== 'wire') Y.applyUpdate(colleague, update, 'wire');
  });
  colleague.on('update', (update, origin) => {
    if (origin !== 'wire') Y.applyUpdate(scenes, update, 'wire');
  });
  const staying = new Set<string>();
  const undo = new PersonalUndo(
    [scenes, notes],
    () => undefined,
    (draft) => (staying.has(draft) ? `${draft} stays` : null),
  );
  const set = (label: string, patch: Record<string, unknown>): void =>
    undo.labelled(label, () => setEntries(scenes, 'draft', patch, USER_ORIGIN));
  const write = (id: string): void =>
    undo.labelled('wrote a note', () =>
      addNote(
        notes,
        {
          id,
          shot: 'shot',
          draft: 'draft',
          pin: { kind: 'shot' },
          frame: null,
          text: id,
          state: 'open',
          weight: 'should',
        },
        USER_ORIGIN,
      ),
    );
  const entries = draftEntries(scenes, 'draft');
  return { scenes, notes, colleague, undo, set, write, entries, staying };
}

describe('undo of one person', () => {
  it('goes back step by step through both documents, in the order of doing, and forth again', () => {
    const { undo, set, write, entries, notes } = desk();
    set('moved the hips', { a: 1 });
    write('n1');
    set('moved the hand', { b: 2 });

    expect(undo.undo()).toEqual({ kind: 'done', label: 'moved the hand' });
    expect(undo.undo()).toEqual({ kind: 'done', label: 'wrote a note' });
    expect(readNotes(notes)).toEqual([]);
    expect(undo.undo()).toEqual({ kind: 'done', label: 'moved the hips' });
    expect([...entries.keys()]).toEqual([]);
    expect(undo.undo()).toEqual({ kind: 'nothing' });

    expect(undo.redo()).toEqual({ kind: 'done', label: 'moved the hips' });
    expect(undo.redo()).toEqual({ kind: 'done', label: 'wrote a note' });
    expect(undo.redo()).toEqual({ kind: 'done', label: 'moved the hand' });
    expect(undo.redo()).toEqual({ kind: 'nothing' });
    expect(entries.get('b')).toBe(2);
    expect(readNotes(notes)).toHaveLength(1);
  });

  it('counts what is set in one transaction as one step, in a draft that nobody had opened', () => {
    const { undo, set, entries } = desk();
    set('moved the hips', {
      'figure/f/position': [0, 1, 0],
      'figure/f/joint.thighL': [0, 0, 0, 1],
    });
    undo.undo();
    expect(entries.size).toBe(0);
  });

  it('leaves what others did in between', () => {
    const { undo, set, colleague, entries } = desk();
    set('moved the hips', { hips: 'mine' });
    setEntries(colleague, 'draft', { hand: 'theirs' }, USER_ORIGIN);
    undo.undo();
    expect([...entries.entries()]).toEqual([['hand', 'theirs']]);
  });

  it('does not overwrite what somebody has changed since, and does not slip to an earlier step', () => {
    const { undo, set, colleague, entries } = desk();
    set('moved the hand', { hand: 1 });
    set('moved the hips', { hips: 1 });
    setEntries(colleague, 'draft', { hips: 'theirs' }, USER_ORIGIN);
    expect(undo.undo()).toEqual({ kind: 'overtaken', label: 'moved the hips' });
    expect(entries.get('hips')).toBe('theirs');
    expect(entries.get('hand')).toBe(1);
    expect(undo.undo()).toEqual({ kind: 'done', label: 'moved the hand' });
  });

  it('leaves a draft that may not change as it is, and takes the same step back once it may', () => {
    const { undo, set, entries, staying, scenes } = desk();
    set('moved the hips', { hips: 1 });
    undo.labelled('named a draft', () => setDraftTitle(scenes, 'other', 'lower', USER_ORIGIN));
    staying.add('other');
    expect(undo.undo()).toEqual({ kind: 'stays', reason: 'other stays' });
    expect(scenes.getMap('drafts').get('other/title')).toBe('lower');
    staying.delete('other');
    expect(undo.undo()).toEqual({ kind: 'done', label: 'named a draft' });
    staying.add('draft');
    expect(undo.undo()).toEqual({ kind: 'stays', reason: 'draft stays' });
    expect(entries.get('hips')).toBe(1);
  });

  it('forgets what could be done again once something new is done, in either document', () => {
    const { undo, set, write } = desk();
    set('moved the hips', { hips: 1 });
    undo.undo();
    expect(undo.canRedo).toBe(true);
    write('n1');
    expect(undo.canRedo).toBe(false);
  });
});
