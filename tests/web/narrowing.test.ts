import { describe, expect, it } from 'vitest';
import type { Draft, Recorded, Shot } from '../../core/document/index.ts';
import { type BoardFacts, NO_FACTS } from '../../web/board/facts.ts';
import { type Narrowing, ordered, passes, WIDE } from '../../web/board/narrowing.ts';

const shot = (id: string, fields: Partial<Shot> = {}): Shot => ({
  ...{ id, sequence: 'q', order: id, code: id, title: '', state: 'in-work', rate: 24 },
  ...{ frames: [1, 1], assigned: null, due: null },
  ...fields,
});

const reading = (verdict: Recorded['verdict'], margin: number | null): Recorded => ({
  ...{ verdict, margin, ratio: null, centre: null, area: null, contacts: null, at: '' },
});

const SHOTS = [
  shot('a', { state: 'signed-off', assigned: 'p1', due: '2031-06-02' }),
  shot('b', { state: 'retake', assigned: 'Bell Orme' }),
  shot('c', { due: '2031-06-01' }),
];

const FACTS: BoardFacts = {
  ...NO_FACTS,
  allShots: SHOTS,
  drafts: new Map(SHOTS.map(({ id }) => [id, [{ id: `${id}1` } as Draft]])),
  history: new Map([
    ['a1', reading('holds', 0.06)],
    ['b1', reading('falls', -0.02)],
  ]),
  openNotes: new Map([['c', 3]]),
  names: new Map([['p1', { id: 'p1', name: 'Ida Roe', ink: 0, role: 'animator' }]]),
};

const through = (change: Partial<Narrowing>): string[] =>
  SHOTS.filter((item) => passes(item, { ...WIDE, ...change }, FACTS)).map(({ id }) => id);
const inOrder = (order: Narrowing['order']): string =>
  ordered(SHOTS, order, FACTS)
    .map(({ id }) => id)
    .join('');

describe('the board', () => {
  it('is narrowed by state, person, verdict, margin and open notes, and by several at once', () => {
    expect(through({})).toEqual(['a', 'b', 'c']);
    expect(through({ state: 'retake' })).toEqual(['b']);
    expect(through({ person: 'p1' })).toEqual(['a']);
    expect(through({ person: '' })).toEqual(['c']);
    expect(through({ verdict: 'falls' })).toEqual(['b']);
    expect(through({ marginBelow: 0 })).toEqual(['b']);
    expect(through({ marginBelow: 0.1 })).toEqual(['a', 'b']);
    expect(through({ notesFrom: 1 })).toEqual(['c']);
    expect(through({ person: 'p1', state: 'retake' })).toEqual([]);
  });

  it('hangs in the order of what is asked for, what has no value last', () => {
    expect(inOrder('board')).toBe('abc');
    expect(inOrder('state')).toBe('cba');
    expect(inOrder('person')).toBe('bac');
    expect(inOrder('due')).toBe('cab');
    expect(inOrder('verdict')).toBe('bac');
    expect(inOrder('margin')).toBe('bac');
    expect(inOrder('notes')).toBe('cab');
  });
});
