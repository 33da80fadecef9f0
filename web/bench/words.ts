import type { Pin } from '../../core/document/index.ts';

export { nameOf, patchWord, pinLabel, segmentWord } from '../../core/document/index.ts';

/** How numbers and lists are said on the bench. */

/** Two pins that point at the same thing. */
export const samePin = (a: Pin | null, b: Pin | null): boolean =>
  JSON.stringify(a) === JSON.stringify(b);

/** Kilograms as a bare number for a column, e.g. "62.0"; an unknown mass is said so. */
export const sayMass = (mass: number | null): string =>
  mass === null ? 'unknown' : mass.toFixed(1);

/** A share of a whole, e.g. "64 %". */
export const sayShare = (share: number): string => `${(share * 100).toFixed(0)}\u00a0%`;

/** Things in a row of words: "left foot and right foot". */
export function sayList(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}
