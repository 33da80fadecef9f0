import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addDraft,
  type ClipLink,
  clipSettings,
  plainLink,
  readClipLink,
  readDraft,
  setClip,
} from '../../../core/document/index.ts';

const EMPTY = { figures: [], loads: [], surfaces: [], grips: [] };
const old = {
  file: 'f'.repeat(64),
  name: 'walk.bvh',
  stature: 1.8,
  mass: 75,
  table: 'deleva-male',
};

describe('the link to a clip', () => {
  it('of an earlier version opens as a BVH without corrections', () => {
    const link = readClipLink(old);
    expect(link).toEqual(plainLink({ ...old, format: 'bvh' }));
    expect(clipSettings(link!)).toEqual({
      ...{ mass: 75, table: 'deleva-male', name: 'walk.bvh', stature: 1.8, lineUp: {} },
    });
  });

  it('comes back from the document as it was set', () => {
    const doc = new Y.Doc();
    const draft = {
      id: 'd',
      shot: 's',
      from: null,
      title: '',
      clip: plainLink({ ...old, format: 'gltf' }),
    };
    addDraft(doc, draft, EMPTY, null);
    const corrected: ClipLink = {
      ...draft.clip,
      ...{ stature: null, scale: 0.01, fps: 30, animation: 'Walk' },
      joints: { head: 'Crown', handL: null },
      people: { 'person-1': { facing: 'left', base: ['soleL', 'toesL'] } },
      camera: {
        ...{ feet: [300, 900], head: [310, 200], stature: 1.8 },
        horizon: [
          [0, 400],
          [900, 420],
        ],
      },
    };
    setClip(doc, 'd', corrected, null);
    expect(readDraft(doc, 'd')?.clip).toEqual(corrected);
    expect(clipSettings(corrected)).not.toHaveProperty('stature');
    expect(clipSettings(corrected).lineUp).toEqual({
      horizon: corrected.camera?.horizon,
      person: { feet: [300, 900], head: [310, 200], stature: 1.8 },
    });
  });

  it('is read whatever a stranger wrote there', () => {
    const strange = {
      file: 7,
      format: 'film',
      joints: { head: 3, tail: 'x' },
      people: { a: { base: 'all' } },
      camera: { horizon: [[1, 2]], feet: 'here' },
    };
    expect(readClipLink(strange)).toMatchObject({
      file: '',
      format: 'bvh',
      joints: {},
      people: { a: {} },
      camera: null,
    });
    expect(readClipLink('nothing')).toBeNull();
  });
});
