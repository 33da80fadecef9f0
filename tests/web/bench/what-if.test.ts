import { describe, expect, it } from 'vitest';
import { outcomeWords, supposedWords } from '../../../web/bench/what-if.ts';
import { atRail } from '../../core/balance/at-rail.ts';
import { MEETING } from '../../core/balance/pairs.ts';

describe('what a what-if supposes, in words', () => {
  it('two who hold each other, with all grips or one', () => {
    expect(supposedWords(MEETING, ['left', 'right'])).toBe('he and she let go of each other');
    expect(supposedWords(MEETING, ['left'])).toMatch(/^he and she let go of \w+ hand of he at /);
  });

  it('hands that have closed round a rail', () => {
    const rail = atRail(14, 'gripping');
    expect(supposedWords(rail, ['a/palmL', 'a/palmR'])).toBe('a lets go of rail');
    expect(supposedWords(rail, ['a/palmR'])).toBe('the right hand of a lets go of rail');
    expect(outcomeWords(rail, ['a/palmL', 'a/palmR'], 24)).toMatch(
      /^a falls backwards, .+ frames\.$/,
    );
  });

  it('nothing of what does not hold', () => {
    expect(supposedWords(atRail(14, 'planted'), ['a/palmL'])).toBe('');
    expect(outcomeWords(atRail(14, 'planted'), ['a/palmL'], 24)).toBe('');
  });
});
