import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { addDraft, readScene } from '../../../core/document/index.ts';
import { readSceneJson, writeSceneJson } from '../../../core/formats/index.ts';
import type { Scene } from '../../../core/scene/index.ts';

const still = [0, 0, 0, 1] as const;

/** A scene with everything that a stylised figure, its loads and its furniture can have. */
const FULL: Scene = {
  figures: [
    {
      id: 'imp',
      name: 'Imp',
      body: {
        table: 'jensen-child',
        age: 9,
        stature: 1.2,
        mass: 28,
        feet: 'paw',
        overrides: { head: { length: 1.6, mass: 2 } },
        extras: {
          neck: { kind: 'neck', parent: 'chest', length: 0.2, girth: 0.03, mass: 0.03 },
          tail: {
            ...{ kind: 'tail', parent: 'pelvis', length: 0.5, girth: 0.02, mass: 0.04 },
            ...{ turn: [0, 0.6, 0, 0.8], curl: 0.4 },
          },
        },
      },
      pose: { position: [0, 0.6, 0], rotation: still, joints: {} },
      contacts: { palmL: 'planted' },
    },
  ],
  loads: [
    {
      id: 'pole',
      name: 'Pole',
      shape: { kind: 'cylinder', radius: 0.02, length: 3 },
      mass: 600 * Math.PI * 0.02 ** 2 * 3,
      material: 'wood',
      centre: [0, 0.2, 0],
      place: {
        ...{ kind: 'held', figure: 'imp', hands: 'both', offset: [0, 0, 0] },
        rotation: [0, 0, 0.6, 0.8],
      },
    },
    {
      id: 'sack',
      name: 'Sack',
      shape: { kind: 'box', size: [0.3, 0.4, 0.2] },
      mass: null,
      look: 'pack',
      place: {
        ...{ kind: 'attached', figure: 'imp', segment: 'chest' },
        ...{ offset: [0, 0, -0.2], rotation: still },
      },
    },
  ],
  surfaces: [
    {
      ...{ id: 'chair', name: 'Chair', kind: 'chair', position: [0, 0.22, -1] },
      ...{ rotation: still, size: [0.5, 0.44, 0.5], friction: 0.1, pair: 'shoes-ice' },
      parts: { back: 0.4, arms: 0.2 },
    },
    {
      ...{ id: 'stair', name: 'Stair', kind: 'stair', position: [0, 0.3, 2] },
      ...{ rotation: still, size: [1, 0.6, 1], friction: 0.7, parts: { steps: 4 } },
    },
  ],
  grips: [],
};

describe('stylised figures, loads and furniture', () => {
  it('come back whole from a draft', () => {
    const doc = new Y.Doc();
    addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, FULL, 'test');
    expect(readScene(doc, 'd')).toEqual(FULL);
  });

  it('come back whole from a scene file', () => {
    const read = readSceneJson(writeSceneJson(FULL));
    expect(read).toEqual({ ok: true, scene: FULL, name: null });
  });

  it('weigh what their material says in a file, whatever mass stands there', () => {
    const heavy = { ...FULL, loads: [{ ...FULL.loads[0]!, mass: 99 }] };
    const read = readSceneJson(writeSceneJson(heavy));
    expect(read.ok && read.scene.loads[0]?.mass).toBeCloseTo(FULL.loads[0]!.mass!, 12);
  });

  it('are refused with their place in the file', () => {
    const text = writeSceneJson(FULL).replace('"kind": "tail"', '"kind": "trunk"');
    const read = readSceneJson(text);
    expect(!read.ok && read.message).toContain('scene.figures[0].body.extras.tail.kind');
  });
});
