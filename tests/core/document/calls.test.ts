import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { assess } from '../../../core/balance/index.ts';
import {
  type Answer,
  callsMap,
  hiddenShots,
  type OpenCall,
  openCallOn,
  progressOf,
  putCall,
  readAnswer,
  readCalls,
  type ShownCall,
  scoreOf,
  summaryOf,
  type Truth,
  truthOf,
} from '../../../core/document/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const OPEN: OpenCall = {
  ...{ id: 'c1', shot: 's1', draft: 'd1', frame: null, by: 'ada' },
  ...{ at: '2026-03-01T10:00:00.000Z', guests: true, count: 0, state: 'open' },
};

const TRUTH: Truth = {
  ...{ verdict: 'falls', centre: [0, 0.9, 0.2], margin: -0.05 },
  ...{ heading: 'forwards', footLength: 0.25, sentence: 'It falls forwards.' },
};

const answer = (z: number, over: Partial<Answer> = {}): Answer => ({
  ...{ centre: [0, 0.9, z], verdict: 'falls', heading: 'forwards' },
  ...over,
});

const shown = (id: string, shownAt: string, given: Record<string, Answer>): ShownCall => ({
  ...{ ...OPEN, id, state: 'shown', shownAt, truth: TRUTH },
  answers: Object.entries(given).map(([person, said]) => ({ ...said, person, at: shownAt })),
});

describe('a call in the record', () => {
  it('is read as it was written, open and shown', () => {
    const doc = new Y.Doc();
    const later = shown('c2', '2026-03-01T11:00:00.000Z', { bo: answer(0.1) });
    putCall(doc, OPEN);
    putCall(doc, { ...later, shot: 's2' });
    expect(readCalls(doc)).toEqual([OPEN, { ...later, shot: 's2' }]);
    expect(openCallOn(doc, 's1')).toEqual(OPEN);
    expect(openCallOn(doc, 's2')).toBeNull();
    expect(hiddenShots(doc)).toEqual(new Set(['s1']));
  });

  it.each([
    7,
    null,
    {},
    { shot: 's' },
    { ...OPEN, state: 'else' },
    { ...OPEN, state: 'shown' },
    { ...OPEN, state: 'shown', truth: {}, answers: [] },
    { ...OPEN, state: 'shown', truth: TRUTH, answers: 'all' },
  ])('passes over what is none: %j', (value) => {
    const doc = new Y.Doc();
    callsMap(doc).set('x', value);
    expect(readCalls(doc)).toEqual([]);
  });
});

describe('what somebody calls', () => {
  it.each([
    {},
    { centre: [0, 1], verdict: 'holds' },
    { centre: [0, 1e9, 0], verdict: 'holds' },
    { centre: [0, 1, 0], verdict: 'airborne' },
    { centre: [0, Number.NaN, 0], verdict: 'holds' },
  ])('is none: %j', (value) => {
    expect(readAnswer(value)).toBeNull();
  });

  it('has a way to fall only where it does not hold', () => {
    const said = { centre: [0, 1, 0], verdict: 'holds', heading: 'forwards' };
    expect(readAnswer(said)?.heading).toBeNull();
    expect(readAnswer({ ...said, verdict: 'teeters' })?.heading).toBe('forwards');
    expect(readAnswer({ ...said, verdict: 'falls', heading: 'upwards' })?.heading).toBeNull();
  });

  it('is as far off as its plumb point and its centre are', () => {
    const said = answer(0.1, { centre: [0.03, 1.0, 0.24] });
    const score = scoreOf(said, TRUTH);
    expect(score.plumb).toBeCloseTo(0.05, 12);
    expect(score.footShare).toBeCloseTo(0.2, 12);
    expect(score.centre).toBeCloseTo(Math.hypot(0.05, 0.1), 12);
    expect(score).toMatchObject({ verdict: true, heading: true });
    expect(scoreOf({ ...said, verdict: 'holds', heading: null }, TRUTH)).toMatchObject({
      verdict: false,
      heading: null,
    });
  });

  it('is not measured where there is no centre, or no foot', () => {
    const score = scoreOf(answer(0.1), { ...TRUTH, centre: null, footLength: null });
    expect(score).toMatchObject({ plumb: null, footShare: null, centre: null });
    expect(scoreOf(answer(0.1), { ...TRUTH, footLength: null }).footShare).toBeNull();
  });
});

describe('what a class calls together', () => {
  it('is summed up by its median and its mean', () => {
    const call = shown('c1', 'now', {
      a: answer(0.2),
      b: answer(0.24),
      c: answer(0.3, { verdict: 'holds', heading: null }),
      d: answer(0.1),
    });
    const summary = summaryOf(call);
    expect(summary).toMatchObject({ count: 4, rightVerdicts: 3 });
    expect(summary.medianPlumb).toBeCloseTo((0.04 + 0.1) / 2, 12);
    expect(summary.medianFootShare).toBeCloseTo(0.28, 12);
    expect(summary.meanPlumb?.[1]).toBeCloseTo(0.21, 12);
    expect(summaryOf({ ...call, answers: [] })).toEqual({
      ...{ count: 0, rightVerdicts: 0, medianPlumb: null },
      ...{ medianFootShare: null, meanPlumb: null },
    });
  });

  it("shows a person's progress in the order in which calls were shown", () => {
    const calls = [
      shown('late', '2026-03-02', { bo: answer(0.21) }),
      OPEN,
      shown('early', '2026-03-01', { bo: answer(0.35), cy: answer(0.2) }),
      shown('without', '2026-03-03', { cy: answer(0.2) }),
    ];
    const steps = progressOf(calls, 'bo');
    expect(steps.map(({ call }) => call.id)).toEqual(['early', 'late']);
    expect(steps.map(({ score }) => score.plumb)).toEqual([
      expect.closeTo(0.15, 12),
      expect.closeTo(0.01, 12),
    ]);
  });
});

describe('the truth of a call', () => {
  it('is what the core reports of the group that the badge is about', () => {
    const scene = bentScene(80);
    const report = assess(scene);
    const [group] = report.groups;
    const truth = truthOf(scene, report);
    expect(truth).toMatchObject({
      ...{ verdict: 'falls', centre: group?.centre, margin: group?.margin?.distance },
      ...{ heading: 'forwards', sentence: group?.sentence },
    });
    // Winter (2009), figure 4.1: a foot is 0.152 of the stature.
    expect(truth.footLength).toBeCloseTo(0.152 * 1.75, 1);
    const empty = { figures: [], loads: [], surfaces: [], grips: [] };
    expect(truthOf(empty, assess(empty))).toEqual({
      ...{ verdict: 'unknown', centre: null, margin: null, heading: null },
      ...{ footLength: null, sentence: '' },
    });
  });
});
