import { css, html, nothing } from 'lit';
import { mainGroup } from '../../core/balance/index.ts';
import type { Recorded } from '../../core/document/index.ts';
import '../badge/badge.ts';
import { verdictMark, verdictMarkStyles } from '../badge/verdict-mark.ts';
import { verdictColour } from '../badge/words.ts';
import type { LiveDraft } from '../session/index.ts';

/**
 * What a card says of its draft: the badge of the pose; of a draft that moves the worst of its frames as
 * the server weighed them in motion, since its first frame says little.
 * @param first number that the shot gives its first frame
 */
export function cardBadge(live: LiveDraft | null, recorded: Recorded | undefined, first: number) {
  if (live === null || live.hidden) return nothing;
  const moving = live.motion === null ? undefined : recorded?.moving;
  if (moving !== undefined) {
    const { verdict, frame } = moving;
    const where = verdict === 'holds' ? 'in every frame' : `at worst, frame ${frame + first}`;
    return html`<p class="in-motion" style="--verdict:${verdictColour(verdict)}">
      ${verdictMark(verdict)} <span>${where}</span>
    </p>`;
  }
  const reading = mainGroup(live.report);
  return reading === undefined ? nothing : html`<cl-badge compact .reading=${reading}></cl-badge>`;
}

export const cardBadgeStyles = [
  verdictMarkStyles,
  css`
    .in-motion {
      display: flex;
      flex-wrap: wrap;
      gap: 0 0.5rem;
      align-items: center;
    }
    .in-motion > span:last-child {
      font-size: 0.875rem;
    }
  `,
];
