export { contentsOf, coverOf } from './cover.ts';
export { drawingsOf, shotBlocks } from './shot.ts';
export type { Block, ContentsRow, Cover, Weighed } from './types.ts';

/** At the foot of every page. */
export const SHEET_CAUTION =
  'For drawn and animated figures only: no safety assessment of real people. Local codes and licensed practice decide.';
