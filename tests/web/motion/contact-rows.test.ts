import { describe, expect, it } from 'vitest';
import { readTouches } from '../../../core/document/index.ts';
import type { ContactSpan } from '../../../core/motion/index.ts';
import { contactRows, roomOf, withEnd, withoutBar } from '../../../web/motion/contact-rows.ts';

/** A step: heel down at 10, toes at 12; heel up at 30, toes at 36. Later the toes alone; a hand. */
const FOUND: readonly ContactSpan[] = [
  { figure: 'ada', patch: 'soleL', from: 10, to: 30 },
  { figure: 'ada', patch: 'toesL', from: 12, to: 36 },
  { figure: 'ada', patch: 'toesL', from: 60, to: 70 },
  { figure: 'ada', patch: 'palmR', from: 0, to: 5 },
];

const rowOf = (word: string) => {
  const row = contactRows(FOUND, []).find((one) => one.word === word);
  if (row === undefined) throw new Error(`no row ${word}`);
  return row;
};
/** Bars of the left foot after a change, as the draft's entries give them back. */
const made = (entries: Readonly<Record<string, unknown>>) => {
  const edited = readTouches(new Map(Object.entries(entries)));
  return contactRows(FOUND, edited).find(({ word }) => word === 'left foot');
};

describe('rows of contacts', () => {
  it('take sole and toes of a foot together', () => {
    expect(contactRows(FOUND, []).map(({ word, bars }) => [word, bars])).toEqual([
      [
        'left foot',
        [
          [10, 36],
          [60, 70],
        ],
      ],
      ['right palm', [[0, 5]]],
    ]);
    expect(rowOf('left foot').byHand).toBe(false);
  });

  it('show a patch that was set to carry never', () => {
    const rows = contactRows([], [{ figure: 'ada', patch: 'seat', spans: [] }]);
    expect(rows).toMatchObject([{ word: 'seat', bars: [], byHand: true }]);
  });
});

describe('the end of a bar', () => {
  const foot = rowOf('left foot');
  const [bar, next] = foot.bars as [readonly [number, number], readonly [number, number]];

  it('drawn out takes along what made it, and nothing else', () => {
    const entries = withEnd(foot, bar, 'to', 40);
    expect(entries).toEqual({
      'touch/ada@toesL': 1,
      'touch/ada@toesL/spans': [
        [12, 40],
        [60, 70],
      ],
    });
    expect(made(entries)?.bars).toEqual([
      [10, 40],
      [60, 70],
    ]);
    expect(made(entries)?.byHand).toBe(true);
  });

  it('drawn in cuts every patch that reaches beyond, and drops one that began later', () => {
    const entries = withEnd(foot, bar, 'to', 11);
    expect(made(entries)?.patches.get('soleL')).toEqual([[10, 11]]);
    expect(made(entries)?.patches.get('toesL')).toEqual([[60, 70]]);
    const later = withEnd(foot, bar, 'from', 32);
    expect(made(later)?.patches.get('soleL')).toEqual([]);
    expect(made(later)?.bars).toEqual([
      [32, 36],
      [60, 70],
    ]);
  });

  it('keeps a frame, stays off its neighbours and inside the clip', () => {
    expect(roomOf(foot, bar, 'from', 99)).toEqual([0, 36]);
    expect(roomOf(foot, bar, 'to', 99)).toEqual([10, 58]);
    expect(roomOf(foot, next, 'from', 99)).toEqual([38, 70]);
    expect(roomOf(foot, next, 'to', 99)).toEqual([60, 99]);
  });

  it('a bar taken away leaves the others', () => {
    expect(made(withoutBar(foot, bar))?.bars).toEqual([[60, 70]]);
  });
});
