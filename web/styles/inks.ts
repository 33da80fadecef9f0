/** How a person's line is drawn, so that two people are never told apart by hue alone. */
export type InkPattern = 'solid' | 'dashed' | 'dotted';

/** One of the 12 inks of people. `light` is for paper, `dark` for the darkened room. */
export interface PersonInk {
  readonly name: string;
  readonly light: string;
  readonly dark: string;
  readonly pattern: InkPattern;
  /** Dash lengths in px for a 2 px line, as SVG's stroke-dasharray and canvas' setLineDash. */
  readonly dash: readonly number[];
}

const DASH: Readonly<Record<InkPattern, readonly number[]>> = {
  solid: [],
  dashed: [8, 4],
  dotted: [2, 4],
};

const ink = (name: string, light: string, dark: string, pattern: InkPattern): PersonInk => ({
  name,
  light,
  dark,
  pattern,
  dash: DASH[pattern],
});

/** Neighbours differ in pattern as well as in hue. The colours are the --person-N of tokens.css. */
export const INKS: readonly PersonInk[] = [
  ink('prussian', '#1f4e8c', '#7fb0f0', 'solid'),
  ink('madder', '#a3283b', '#f08a98', 'dashed'),
  ink('moss', '#3f6b1f', '#9ccb6e', 'dotted'),
  ink('ochre', '#8a5a00', '#e0b04a', 'solid'),
  ink('plum', '#6b2f7a', '#cf97df', 'dashed'),
  ink('verdigris', '#0b6b5e', '#5cc9b5', 'dotted'),
  ink('umber', '#6a4327', '#d0a27e', 'solid'),
  ink('slate', '#43566b', '#a3b8ce', 'dashed'),
  ink('carmine', '#b01f6a', '#f38cc0', 'dotted'),
  ink('olive', '#5e6212', '#c3c75c', 'solid'),
  ink('indigo', '#3a3a9e', '#a6a6f5', 'dashed'),
  ink('rust', '#a2431a', '#ee9a6e', 'dotted'),
];

/** The ink with an index; any whole number is taken round the twelve. */
export function inkOf(index: number): PersonInk {
  const wrapped = ((Math.trunc(index) % INKS.length) + INKS.length) % INKS.length;
  const found = INKS[wrapped];
  if (found === undefined) throw new RangeError(`no ink ${index}`);
  return found;
}

/** The ink as a colour that follows the room. */
export const inkColour = (index: number): string => `var(--person-${INKS.indexOf(inkOf(index))})`;
