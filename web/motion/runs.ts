import type { Verdict } from '../../core/balance/index.ts';
import type { MotionFrame, RestFrame } from './protocol.ts';

/** Frames in a row with one verdict. */
export interface VerdictRun {
  readonly verdict: Verdict;
  readonly from: number;
  readonly to: number;
}

/** The runs of a clip, as far as its frames are known; a frame known only at rest counts with that. */
export function runsOf(
  frames: readonly (MotionFrame | null)[],
  resting: readonly (RestFrame | null)[],
): VerdictRun[] {
  const runs: { verdict: Verdict; from: number; to: number }[] = [];
  frames.forEach((frame, i) => {
    const verdict = frame?.verdict ?? resting[i]?.verdict;
    if (verdict === undefined) return;
    const last = runs.at(-1);
    if (last !== undefined && last.verdict === verdict && last.to === i - 1) last.to = i;
    else runs.push({ verdict, from: i, to: i });
  });
  return runs;
}

/** First frame after `frame` at which another verdict begins, from the start again after the last. */
export function nextChange(runs: readonly VerdictRun[], frame: number): number | null {
  if (runs.length < 2) return null;
  return (runs.find(({ from }) => from > frame) ?? runs[0])?.from ?? null;
}

/** The frames about `frame` at which what carries changes: the last one up to it, the next after it. */
export function contactPosesAbout(
  spans: readonly { readonly from: number }[],
  frame: number,
): number[] {
  const starts = spans.map(({ from }) => from);
  const before = starts.findLast((from) => from < frame);
  const after = starts.find((from) => from > frame);
  return [before, after].filter((at) => at !== undefined);
}
