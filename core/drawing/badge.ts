import type { Verdict } from '../balance/types.ts';

/** One stroke or filled shape of the badge's glyph, in a box of 28 by 16. */
export interface GlyphPath {
  readonly part: 'bar' | 'dot' | 'arrow' | 'tie';
  /** SVG path data. */
  readonly d: string;
  /** Filled shapes have no stroke; strokes are 2 wide with round ends. */
  readonly paint: 'fill' | 'stroke';
}

export interface BadgeGlyph {
  readonly width: 28;
  readonly height: 16;
  readonly paths: readonly GlyphPath[];
}

const BAR_LEFT = 3;
const BAR_RIGHT = 19;
const BAR_Y = 13;
const DOT_Y = 6;
const DOT_RADIUS = 3.5;
const OUT_X = 24;

const bar = (dashed = false): GlyphPath => ({
  part: 'bar',
  d: dashed ? `M${BAR_LEFT} ${BAR_Y}h3m3.5 0h3m3.5 0h3` : `M${BAR_LEFT} ${BAR_Y}H${BAR_RIGHT}`,
  paint: 'stroke',
});

const dot = (x: number, y = DOT_Y, paint: 'fill' | 'stroke' = 'fill'): GlyphPath => {
  const r = paint === 'fill' ? DOT_RADIUS : DOT_RADIUS - 1;
  return {
    part: 'dot',
    d: `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`,
    paint,
  };
};

/** The bar is the support, the dot the plumb line; where the dot is against the bar is the verdict. */
const PATHS: Readonly<Record<Verdict, readonly GlyphPath[]>> = {
  holds: [bar(), dot((BAR_LEFT + BAR_RIGHT) / 2)],
  teeters: [bar(), dot(BAR_RIGHT)],
  falls: [bar(), dot(OUT_X)],
  airborne: [dot((BAR_LEFT + BAR_RIGHT) / 2)],
  carried: [
    bar(),
    dot(OUT_X),
    { part: 'arrow', d: `M18 ${DOT_Y}H11m3 -3l-3 3l3 3`, paint: 'stroke' },
  ],
  // A tie runs from the dot back to the bar: without it the dot would go on.
  held: [
    bar(),
    dot(OUT_X),
    {
      part: 'tie',
      d: `M${OUT_X} ${DOT_Y}Q${OUT_X} ${BAR_Y} ${BAR_RIGHT} ${BAR_Y}`,
      paint: 'stroke',
    },
  ],
  unknown: [bar(true), dot((BAR_LEFT + BAR_RIGHT) / 2, DOT_Y, 'stroke')],
};

/** The badge's glyph for a verdict. Shape alone tells the verdicts apart. */
export const badgeGlyph = (verdict: Verdict): BadgeGlyph => ({
  width: 28,
  height: 16,
  paths: PATHS[verdict],
});
