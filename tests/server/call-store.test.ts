import { describe, expect, it } from 'vitest';
import type { Answer, Truth } from '../../core/document/index.ts';
import { CallStore } from '../../server/storage/call-store.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';

const ANSWER: Answer = { centre: [0, 1, 0], verdict: 'holds', heading: null };
const TRUTH: Truth = {
  ...{ verdict: 'falls', centre: [0, 0.9, 0.2], margin: -0.05, heading: 'forwards' },
  ...{ footLength: 0.25, sentence: 'It falls forwards.' },
};

describe('open calls', () => {
  it('are those of their review: the same id in another one reaches nothing', () => {
    const store = new CallStore(memoryDatabase(), new ManualClock());
    const [own, other] = [
      { review: 'first', call: 'c1' },
      { review: 'copy', call: 'c1' },
    ];
    const kept = { history: { d: { verdict: 'falls' } } };
    store.open(own, kept, TRUTH);
    expect(store.answer(own, 'ada', ANSWER)).toBe(1);

    expect(store.answer(other, 'bo', ANSWER)).toBeNull();
    expect(store.answerOf(other, 'ada')).toBeNull();
    expect(store.answers(other)).toEqual([]);
    expect(store.keptOf(other)).toEqual({});
    expect(store.truthOf(other)).toBeNull();
    store.keepMore(other, { seals: { d: 1 } });
    store.close(other);

    expect(store.answerOf(own, 'ada')).toEqual(ANSWER);
    expect(store.answers(own)).toMatchObject([{ person: 'ada' }]);
    expect(store.keptOf(own)).toEqual(kept);
    expect(store.truthOf(own)).toEqual(TRUTH);
    store.close(own);
    expect(store.answers(own)).toEqual([]);
  });
});
