import { describe, expect, it } from 'vitest';
import { readSpans, saySpans } from '../../../web/motion/spans.ts';

describe('spans of frames', () => {
  it('are read as they are written, in the numbers of the shot', () => {
    const spans = [
      [0, 9],
      [17, 17],
    ] as const;
    expect(saySpans(spans, 101)).toBe('101-110, 118');
    expect(readSpans('101-110, 118', 101)).toEqual(spans);
  });

  it('come out sorted, whole, and in the right direction', () => {
    expect(readSpans(' 20 - 12; 1-4,5 ,', 1)).toEqual([
      [0, 4],
      [11, 19],
    ]);
    expect(readSpans('', 1)).toEqual([]);
  });

  it('are refused where they are none', () => {
    for (const text of ['one', '3-', '4..9', '0-3', '-2']) expect(readSpans(text, 1)).toBeNull();
  });
});
