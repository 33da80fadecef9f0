import type { Comparison } from '../../core/compare/index.ts';
import { VERDICT_WORDS } from '../badge/words.ts';

const cm = (margin: number | null): string => {
  if (margin === null) return 'no margin';
  return `${(Math.abs(margin) * 100).toFixed(1)}\u00a0cm${margin < 0 ? ' outside' : ''}`;
};

/** How margin and verdict went from one draft to the other, in one sentence. */
export function marginChange(margin: Comparison['margin'], verdict: Comparison['verdict']): string {
  if (verdict === null) return 'One of them holds nothing that could be weighed.';
  const words = (which: 'before' | 'after'): string =>
    `${VERDICT_WORDS[verdict[which]]}, ${cm(margin[which])}`;
  if (verdict.before !== verdict.after) return `${words('before')}; then ${words('after')}.`;
  if (margin.before !== null && margin.after !== null) {
    const apart = margin.after - margin.before;
    if (Math.abs(apart) < 0.0005) return `${words('before')} in both.`;
    const way = apart > 0 ? 'more' : 'less';
    return `${VERDICT_WORDS[verdict.before]}: ${cm(margin.before)}, then ${cm(margin.after)}, ${cm(Math.abs(apart))} ${way}.`;
  }
  return `${words('before')}; then ${words('after')}.`;
}
