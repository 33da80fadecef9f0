import { describe, expect, it } from 'vitest';
import { brokenField, type Presence, readPresence } from '../../../core/document/index.ts';

const whatIf = (value: unknown) => readPresence({ person: 'ada', whatIf: value })!.whatIf;

describe('a what-if in a presence', () => {
  it('is read as it was shown', () => {
    const shown = { id: 'w', draft: 'd', open: ['a', 'b'] };
    expect(whatIf(shown)).toEqual(shown);
  });

  it('is none where a part is missing or of another kind', () => {
    for (const bad of [null, 3, {}, { id: 'w', draft: 'd' }, { id: 'w', draft: 'd', open: [] }])
      expect(whatIf(bad)).toBeNull();
    expect(whatIf({ id: 'w', draft: 'd', open: [1, 'a', null] })!.open).toEqual(['a']);
  });

  it('opens no more than 64 grips', () => {
    const open = Array.from({ length: 200 }, (_, i) => `g${i}`);
    expect(whatIf({ id: 'w', draft: 'd', open })!.open).toHaveLength(64);
  });
});

const WHOLE: Presence = {
  person: 'ada',
  name: 'Ada Fenn',
  ink: 3,
  shot: 'fer-0010',
  draft: 'd2',
  frame: 12,
  cursor: { view: 'elevation', point: [0.3, 1.2, 0.1] },
  selection: 'figure/porter/handL',
  drag: { draft: 'd2', entries: { 'figure/porter/position': [0, 0.9, 0] } },
  whatIf: { id: 'w', draft: 'd2', open: ['g'] },
  ends: null,
  camera: { view: 'orbit', target: [0, 0.9, 0], wide: 3, tall: 2, yaw: 0.6, pitch: 0.2 },
  with: 'bo',
  along: 1,
  hand: 1_700_000_000_000,
  ping: { count: 2, view: 'plan', point: [0.1, 0, 0.2], thing: null },
  mark: {
    draft: 'd2',
    frame: 12,
    view: 'front',
    reference: null,
    towards: null,
    kind: 'ink',
    points: [0, 1, 0, 0.5],
    ends: [],
    pen: true,
  },
};

describe('what a person shows of themselves', () => {
  it('is read as it was shown', () => {
    expect(readPresence(WHOLE)).toEqual(WHOLE);
    expect(brokenField({ ...WHOLE })).toBeNull();
  });

  it('of an earlier page has no camera, no company and no hand up', () => {
    const { camera, with: company, along, hand, ping, ...earlier } = WHOLE;
    expect(readPresence(earlier)).toEqual({
      ...earlier,
      ...{ camera: null, with: null, along: null, hand: null, ping: null },
    });
    expect(brokenField(earlier)).toBeNull();
  });

  it.each([
    ['camera', { ...WHOLE.camera, wide: 0 }],
    ['camera', { ...WHOLE.camera, tall: 1e9 }],
    ['camera', { ...WHOLE.camera, target: [0, 1e300, 0] }],
    ['camera', { ...WHOLE.camera, pitch: 9 }],
    ['camera', { ...WHOLE.camera, view: 'above' }],
    ['cursor', { view: 'elevation', point: [0, 1] }],
    ['cursor', { view: 'elevation', point: [0, '1', 0] }],
    ['cursor', 7],
    ['ping', { count: 'x', view: 'plan', point: [0, 0, 0], thing: null }],
    ['ping', { count: 1, view: 'plan', point: [0, 0, 0], thing: 'x'.repeat(201) }],
    ['name', 'x'.repeat(201)],
    ['with', { person: 'bo' }],
    ['along', 'all'],
    ['hand', true],
    ['frame', [1]],
    ['drag', { draft: 'd2', entries: [] }],
  ])('is refused with a broken %s and is never read with it', (field, value) => {
    const state = { ...WHOLE, [field]: value };
    expect(brokenField(state)).toBe(field);
  });

  it('never hands a broken place or camera to the page', () => {
    const read = readPresence({
      person: 'ada',
      camera: { ...WHOLE.camera, wide: Number.NaN },
      cursor: { view: 'elevation', point: [0, Number.POSITIVE_INFINITY, 0] },
      ping: { count: 1, view: 'elevation', point: null },
    });
    expect(read).toMatchObject({ camera: null, cursor: null, ping: null });
  });
});
