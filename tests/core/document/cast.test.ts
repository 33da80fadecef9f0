import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import type { BodySpec } from '../../../core/body/types.ts';
import {
  addDraft,
  castMap,
  copyDraft,
  draftEntries,
  putCast,
  putThing,
  readCast,
  readDrafts,
  readScene,
  removeCast,
  sealDraft,
  setCastFields,
  setEntries,
  usesCast,
} from '../../../core/document/index.ts';
import type { Figure, Scene } from '../../../core/scene/types.ts';

const USER = { source: 'user' } as const;
const EMPTY: Scene = { figures: [], loads: [], surfaces: [], grips: [] };
const IMP: BodySpec = {
  table: 'jensen-child',
  age: 9,
  stature: 1.2,
  mass: 28,
  feet: 'hoof',
  overrides: { head: { length: 1.6, mass: 2 } },
  extras: { tail: { kind: 'tail', parent: 'pelvis', length: 0.5, girth: 0.02, mass: 0.04 } },
};
const figure = (id: string, cast?: Figure['cast']): Figure => ({
  id,
  name: 'Imp',
  body: IMP,
  ...(cast === undefined ? {} : { cast }),
  pose: { position: [0, 0.6, 0], rotation: [0, 0, 0, 1], joints: {} },
  contacts: {},
});

/** Two shots with a draft each, both with a figure of one cast body. */
function review(): Y.Doc {
  const doc = new Y.Doc();
  putCast(doc, { id: 'imp', name: 'Imp', body: IMP }, USER);
  for (const id of ['d1', 'd2']) {
    addDraft(doc, { id, shot: `s${id}`, from: null, title: '' }, EMPTY, USER);
    const value = figure('f', { body: 'imp', own: [] });
    putThing(doc, id, { kind: 'figure', value }, USER);
  }
  return doc;
}
const bodyIn = (doc: Y.Doc, draft: string) => readScene(doc, draft).figures[0]!;

describe('the cast', () => {
  it('keeps a body whole and gives it to the figures of every shot', () => {
    const doc = review();
    expect(readCast(castMap(doc))).toEqual([{ id: 'imp', name: 'Imp', body: IMP }]);
    for (const draft of ['d1', 'd2']) {
      expect(bodyIn(doc, draft).body).toEqual(IMP);
      expect(bodyIn(doc, draft).cast).toEqual({ body: 'imp', own: [] });
    }
  });

  it('changes its figures everywhere when it changes', () => {
    const doc = review();
    setCastFields(doc, 'imp', { mass: 35, 'override.head': undefined }, USER);
    for (const draft of ['d1', 'd2']) {
      expect(bodyIn(doc, draft).body.mass).toBe(35);
      expect(bodyIn(doc, draft).body.overrides).toBeUndefined();
    }
  });

  it('lets a figure have fields of its own, which other figures do not take', () => {
    const doc = review();
    setEntries(doc, 'd1', { 'figure/f/mass': 60, 'figure/f/extra.tail': null }, USER);
    setCastFields(doc, 'imp', { mass: 35, stature: 1.3 }, USER);
    expect(bodyIn(doc, 'd1').body).toMatchObject({ mass: 60, stature: 1.3 });
    expect(bodyIn(doc, 'd1').body.extras).toBeUndefined();
    expect(bodyIn(doc, 'd1').cast?.own).toEqual(['extra.tail', 'mass']);
    expect(bodyIn(doc, 'd2').body.mass).toBe(35);
    expect(bodyIn(doc, 'd2').body.extras).toEqual(IMP.extras);
  });

  it('turns a tail in the figure, not in the cast', () => {
    const doc = review();
    setEntries(doc, 'd1', { 'figure/f/turn.tail': { curl: 1 } }, USER);
    expect(bodyIn(doc, 'd1').body.extras?.tail?.curl).toBe(1);
    expect(bodyIn(doc, 'd2').body.extras?.tail?.curl).toBeUndefined();
  });

  it('stays with a copied draft, own fields too', () => {
    const doc = review();
    setEntries(doc, 'd1', { 'figure/f/mass': 60 }, USER);
    copyDraft(doc, readDrafts(doc, 'sd1')[0]!, { id: 'd3', title: 'copy' }, USER);
    expect(bodyIn(doc, 'd3')).toEqual(bodyIn(doc, 'd1'));
    setCastFields(doc, 'imp', { stature: 1.4 }, USER);
    expect(bodyIn(doc, 'd3').body).toMatchObject({ stature: 1.4, mass: 60 });
  });

  it('leaves its figures their body when it goes', () => {
    const doc = review();
    setEntries(doc, 'd1', { 'figure/f/mass': 60 }, USER);
    const drafts = readDrafts(doc).map(({ id }) => draftEntries(doc, id));
    removeCast(doc, 'imp', drafts, USER);
    expect(readCast(castMap(doc))).toEqual([]);
    expect(bodyIn(doc, 'd1').body).toEqual({ ...IMP, mass: 60 });
    expect(bodyIn(doc, 'd2').body).toEqual(IMP);
    expect(bodyIn(doc, 'd2').cast).toBeUndefined();
    expect(usesCast(draftEntries(doc, 'd1'))).toBe(false);
  });

  it('no longer moves a draft once it is sealed', () => {
    const doc = review();
    sealDraft(doc, 'd1', true, USER);
    setCastFields(doc, 'imp', { stature: 2 }, USER);
    expect(bodyIn(doc, 'd1').body).toEqual(IMP);
    expect(bodyIn(doc, 'd2').body.stature).toBe(2);
  });

  it('stands in for a body that somebody removed meanwhile', () => {
    const doc = new Y.Doc();
    const value = figure('f', { body: 'gone', own: [] });
    putThing(doc, 'd', { kind: 'figure', value }, USER);
    expect(bodyIn(doc, 'd').body).toEqual({ table: 'deleva-female', stature: 1.68, mass: 62 });
  });

  it('skips rows that make no sense', () => {
    const doc = review();
    castMap(doc).set('odd', 1);
    castMap(doc).set('odd/table', 'nobody');
    expect(readCast(castMap(doc)).map(({ id }) => id)).toEqual(['imp']);
  });
});
