import type { Contact } from '../contact/index.ts';

/** Contacts that come or go for less than this are flicker, seconds (own choice: half the shortest double support of a brisk walk, about 0.1 s, from memory). */
export const STEADY_FOR = 0.05;

/**
 * What carries, as parts: sole and toes of a foot are one part, so that rolling from heel to toe is
 * no change of support. `figure/footL`, `figure/seat`, or a load's id.
 */
export function carryingParts(contacts: readonly Contact[]): readonly string[] {
  const parts = new Set<string>();
  for (const { owner, patch } of contacts) {
    if (patch === 'underside') parts.add(owner);
    else parts.add(`${owner}/${patch.replace(/^(?:sole|toes)(?=[LR]$)/, 'foot')}`);
  }
  return [...parts].sort();
}

/** A stretch of frames over which the same parts carry. */
export interface SupportSpan {
  readonly from: number;
  /** Last frame of it. */
  readonly to: number;
  /** Sorted; empty in the air. */
  readonly parts: readonly string[];
}

/**
 * The stretches of a clip between changes of what carries, in order. A part that comes or goes for
 * less than STEADY_FOR seconds is taken as flicker of the recording, except at the ends of the clip.
 * @param frames the parts that carry in each frame
 * @param rate frames a second
 */
export function supportSpans(
  frames: readonly (readonly string[])[],
  rate: number,
): readonly SupportSpan[] {
  const steady = withoutFlicker(frames, Math.round(STEADY_FOR * rate));
  const spans: { from: number; to: number; parts: readonly string[] }[] = [];
  let key: string | null = null;
  steady.forEach((parts, frame) => {
    const next = parts.join(' ');
    const last = spans.at(-1);
    if (last !== undefined && next === key) last.to = frame;
    else spans.push({ from: frame, to: frame, parts });
    key = next;
  });
  return spans;
}

function withoutFlicker(
  frames: readonly (readonly string[])[],
  shortest: number,
): readonly (readonly string[])[] {
  if (shortest < 2) return frames;
  const names = [...new Set(frames.flat())].sort();
  const on = new Map(names.map((name) => [name, frames.map((parts) => parts.includes(name))]));
  for (const states of on.values()) {
    dropShortRuns(states, shortest, false); // close gaps first: a foot is rather down than up
    dropShortRuns(states, shortest, true);
  }
  return frames.map((_, frame) => names.filter((name) => on.get(name)?.[frame]));
}

/** Turns runs of `state` that are shorter than `shortest` and do not touch an end. */
function dropShortRuns(states: boolean[], shortest: number, state: boolean): void {
  let from = 0;
  for (let i = 1; i <= states.length; i++) {
    if (i < states.length && states[i] === states[from]) continue;
    const inside = from > 0 && i < states.length;
    if (inside && states[from] === state && i - from < shortest) states.fill(!state, from, i);
    from = i;
  }
}

/** How a figure walks or runs over a clip. */
export interface Gait {
  /** Frames at which a foot comes down, in order. */
  readonly footfalls: readonly { readonly frame: number; readonly side: 'L' | 'R' }[];
  /** Whether left and right take turns throughout; false with fewer than two footfalls. */
  readonly alternating: boolean;
  /** Whole cycles (from a foot's fall to its next) that the shares are taken over. */
  readonly cycles: number;
  /** Seconds a cycle; null without a whole one. */
  readonly cycleTime: number | null;
  /** Shares of the cycles with both feet down, one, or none; null without a whole cycle. */
  readonly shares: {
    readonly double: number;
    readonly single: number;
    readonly air: number;
  } | null;
}

/**
 * Footfalls and the times on two feet, one or none. The shares are taken over whole cycles only, from
 * the first fall of a foot to its last, for the foot that has more of them: a clip that starts in the
 * middle of a step does not bend them.
 */
export function gaitOf(spans: readonly SupportSpan[], figure: string, rate: number): Gait {
  const isDown = (span: SupportSpan, side: 'L' | 'R'): boolean =>
    span.parts.includes(`${figure}/foot${side}`);
  const footfalls: { frame: number; side: 'L' | 'R' }[] = [];
  for (let i = 1; i < spans.length; i++)
    for (const side of ['L', 'R'] as const)
      if (isDown(spans[i]!, side) && !isDown(spans[i - 1]!, side))
        footfalls.push({ frame: spans[i]!.from, side });
  const alternating =
    footfalls.length > 1 && footfalls.every(({ side }, i) => side !== footfalls[i - 1]?.side);

  const fallsOf = (side: 'L' | 'R') => footfalls.filter((fall) => fall.side === side);
  const [left, right] = [fallsOf('L'), fallsOf('R')];
  const falls = right.length > left.length ? right : left;
  const cycles = Math.max(0, falls.length - 1);
  if (cycles === 0) return { footfalls, alternating, cycles, cycleTime: null, shares: null };

  const start = falls[0]!.frame;
  const end = falls[cycles]!.frame;
  const counts = { double: 0, single: 0, air: 0 };
  for (const span of spans) {
    const frames = Math.min(span.to + 1, end) - Math.max(span.from, start);
    if (frames <= 0) continue;
    const feet = (isDown(span, 'L') ? 1 : 0) + (isDown(span, 'R') ? 1 : 0);
    counts[feet === 2 ? 'double' : feet === 1 ? 'single' : 'air'] += frames;
  }
  const total = end - start;
  return {
    footfalls,
    alternating,
    cycles,
    cycleTime: total / cycles / rate,
    shares: {
      double: counts.double / total,
      single: counts.single / total,
      air: counts.air / total,
    },
  };
}
