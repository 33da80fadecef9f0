import { describe, expect, it } from 'vitest';
import type { Draft } from '../../../core/document/index.ts';
import { draftTree } from '../../../web/drafts/tree.ts';

const draft = (number: number, from: number | null): Draft => ({
  id: `d${number}`,
  shot: 's',
  number,
  from: from === null ? null : `d${from}`,
  title: '',
  words: '',
  clip: null,
  sealed: false,
});

/** Rows as text: number, lane, lanes above and below, and the lane it branches from. */
const drawn = (drafts: readonly Draft[]): string[] =>
  draftTree(drafts).map(
    ({ draft: { number }, lane, above, below, branch }) =>
      `${number}@${lane} [${above}>${below}]${branch === null ? '' : ` from ${branch}`}`,
  );

describe('the history of drafts', () => {
  it('runs down one lane while each came from the one before', () => {
    expect(drawn([draft(1, null), draft(2, 1), draft(3, 2)])).toEqual([
      '1@0 [>0]',
      '2@0 [0>0]',
      '3@0 [0>]',
    ]);
  });

  it('gives an abandoned try a lane of its own and goes straight on with the later one', () => {
    // 2 was left: 3 came from 1 again, and 4 from 3.
    expect(drawn([draft(1, null), draft(2, 1), draft(3, 1), draft(4, 3)])).toEqual([
      '1@0 [>0]',
      '2@1 [0>0] from 0',
      '3@0 [0>0]',
      '4@0 [0>]',
    ]);
  });

  it('keeps two branches apart that both go on, and takes a free lane again', () => {
    const rows = drawn([
      draft(1, null),
      draft(2, 1),
      draft(3, 2),
      draft(4, 1),
      draft(5, 4),
      draft(6, 4),
    ]);
    expect(rows).toEqual([
      '1@0 [>0]',
      '2@1 [0>0,1] from 0',
      '3@1 [0,1>0]',
      '4@0 [0>0]',
      '5@1 [0>0] from 0',
      '6@0 [0>]',
    ]);
  });

  it('starts anew at drafts without an origin, or whose origin is gone', () => {
    expect(drawn([draft(1, null), draft(2, null), draft(3, 9)])).toEqual([
      '1@0 [>]',
      '2@0 [>]',
      '3@0 [>]',
    ]);
  });
});
