import type { Recorded } from '../document/index.ts';
import { MINUS, VERDICT_WORDS } from '../drawing/index.ts';
import type { MotionSummary } from '../motion/index.ts';

/** A recorded reading in a few words: "falls, −1.2 cm"; the verdict alone where there is no margin. */
export function marginWords({ verdict, margin }: Pick<Recorded, 'verdict' | 'margin'>): string {
  const word = VERDICT_WORDS[verdict];
  if (margin === null) return word;
  return `${word}, ${margin < 0 ? MINUS : '+'}${Math.abs(margin * 100).toFixed(1)}\u00a0cm`;
}

/**
 * The worst of a moving draft in a few words: "in motion at worst falls, frame 12".
 * @param first number that the shot gives its first frame
 */
export function motionWords({ verdict, frame }: MotionSummary, first: number): string {
  const word = VERDICT_WORDS[verdict];
  return verdict === 'holds'
    ? `in motion ${word} in every frame`
    : `in motion at worst ${word}, frame ${frame + first}`;
}
