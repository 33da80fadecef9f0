import { css, html, LitElement, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { badgeGlyph } from '../../core/drawing/index.ts';
import { VERDICT_WORDS, verdictColour } from '../badge/words.ts';
import { Follow } from '../controllers/follow.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { weighingOf } from './weighing.ts';

/**
 * The verdict of the frame shown of a moving shot: what speed makes of it, with the reason. The badge
 * of the held pose stands beside it.
 */
@customElement('cl-motion-badge')
export class MotionBadge extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        gap: 0.1rem;
        align-content: center;
        max-width: 46rem;
      }
      .verdict {
        display: inline-flex;
        align-items: center;
        gap: 0.45rem;
        color: var(--verdict);
        font-weight: 600;
        font-size: 1.5rem;
      }
      svg {
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
      .fill {
        fill: currentColor;
        stroke: none;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  /** Of the live draft; a change of it shows another frame. */
  @property({ type: Number }) frame = 0;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const weighing = weighingOf(this.live);
      weighing.addEventListener('change', update);
      return [() => weighing.removeEventListener('change', update)];
    });
  }

  protected override render() {
    const frame = weighingOf(this.live).frames[this.frame];
    if (!frame) return html`<p class="pencil">in motion: being weighed</p>`;
    const { verdict, sentence } = frame;
    const glyph = badgeGlyph(verdict);
    return html`<p class="verdict" style="--verdict:${verdictColour(verdict)}">
        <svg viewBox="0 0 ${glyph.width} ${glyph.height}" aria-hidden="true">
          ${glyph.paths.map(({ d, paint }) => svg`<path class=${paint} d=${d}></path>`)}
        </svg>
        <span data-verdict=${verdict}>${VERDICT_WORDS[verdict]}</span>
        <span class="pencil small">in motion</span>
      </p>
      <p>${sentence}</p>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-motion-badge': MotionBadge;
  }
}
