import { css, html, svg, type TemplateResult } from 'lit';
import type { Verdict } from '../../core/balance/index.ts';
import { badgeGlyph } from '../../core/drawing/index.ts';
import { VERDICT_WORDS } from './words.ts';

/** Glyph and word of a verdict, in the colour that `--verdict` of an element around it names. */
export function verdictMark(verdict: Verdict): TemplateResult {
  const glyph = badgeGlyph(verdict);
  return html`<span class="verdict">
    <svg viewBox="0 0 ${glyph.width} ${glyph.height}" aria-hidden="true">
      ${glyph.paths.map(({ d, paint }) => svg`<path class=${paint} d=${d}></path>`)}
    </svg>
    <span part="word" data-verdict=${verdict}>${VERDICT_WORDS[verdict]}</span>
  </span>`;
}

export const verdictMarkStyles = css`
  .verdict {
    display: inline-flex;
    /* The glyph stands on the word's line, so that the word stands on that of its neighbours. */
    align-items: baseline;
    gap: 0.45rem;
    color: var(--verdict);
    font-weight: 600;
  }
  .verdict svg {
    width: 1.75em;
    height: 1em;
    flex: none;
    stroke: currentColor;
    fill: none;
    stroke-width: 2;
    stroke-linecap: round;
    stroke-linejoin: round;
    overflow: visible;
  }
  .verdict .fill {
    fill: currentColor;
    stroke: none;
  }
`;
