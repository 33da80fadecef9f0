import { describe, expect, it } from 'vitest';
import { marginWords, motionWords } from '../../../core/sheet/margin-words.ts';

describe('readings in a few words', () => {
  it('have a sign and a unit, where there is a margin', () => {
    expect(marginWords({ verdict: 'falls', margin: -0.0123 })).toBe('falls, \u22121.2\u00a0cm');
    expect(marginWords({ verdict: 'holds', margin: 0.1 })).toBe('holds, +10.0\u00a0cm');
    expect(marginWords({ verdict: 'airborne', margin: null })).toBe('airborne');
  });

  it('say of a moving draft where it is worst, by the numbers of its shot', () => {
    expect(motionWords({ verdict: 'falls', frame: 11, frames: 3 }, 101)).toBe(
      'in motion at worst falls, frame 112',
    );
    expect(motionWords({ verdict: 'holds', frame: 0, frames: 48 }, 1)).toBe(
      'in motion holds in every frame',
    );
  });
});
