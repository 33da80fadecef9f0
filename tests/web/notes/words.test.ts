import { describe, expect, it } from 'vitest';
import { heldAgainst } from '../../../web/notes/words.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const reading = (margin: number | null, verdict: 'holds' | 'falls' | 'airborne' = 'holds') =>
  ({ verdict, margin, centre: null }) as const;

describe('a reading held against the present one', () => {
  it.each([
    [reading(0.031), reading(0.05), 'was 3.1 cm, now 5.0 cm'],
    [reading(0.031), reading(0.0312), 'holds, 3.1 cm, as now'],
    [reading(-0.02, 'falls'), reading(0.05), 'was falls, 2.0 cm outside; now holds, 5.0 cm'],
    [reading(-0.02, 'falls'), reading(-0.04, 'falls'), 'was 2.0 cm outside, now 4.0 cm outside'],
    [reading(0.05), reading(null, 'airborne'), 'was holds, 5.0 cm; now airborne'],
    [reading(0.05), null, 'was holds, 5.0 cm'],
  ])('says what it was and is (%#)', (was, now, words) => {
    expect(plain(heldAgainst(was, now))).toBe(words);
  });

  it('tells how far the centre moved, from half a centimetre on', () => {
    const at = (x: number) => ({ ...reading(0.031), centre: [x, 1, 0] as const });
    expect(plain(heldAgainst(at(0), at(0.034)))).toBe(
      'holds, 3.1 cm, as now; the centre moved 3.4 cm',
    );
    expect(plain(heldAgainst(at(0), at(0.004)))).toBe('holds, 3.1 cm, as now');
  });
});
