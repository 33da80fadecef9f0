/**
 * One scale for all small drawings of margins, so that shots can be held against each other: a foot's
 * width either way is what matters; what is farther is drawn at the rim. Metres.
 */
const RANGE_M = 0.12;

/** Where a margin stands between the rims: -1 far outside, 0 on the edge of the support, 1 far inside. */
export const marginShare = (margin: number): number => Math.max(-1, Math.min(1, margin / RANGE_M));
