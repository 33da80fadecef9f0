import type { Verdict } from '../balance/index.ts';
import type { ClipReading } from './types.ts';

/** A moving shot in one verdict, for a card. */
export interface MotionSummary {
  /** The worst there is in motion. */
  readonly verdict: Verdict;
  /** Frame of it, from 0: the worst one that falls, else the first. */
  readonly frame: number;
  /** Frames that have it. */
  readonly frames: number;
}

/**
 * Worst first. What speed carries is no fault, but more of a claim than what stands; frames of which
 * nothing can be told (a step that the clip does not show any more) count only where there is nothing else.
 */
const WORST_FIRST: readonly Verdict[] = [
  'falls',
  'teeters',
  'carried',
  'airborne',
  'held',
  'holds',
  'unknown',
];

/** The worst verdict of a weighed clip, and where it is. */
export function worstInMotion({ frames, worst }: ClipReading): MotionSummary {
  const verdict = WORST_FIRST.find((one) => frames.some((frame) => frame.verdict === one));
  const found = frames.filter((frame) => frame.verdict === verdict);
  const first = found[0]?.frame ?? 0;
  return {
    verdict: verdict ?? 'unknown',
    frame: verdict === 'falls' ? (worst ?? first) : first,
    frames: found.length,
  };
}
