import { html, nothing, svg, type TemplateResult } from 'lit';
import type { Verdict } from '../../core/balance/types.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { marginShare } from '../parts/margin-scale.ts';

/** The reading of one draft, for the small line over a shot's drafts. */
export interface DraftMargin {
  readonly number: number;
  readonly verdict: Verdict;
  /** Metres, positive inside; null where there is none. */
  readonly margin: number | null;
}

const WIDTH = 96;
const HEIGHT = 26;
const INSET = 4;

/**
 * The margin over a shot's drafts, oldest left: the rule is the edge of the support, points above it
 * are inside. Nothing is drawn for fewer than two drafts with a margin.
 */
export function marginLine(drafts: readonly DraftMargin[]): TemplateResult | typeof nothing {
  const known = drafts.filter(
    (draft): draft is DraftMargin & { margin: number } => draft.margin !== null,
  );
  if (known.length < 2) return nothing;
  const step = (WIDTH - 2 * INSET) / (known.length - 1);
  const middle = HEIGHT / 2;
  const points = known.map(({ margin }, index) => {
    return [INSET + index * step, middle - marginShare(margin) * (middle - INSET)] as const;
  });
  const words = drafts
    .map(({ number, verdict }) => `draft ${number} ${VERDICT_WORDS[verdict]}`)
    .join(', ');
  return html`<svg
    class="margin-line"
    role="img"
    aria-label="Margin over the drafts: ${words}"
    width=${WIDTH}
    height=${HEIGHT}
    viewBox="0 0 ${WIDTH} ${HEIGHT}"
  >
    <line x1="0" y1=${middle} x2=${WIDTH} y2=${middle} stroke="var(--edge)" stroke-dasharray="2 3"></line>
    <polyline
      points=${points.map((point) => point.join(',')).join(' ')}
      fill="none"
      stroke="var(--ink)"
      stroke-width="1.5"
    ></polyline>
    ${points.map(([x, y], index) => {
      const inside = (known[index]?.margin ?? 0) >= 0;
      return svg`<circle cx=${x} cy=${y} r="2.6" stroke="var(--ink)" fill=${inside ? 'var(--ink)' : 'var(--sheet)'}></circle>`;
    })}
  </svg>`;
}
