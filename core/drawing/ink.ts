import type { Verdict } from '../balance/types.ts';

/**
 * The colours of a drawing, by role. In a page they are the page's custom properties, so a darkened
 * room keeps the roles; the fallbacks are the page's own paper set (a test keeps them equal). `figure` tones are made for this drawing:
 * the mannequin's near and far side, lighter than ink so that lines over it stay readable.
 */
const PAPER = {
  paper: '#F6F2E9',
  sheet: '#FFFDF8',
  ink: '#1D2330',
  pencil: '#6B6A63',
  rule: '#DCD5C6',
  figure: '#E7DECB',
  'figure-far': '#F3EDE0',
  load: '#CDBB97',
  holds: '#0F6B6E',
  teeters: '#9A6000',
  falls: '#A8322A',
  airborne: '#55588F',
  carried: '#7A4B8C',
} as const;

export type Ink = keyof typeof PAPER;

/** `page`: custom properties with fallbacks; `paper`: plain colours, for files that leave the page. */
export type Theme = 'page' | 'paper';

/** The CSS or SVG colour of an ink. */
export const colourOf = (ink: Ink, theme: Theme): string =>
  theme === 'paper' ? PAPER[ink] : `var(--${ink},${PAPER[ink]})`;

/** The ink that repeats a verdict; shape and word carry it. */
export function verdictInk(verdict: Verdict): Ink {
  if (verdict === 'unknown') return 'pencil';
  // A figure that another one holds is drawn in the ink of the carried.
  return verdict === 'held' ? 'carried' : verdict;
}
