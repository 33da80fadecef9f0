import type { ClipReading } from './types.ts';

/** Shares of the clip's speed beyond which nothing is looked for: four times as fast. */
export const FASTEST = 4;
/** How finely the share is found. */
const STEP = 0.01;
/** Shares above 1 that are tried in turn before halving. */
const FASTER = [1.1, 1.25, 1.5, 1.75, 2, 2.5, 3, FASTEST];

/**
 * The slowest share of a clip's speed at which no frame falls, to a hundredth: 1 as drawn, less slower,
 * more faster. 0 where it holds at any speed however slow, null where no speed up to FASTEST does.
 * Between the two speeds tried last the answer is found by halving; a clip that fails, holds and fails
 * again on the way down counts from its first failure.
 * @param falls whether a frame falls at that share of the speed
 */
export function slowestShare(falls: (share: number) => boolean): number | null {
  if (!falls(1)) return falls(STEP) ? between(falls, STEP, 1) : 0;
  let fails = 1;
  for (const share of FASTER) {
    if (!falls(share)) return between(falls, fails, share);
    fails = share;
  }
  return null;
}

function between(falls: (share: number) => boolean, fails: number, works: number): number {
  let [low, high] = [fails, works];
  while (high - low > STEP) {
    const middle = (low + high) / 2;
    if (falls(middle)) low = middle;
    else high = middle;
  }
  return high;
}

/**
 * What would make the clip work, in sentences: the slowest speed that still carries (when it was looked
 * for) and the frame from which a stop would hold.
 */
export function tellTiming({
  slowest,
  stopsFrom,
  frameCount,
}: Pick<ClipReading, 'slowest' | 'stopsFrom' | 'frameCount'>): string[] {
  const said: string[] = [];
  if (slowest !== undefined) said.push(tellSlowest(slowest));
  if (frameCount > 1) {
    const start = stopsFrom === 0 ? 'At every frame' : `From frame ${stopsFrom} on`;
    said.push(
      stopsFrom === null
        ? 'The clip ends before a stop would hold.'
        : `${start} a stop would hold.`,
    );
  }
  return said;
}

function tellSlowest(slowest: number | null): string {
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  if (slowest === null)
    return `No speed carries this motion: it falls as drawn and at up to ${FASTEST} times its speed. The poses have to change.`;
  if (slowest === 0) return 'Every frame holds at any speed, however slow.';
  if (slowest > 1)
    return `As drawn it falls; at ${percent(slowest)} of its speed nothing falls any more.`;
  return `It still carries at ${percent(slowest)} of its speed; slower, it falls.`;
}
