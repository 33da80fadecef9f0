import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addMark,
  MAX_POINTS,
  type Mark,
  readMarks,
  readStroke,
  removeMark,
} from '../../../core/document/marks.ts';
import { readPresence } from '../../../core/document/presence.ts';

const USER = { source: 'user' };

const INK: Mark = {
  id: 'm',
  draft: 'd',
  frame: 12,
  view: 'free',
  reference: null,
  towards: [0, 0, 1],
  kind: 'ink',
  points: [0, 1, 0, 0.5, 0.1, 1.1, 0, 0.7],
  ends: [],
  pen: true,
};
const ANGLE: Mark = {
  ...INK,
  id: 'a',
  frame: null,
  view: 'every',
  towards: null,
  kind: 'angle',
  points: [],
  ends: [
    { figure: 'f', segment: 'thighL' },
    { figure: 'f', segment: 'shankL' },
    { point: [0, 1, 2] },
  ],
};

describe('marks', () => {
  it('come back as they were drawn, those of one draft at a time, and go when rubbed out', () => {
    const doc = new Y.Doc();
    addMark(doc, INK, USER);
    addMark(doc, ANGLE, USER);
    addMark(doc, { ...INK, id: 'x', draft: 'other' }, USER);
    expect(readMarks(doc, 'd')).toEqual([INK, ANGLE]);
    removeMark(doc, 'm', USER);
    expect(readMarks(doc, 'd')).toEqual([ANGLE]);
    expect([...doc.getMap('marks').keys()].filter((key) => key.startsWith('m'))).toEqual([]);
  });

  it('lie in the scene where they say nothing of a reference, as those of old documents do', () => {
    const { id, reference, ...old } = INK;
    expect([id, reference]).toEqual(['m', null]);
    expect(readStroke(old)?.reference).toBeNull();
    expect(readStroke({ ...old, reference: 'front' })?.reference).toBe('front');
    expect(readStroke({ ...old, reference: 'ceiling' })?.reference).toBeNull();
  });

  it.each<[string, Record<string, unknown>]>([
    ['of no kind', { kind: 'spray' }],
    ['in no view', { view: 'mirror' }],
    ['on no draft', { draft: 7 }],
    ['of ink without points', { points: [] }],
    ['of ink with a point that is none', { points: [0, 1, Number.NaN, 1] }],
    ['with too few ends', { kind: 'length', ends: [{ point: [0, 0, 0] }] }],
    ['with an end that is none', { kind: 'line', ends: [{ point: [0, 0, 0] }, { figure: 'f' }] }],
    ['of an angle with two ends', { kind: 'angle', ends: ANGLE.ends.slice(0, 2) }],
  ])('%s are passed over', (_, change) => {
    expect(readStroke({ ...INK, ...change })).toBeNull();
  });

  it('longer than anybody draws are cut off, at whole points', () => {
    const long = Array.from({ length: 4 * MAX_POINTS + 99 }, () => 1);
    expect(readStroke({ ...INK, points: long })?.points).toHaveLength(4 * MAX_POINTS);
    expect(readStroke({ ...INK, points: [1, 2, 3, 4, 5, 6] })?.points).toEqual([1, 2, 3, 4]);
  });

  it('under somebody’s hand are read from their presence', () => {
    const { id: _, ...stroke } = INK;
    expect(readPresence({ person: 'p', mark: stroke })?.mark).toEqual(stroke);
    expect(readPresence({ person: 'p', mark: { kind: 'ink' } })?.mark).toBeNull();
  });
});
