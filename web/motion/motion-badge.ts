import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { verdictMark, verdictMarkStyles } from '../badge/verdict-mark.ts';
import { verdictColour } from '../badge/words.ts';
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
    verdictMarkStyles,
    css`
      :host {
        display: grid;
        gap: 0.1rem;
        align-content: center;
        max-width: 46rem;
      }
      .verdict {
        font-size: 1.5rem;
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
    const { frames, subject } = weighingOf(this.live);
    const frame = frames[this.frame];
    if (!frame) return html`<p class="pencil">in motion: being weighed</p>`;
    const { verdict, sentence } = frame;
    return html`<p style="--verdict:${verdictColour(verdict)}">
        ${verdictMark(verdict)} <span class="pencil small">${subject === '' ? 'in motion' : `${subject}, in motion`}</span>
      </p>
      <p>${sentence}</p>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-motion-badge': MotionBadge;
  }
}
