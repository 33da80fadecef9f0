import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addDraft,
  applyState,
  bringList,
  putSequence,
  putShot,
  readDrafts,
  readShots,
} from '../../../core/document/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const USER = { source: 'user' } as const;

function withShot() {
  const doc = new Y.Doc();
  putSequence(doc, { id: 'q', title: 'The quay', order: 'a0' }, USER);
  putShot(doc, { id: 's', sequence: 'q', order: 'a0', code: 'QY 010', state: 'for-review' }, USER);
  addDraft(doc, { id: 'd', shot: 's', from: null, title: 'first' }, bentScene(0), USER);
  let next = 0;
  const newId = (): string => `new${next++}`;
  return { doc, newId };
}

const draftsOf = (doc: Y.Doc, shot = 's') =>
  readDrafts(doc, shot).map(({ id, from, sealed }) => ({ id, from, sealed }));

const SIGNED = { id: 'd', from: null, sealed: true };
const RETAKE = { id: 'new0', from: 'd', sealed: false };

describe('the state of a shot', () => {
  it('signed off seals its draft, and a retake of that opens a new one from it, once', () => {
    const { doc, newId } = withShot();
    const change = { shot: 's', draft: 'd', newId };
    expect(applyState(doc, { ...change, state: 'signed-off' }, USER)).toBeNull();
    expect(draftsOf(doc)).toEqual([SIGNED]);
    expect(applyState(doc, { ...change, state: 'retake' }, USER)).toBe('new0');
    expect(draftsOf(doc)).toEqual([SIGNED, RETAKE]);
    applyState(doc, { ...change, draft: 'new0', state: 'retake' }, USER);
    expect(draftsOf(doc)).toHaveLength(2);
    expect(readShots(doc)[0]?.state).toBe('retake');
  });

  it('is set without a draft too', () => {
    const { doc, newId } = withShot();
    applyState(doc, { shot: 's', draft: null, state: 'signed-off', newId }, USER);
    expect(draftsOf(doc)).toEqual([{ ...SIGNED, sealed: false }]);
    expect(readShots(doc)[0]?.state).toBe('signed-off');
  });

  it('does the same when a shot list sets it, to shots that are there and to new ones', () => {
    const { doc, newId } = withShot();
    const bring = (state: string, code = 'QY 010') =>
      bringList(
        doc,
        [{ row: 2, code, state }],
        { people: new Map(), otherwise: 'All', newId },
        USER,
      );
    bring('signed-off');
    bring('signed-off');
    expect(draftsOf(doc)).toEqual([SIGNED]);
    bring('retake');
    expect(draftsOf(doc)).toEqual([SIGNED, RETAKE]);
    bring('signed-off', 'QY 020');
    const added = readShots(doc).find(({ code }) => code === 'QY 020');
    expect(added?.state).toBe('signed-off');
    expect(draftsOf(doc, added?.id)).toMatchObject([{ sealed: true }]);
  });
});
