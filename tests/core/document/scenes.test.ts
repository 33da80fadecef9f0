import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  figureKey,
  jointKey,
  loadKey,
  readSceneEntries,
} from '../../../core/document/scene-entries.ts';
import {
  addDraft,
  copyDraft,
  draftEntries,
  orderBetween,
  putSequence,
  putShot,
  putThing,
  readDrafts,
  readScene,
  readSequences,
  readShots,
  removeSequence,
  removeShot,
  removeThing,
  setEntries,
} from '../../../core/document/scenes.ts';
import { overlaid } from '../../../core/document/table.ts';
import { type Figure, floorSurface, type Load, type Scene } from '../../../core/scene/index.ts';

const USER = { source: 'user' };

const porter: Figure = {
  id: 'porter',
  name: 'Porter',
  body: { table: 'deleva-female', stature: 1.68, mass: 62, overrides: { head: { length: 1.2 } } },
  pose: {
    position: [0, 0.9, 0],
    rotation: [0, 0, 0, 1],
    joints: { thighL: [0.6, 0, 0, 0.8] },
  },
  contacts: { soleL: 'planted' },
};

const pack: Load = {
  id: 'pack',
  name: 'Pack',
  shape: { kind: 'box', size: [0.3, 0.5, 0.2] },
  mass: 34,
  place: {
    kind: 'attached',
    figure: 'porter',
    segment: 'chest',
    offset: [0, 0.1, -0.2],
    rotation: [0, 0, 0, 1],
  },
};

const scene: Scene = {
  figures: [porter],
  loads: [pack, { ...pack, id: 'riddle', mass: null }],
  surfaces: [floorSurface()],
  grips: [
    {
      id: 'g',
      a: { kind: 'figure', figure: 'porter', segment: 'handL' },
      b: { kind: 'load', load: 'pack' },
      open: false,
    },
  ],
};

function docWithDraft(): Y.Doc {
  const doc = new Y.Doc();
  putSequence(doc, { id: 'q', title: 'One', order: 'a0' }, USER);
  putShot(doc, { id: 's', sequence: 'q', order: 'a0', code: 'SLT-0040', title: 'Porter' }, USER);
  addDraft(doc, { id: 'd', shot: 's', from: null, title: 'first' }, scene, USER);
  return doc;
}

/** Exchanges everything that each of two documents has. */
function merge(a: Y.Doc, b: Y.Doc): void {
  Y.applyUpdate(b, Y.encodeStateAsUpdate(a));
  Y.applyUpdate(a, Y.encodeStateAsUpdate(b));
}

