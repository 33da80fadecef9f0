import type { Verdict } from '../../core/balance/types.ts';

export {
  centimetres,
  centreText,
  MINUS,
  marginShort,
  percent,
  readingMargin as marginText,
  supportText,
  VERDICT_WORDS,
} from '../../core/drawing/index.ts';

/** The page's colour that repeats a verdict; word and glyph carry it. */
export function verdictColour(verdict: Verdict): string {
  if (verdict === 'unknown') return 'var(--pencil)';
  return verdict === 'held' ? 'var(--carried)' : `var(--${verdict})`;
}
