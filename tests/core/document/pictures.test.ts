import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addDraft,
  copyDraft,
  draftEntries,
  dropPicture,
  type Picture,
  pictureKey,
  putPicture,
  readDraft,
  readPictures,
  readScene,
  startMarks,
} from '../../../core/document/index.ts';

const EMPTY = { figures: [], loads: [], surfaces: [], grips: [] };
const PICTURE: Picture = {
  ...{
    view: 'camera',
    files: ['a'.repeat(64)],
    size: [800, 600],
    name: 'the quay',
    at: [0, 0, 0.2],
  },
  ...startMarks([800, 600]),
  ...{ stature: 1.6, focal: 35, turn: 0.4, opacity: 0.5, hidden: false, locked: true },
};

function withDraft(): Y.Doc {
  const doc = new Y.Doc();
  addDraft(doc, { id: 'd1', shot: 's', from: null, title: '' }, EMPTY, null);
  return doc;
}

describe('pictures of a draft', () => {
  it('are read as they were put, and are no part of the scene', () => {
    const doc = withDraft();
    putPicture(draftEntries(doc, 'd1'), PICTURE);
    expect(readPictures(draftEntries(doc, 'd1')).get('camera')).toEqual(PICTURE);
    expect(readScene(doc, 'd1')).toEqual(EMPTY);
    dropPicture(draftEntries(doc, 'd1'), 'camera');
    expect(draftEntries(doc, 'd1').size).toBe(0);
  });

  it('go along into a copy of the draft', () => {
    const doc = withDraft();
    putPicture(draftEntries(doc, 'd1'), PICTURE);
    copyDraft(doc, readDraft(doc, 'd1')!, { id: 'd2', title: 'next' }, null);
    expect(readPictures(draftEntries(doc, 'd2')).get('camera')).toEqual(PICTURE);
  });

  it('take the start marks and ranges where a peer wrote nonsense', () => {
    const doc = withDraft();
    const entries = draftEntries(doc, 'd1');
    putPicture(entries, PICTURE);
    entries.set(pictureKey('camera', 'feet'), 'low');
    entries.set(pictureKey('camera', 'focal'), 1e9);
    entries.set(pictureKey('camera', 'horizon'), [[1, 2]]);
    const read = readPictures(entries).get('camera')!;
    expect(read.feet).toEqual(startMarks([800, 600]).feet);
    expect(read.focal).toBe(400);
    expect(read.horizon).toEqual(startMarks([800, 600]).horizon);
    entries.set(pictureKey('camera', 'size'), [0, 600]);
    expect(readPictures(entries).size).toBe(0);
  });
});