describe('a draft in the shared document', () => {
  it('gives back the scene that was put in', () => {
    expect(readScene(docWithDraft(), 'd')).toEqual(scene);
  });

  it('numbers drafts per shot and remembers where each came from', () => {
    const doc = docWithDraft();
    const [first] = readDrafts(doc, 's');
    expect(copyDraft(doc, first!, { id: 'd2', title: 'lean' }, USER)).toBe(2);
    expect(readDrafts(doc, 's').map((d) => [d.number, d.from])).toEqual([
      [1, null],
      [2, 'd'],
    ]);
    expect(readScene(doc, 'd2')).toEqual(scene);
  });

  it('keeps both of two edits to one figure made apart', () => {
    const a = docWithDraft();
    const b = new Y.Doc();
    merge(a, b);
    setEntries(a, 'd', { [jointKey('porter', 'thighL')]: [0, 0, 0, 1] }, USER);
    setEntries(b, 'd', { [jointKey('porter', 'shankL')]: [0.6, 0, 0, 0.8] }, USER);
    setEntries(b, 'd', { [loadKey('pack', 'mass')]: 30 }, USER);
    merge(a, b);
    expect(readScene(a, 'd')).toEqual(readScene(b, 'd'));
    const merged = readScene(a, 'd');
    expect(merged.figures[0]?.pose.joints).toEqual({
      thighL: [0, 0, 0, 1],
      shankL: [0.6, 0, 0, 0.8],
    });
    expect(merged.loads[0]?.mass).toBe(30);
  });

  it('lets removing a figure win over turning its joint, and takes what hung on it along', () => {
    const a = docWithDraft();
    const b = new Y.Doc();
    merge(a, b);
    removeThing(a, 'd', 'figure', 'porter', USER);
    setEntries(b, 'd', { [jointKey('porter', 'thighL')]: [0, 0, 0, 1] }, USER);
    merge(a, b);
    expect(readScene(a, 'd')).toEqual({ ...scene, figures: [], loads: [], grips: [] });
    expect(readScene(b, 'd')).toEqual(readScene(a, 'd'));
  });

  it('undoes one person’s edit and leaves the other’s', () => {
    const a = docWithDraft();
    const b = new Y.Doc();
    merge(a, b);
    const mine = { source: 'mine' };
    const undo = new Y.UndoManager(draftEntries(a, 'd'), {
      trackedOrigins: new Set([mine]),
      captureTimeout: 0,
    });
    setEntries(a, 'd', { [loadKey('pack', 'mass')]: 10 }, mine);
    setEntries(b, 'd', { [jointKey('porter', 'head')]: [0, 0.6, 0, 0.8] }, USER);
    merge(a, b);
    undo.undo();
    const after = readScene(a, 'd');
    expect(after.loads[0]?.mass).toBe(34);
    expect(after.figures[0]?.pose.joints.head).toEqual([0, 0.6, 0, 0.8]);
  });

  it('brings a removed figure back whole on undo', () => {
    const doc = docWithDraft();
    const undo = new Y.UndoManager(draftEntries(doc, 'd'), {
      trackedOrigins: new Set([USER]),
      captureTimeout: 0,
    });
    removeThing(doc, 'd', 'figure', 'porter', USER);
    undo.undo();
    expect(readScene(doc, 'd')).toEqual(scene);
  });

  it('shows a drag over the stored entries without storing it', () => {
    const doc = docWithDraft();
    const dragged = overlaid(draftEntries(doc, 'd'), {
      [figureKey('porter', 'position')]: [0, 0.8, 0.1],
    });
    expect(readSceneEntries(dragged).figures[0]?.pose.position).toEqual([0, 0.8, 0.1]);
    expect(readScene(doc, 'd')).toEqual(scene);
  });

  it('does not write a value that is already there', () => {
    const doc = docWithDraft();
    const before = Y.encodeStateAsUpdate(doc).length;
    setEntries(doc, 'd', { [loadKey('pack', 'mass')]: 34 }, USER);
    expect(Y.encodeStateAsUpdate(doc).length).toBe(before);
  });

  it.each([
    ['a word for a mass', 'mass', 'heavy'],
    ['not a number', 'stature', Number.NaN],
    ['an unknown table', 'table', 'tallest'],
    ['a point of two numbers', 'position', [1, 2]],
    ['a rotation of no length', 'rotation', [0, 0, 0, 0]],
  ])('leaves a figure out that carries %s, and does not throw', (_, field, value) => {
    const doc = docWithDraft();
    draftEntries(doc, 'd').set(figureKey('porter', field), value);
    expect(readScene(doc, 'd').figures).toEqual([]);
  });
});

describe('the board in the shared document', () => {
  it('orders shots by their key and lets one be put between two', () => {
    const doc = docWithDraft();
    const last = orderBetween('a0', null);
    putShot(doc, { id: 'z', sequence: 'q', order: last, code: 'SLT-0060' }, USER);
    putShot(
      doc,
      { id: 'm', sequence: 'q', order: orderBetween('a0', last), code: 'SLT-0050' },
      USER,
    );
    expect(readShots(doc).map((shot) => shot.id)).toEqual(['s', 'm', 'z']);
  });

  it('still orders when two people put a shot at the same place', () => {
    const a = docWithDraft();
    const b = new Y.Doc();
    merge(a, b);
    for (const [doc, id] of [
      [a, 'mine'],
      [b, 'theirs'],
    ] as const) {
      putShot(doc, { id, sequence: 'q', order: orderBetween('a0', null), code: id }, USER);
    }
    merge(a, b);
    expect(readShots(a).map((shot) => shot.id)).toEqual(readShots(b).map((shot) => shot.id));
    const [, mine, theirs] = readShots(a);
    expect(() => orderBetween(mine!.order, theirs!.order)).not.toThrow();
  });

  it('removes a shot with its drafts', () => {
    const doc = docWithDraft();
    removeShot(doc, 's', USER);
    expect([readShots(doc), readDrafts(doc), [...draftEntries(doc, 'd').keys()]]).toEqual([
      [],
      [],
      [],
    ]);
  });

  it('keeps a sequence that still has shots', () => {
    const doc = docWithDraft();
    expect(() => removeSequence(doc, 'q', USER)).toThrow('still has shots');
    expect(readSequences(doc)).toHaveLength(1);
  });

  it('puts a whole load in at once', () => {
    const doc = docWithDraft();
    putThing(doc, 'd', { kind: 'load', value: { ...pack, id: 'lunch', mass: 2 } }, USER);
    expect(readScene(doc, 'd').loads.find((load) => load.id === 'lunch')?.mass).toBe(2);
  });
});
