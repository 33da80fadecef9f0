import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addDraft,
  copyDraft,
  isSealed,
  readDraft,
  readDrafts,
  sealDraft,
} from '../../../core/document/index.ts';

const USER = { source: 'user' } as const;
const EMPTY = { figures: [], loads: [], surfaces: [], grips: [] };

function withDraft(): Y.Doc {
  const doc = new Y.Doc();
  addDraft(doc, { id: 'd', shot: 's', from: null, title: 'first' }, EMPTY, USER);
  return doc;
}

describe('seals', () => {
  it('are read with the draft, and are off to begin with', () => {
    const doc = withDraft();
    expect(readDraft(doc, 'd')?.sealed).toBe(false);
    sealDraft(doc, 'd', true, USER);
    expect(readDraft(doc, 'd')?.sealed).toBe(true);
    expect(readDrafts(doc, 's')[0]?.sealed).toBe(true);
    expect(isSealed(doc, 'd')).toBe(true);
    expect(isSealed(doc, 'another')).toBe(false);
  });

  it('leave nothing behind when they are taken away', () => {
    const doc = withDraft();
    const before = doc.getMap('drafts').toJSON();
    sealDraft(doc, 'd', true, USER);
    sealDraft(doc, 'd', false, USER);
    expect(doc.getMap('drafts').toJSON()).toEqual(before);
  });

  it('are not copied with the draft', () => {
    const doc = withDraft();
    sealDraft(doc, 'd', true, USER);
    copyDraft(doc, readDraft(doc, 'd')!, { id: 'e', title: 'second' }, USER);
    expect(readDraft(doc, 'e')?.sealed).toBe(false);
  });
});
