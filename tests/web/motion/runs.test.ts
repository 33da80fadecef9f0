import { describe, expect, it } from 'vitest';
import type { Verdict } from '../../../core/balance/index.ts';
import type { MotionFrame } from '../../../web/motion/protocol.ts';
import { contactPosesAbout, nextChange, runsOf } from '../../../web/motion/runs.ts';

const frames = (verdicts: readonly (Verdict | null)[]): (MotionFrame | null)[] =>
  verdicts.map((verdict) => verdict && ({ verdict } as MotionFrame));

describe('runs of verdicts', () => {
  it('are the stretches with one verdict; frames known at rest count with that', () => {
    const known = frames(['falls', 'falls', 'carried', null, null, 'holds']);
    const resting = [null, null, null, { verdict: 'teeters', ratio: 0 } as const, null, null];
    expect(runsOf(known, resting)).toEqual([
      { verdict: 'falls', from: 0, to: 1 },
      { verdict: 'carried', from: 2, to: 2 },
      { verdict: 'teeters', from: 3, to: 3 },
      { verdict: 'holds', from: 5, to: 5 },
    ]);
  });

  it('are gone through from change to change, and round again', () => {
    const runs = runsOf(frames(['holds', 'holds', 'falls', 'holds']), []);
    expect([0, 1, 2, 3].map((frame) => nextChange(runs, frame))).toEqual([2, 2, 3, 0]);
    expect(nextChange(runsOf(frames(['holds', 'holds']), []), 0)).toBeNull();
  });
});

describe('contact poses', () => {
  it('are the last change of support before a frame and the next after it', () => {
    const spans = [{ from: 0 }, { from: 10 }, { from: 20 }];
    expect(contactPosesAbout(spans, 15)).toEqual([10, 20]);
    expect(contactPosesAbout(spans, 10)).toEqual([0, 20]);
    expect(contactPosesAbout(spans, 25)).toEqual([20]);
  });
});
