import { describe, expect, it } from 'vitest';
import { readPresence } from '../../../core/document/index.ts';

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
