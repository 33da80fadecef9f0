import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addDraft,
  copyDraft,
  draftEntries,
  keyFields,
  keyKey,
  loadKey,
  movingDraft,
  readDraft,
  readKeys,
  readTouches,
  removeThing,
  type StoredKey,
  setEntries,
  touchKey,
} from '../../../core/document/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const figure = bentScene(0).figures[0]!;
const stored = (id: string, frame: number, degrees: number): StoredKey => ({
  ...{ id, frame, figure: 'porter', contacts: { soleL: 'planted' }, ease: 'linear' },
  pose: bentScene(degrees).figures[0]!.pose,
});
const rowOf = (key: StoredKey): Record<string, unknown> => ({
  [keyKey(key.id)]: 1,
  ...Object.fromEntries(
    Object.entries(keyFields(key)).map(([field, value]) => [keyKey(key.id, field), value]),
  ),
});

function keyedDraft(...keys: StoredKey[]): Y.Doc {
  const doc = new Y.Doc();
  addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), null);
  for (const key of keys) setEntries(doc, 'd', rowOf(key), null);
  return doc;
}
const shot = { rate: 24, frames: [101, 124] } as const;
const movingOf = (doc: Y.Doc) => movingDraft(new Map(draftEntries(doc, 'd').entries()), null, shot);

describe('keys of a draft', () => {
  it('come back as they were set, by frame', () => {
    const keys = [stored('b', 20, 30), stored('a', 0, 0)];
    const read = readKeys(draftEntries(keyedDraft(...keys), 'd'));
    const [first, second] = read.get('porter')!;
    expect([first?.frame, second?.frame]).toEqual([0, 20]);
    expect(second?.pose.position).toEqual(keys[0]!.pose.position);
    expect(second).toMatchObject({ ease: 'linear', contacts: { soleL: 'planted' } });
  });

  it('on one frame by two people at once: everybody sees the same one', () => {
    const read = readKeys(draftEntries(keyedDraft(stored('b', 5, 30), stored('a', 5, 0)), 'd'));
    expect(read.get('porter')?.map(({ id }) => id)).toEqual(['b']);
  });

  it('that make no sense are left out', () => {
    const doc = keyedDraft(stored('a', 0, 0));
    setEntries(doc, 'd', { 'key/x': 1, 'key/x/figure': 'porter', 'key/x/frame': -1.5 }, null);
    setEntries(doc, 'd', { 'key/y': 1, 'key/y/pose': 'upright' }, null);
    expect(readKeys(draftEntries(doc, 'd')).get('porter')).toHaveLength(1);
  });

  it('make the draft move, as long as the shot says, at its rate', () => {
    const moving = movingOf(keyedDraft(stored('a', 0, 0), stored('b', 20, 40)))!;
    expect([moving.rate, moving.frameCount]).toEqual([24, 24]);
    expect(moving.sceneAt(0).figures[0]?.pose).toEqual(figure.pose);
    const chest = (frame: number) => moving.sceneAt(frame).figures[0]?.pose.rotation;
    expect(chest(10)).not.toEqual(chest(0));
    expect(movingOf(keyedDraft())).toBeNull();
  });

  it('go along when a draft is copied, and away with their figure', () => {
    const doc = keyedDraft(stored('a', 0, 0), stored('b', 20, 40));
    setEntries(doc, 'd', { [touchKey('porter', 'soleL')]: 1 }, null);
    copyDraft(doc, readDraft(doc, 'd')!, { id: 'e', title: 'again' }, null);
    expect(readKeys(draftEntries(doc, 'e')).get('porter')).toHaveLength(2);
    removeThing(doc, 'e', 'figure', 'porter', null);
    expect([...draftEntries(doc, 'e').keys()].filter((key) => /^(key|touch)/.test(key))).toEqual(
      [],
    );
  });
});

describe('what is there for some frames only', () => {
  it('comes and goes: a load between its frames', () => {
    const doc = keyedDraft(stored('a', 0, 0));
    const load = { name: 'Lamp', shape: { kind: 'ball', radius: 0.1 }, mass: 4 };
    const place = { kind: 'held', figure: 'porter', hands: 'left', offset: [0, 0, 0] };
    setEntries(doc, 'd', { [loadKey('lamp')]: 1, [loadKey('lamp', 'span')]: [3, 7] }, null);
    for (const [field, value] of Object.entries({ ...load, place }))
      setEntries(doc, 'd', { [loadKey('lamp', field)]: value }, null);
    const moving = movingOf(doc)!;
    const there = [2, 3, 7, 8].map((frame) => moving.sceneAt(frame).loads.length);
    expect(there).toEqual([0, 1, 1, 0]);
  });

  it('is told of contacts: spans that a person set, whatever else is written there', () => {
    const doc = keyedDraft();
    setEntries(
      doc,
      'd',
      {
        [touchKey('porter', 'soleL')]: 1,
        [touchKey('porter', 'soleL', 'spans')]: [[0, 4], [9, 12], [8, 2], 'x'],
        'touch/porter@tail': 1,
        'touch/porter@tail/spans': [[0, 1]],
      },
      null,
    );
    expect(readTouches(draftEntries(doc, 'd'))).toEqual([
      {
        figure: 'porter',
        patch: 'soleL',
        spans: [
          [0, 4],
          [9, 12],
        ],
      },
    ]);
  });
});
