import { describe, expect, it } from 'vitest';
import { letGoEntries } from '../../../core/document/index.ts';

const ENTRIES: ReadonlyMap<string, unknown> = new Map<string, unknown>([
  ['figure/pim', 1],
  ['figure/pim/contact.palmL', 'gripping'],
  ['figure/pim/contact.palmR', 'planted'],
  ['figure/pim/contact.soleL', 'planted'],
  ['grip/hands', 1],
]);

describe('the entries of letting go', () => {
  it('open a grip and lift a hand that has closed round something', () => {
    expect(letGoEntries(ENTRIES, ['hands', 'pim/palmL'])).toEqual({
      'grip/hands/open': true,
      'figure/pim/contact.palmL': 'lifted',
    });
  });

  it('pass over what is not there and what is no hold', () => {
    const none = ['gone', 'pim/palmR', 'pim/soleL', 'nobody/palmL', '/palmL', ''];
    expect(letGoEntries(ENTRIES, none)).toEqual({});
  });
});
