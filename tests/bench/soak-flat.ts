import { spread } from './rows.ts';

/** What a run may grow by and still be flat (design value, no source). */
const SHARE = 0.1;
const MEGABYTES = 1;

/**
 * Whether memory stayed level: the median of the last third of the samples against that of the third
 * after the first quarter, in which caches fill and code is compiled.
 * @param held megabytes, in the order of time
 */
export function flatness(held: readonly number[]): {
  readonly early: number;
  readonly late: number;
  readonly isFlat: boolean;
} {
  const third = Math.floor(held.length / 3);
  const from = Math.floor(held.length / 4);
  const early = spread(held.slice(from, from + third)).median;
  const late = spread(held.slice(-third)).median;
  return { early, late, isFlat: late <= early * (1 + SHARE) + MEGABYTES };
}
