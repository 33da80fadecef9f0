import { describe, expect, it } from 'vitest';
import type { Contact } from '../../../core/contact/index.ts';
import { carryingParts, gaitOf, supportSpans } from '../../../core/motion/index.ts';

const L = 'a/footL';
const R = 'a/footR';

/** Frames from a drawing: one letter a frame, b both, l, r, - in the air. */
const frames = (drawing: string) =>
  [...drawing].map((letter) => ({ b: [L, R], l: [L], r: [R], '-': [] })[letter] ?? []);

describe('what carries', () => {
  it('is one part a foot, whichever of its patches touch', () => {
    const contact = (owner: string, patch: string) => ({ owner, patch }) as Contact;
    expect(
      carryingParts([
        contact('a', 'toesL'),
        contact('a', 'soleL'),
        contact('a', 'toesR'),
        contact('a', 'palmL'),
        contact('crate', 'underside'),
      ]),
    ).toEqual(['a/footL', 'a/footR', 'a/palmL', 'crate']);
  });

  it('goes by spans from change to change', () => {
    const spans = supportSpans(frames('bbbrrrr--lll'), 24);
    expect(spans).toEqual([
      { from: 0, to: 2, parts: [L, R] },
      { from: 3, to: 6, parts: [R] },
      { from: 7, to: 8, parts: [] },
      { from: 9, to: 11, parts: [L] },
    ]);
  });

  it('leaves out flicker of a recording, but no drawn frame', () => {
    expect(supportSpans(frames('rrrrrrrrbrrrrrrr'), 120)).toHaveLength(1);
    expect(supportSpans(frames('bbbbbbbbrrbbbbbb'), 120)).toHaveLength(1);
    expect(supportSpans(frames('rrrrrrrrbrrrrrrr'), 24)).toHaveLength(3);
  });
});

describe('gait', () => {
  it('counts shares over whole cycles only', () => {
    // Left falls at 4, 24; right at 14. One cycle of 20 frames: double 4-5 and 14-15.
    const drawing = `rrrr${'bb'}${'llllllll'}${'bb'}${'rrrrrrrr'}${'bb'}lll`;
    const gait = gaitOf(supportSpans(frames(drawing), 24), 'a', 24);
    expect(gait.footfalls).toEqual([
      { frame: 4, side: 'L' },
      { frame: 14, side: 'R' },
      { frame: 24, side: 'L' },
    ]);
    expect(gait.alternating).toBe(true);
    expect(gait.cycles).toBe(1);
    expect(gait.cycleTime).toBeCloseTo(20 / 24, 12);
    expect(gait.shares).toEqual({ double: 0.2, single: 0.8, air: 0 });
  });

  it('sees a hop on one foot and a run', () => {
    const hop = gaitOf(supportSpans(frames('lll---lll---lll'), 24), 'a', 24);
    expect(hop.alternating).toBe(false);
    expect(hop.shares).toEqual({ double: 0, single: 0.5, air: 0.5 });
    const run = gaitOf(supportSpans(frames('r--ll--rr--ll--rr--l'), 24), 'a', 24);
    expect(run.alternating).toBe(true);
    expect(run.shares?.air).toBeCloseTo(0.5, 12);
  });

  it('has no shares without a whole cycle', () => {
    expect(gaitOf(supportSpans(frames('bbbbb'), 24), 'a', 24)).toEqual({
      footfalls: [],
      alternating: false,
      cycles: 0,
      cycleTime: null,
      shares: null,
    });
  });
});
