import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Scene } from '../../core/scene/index.ts';
import type { LiveDraft, Supposed } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { asStored, endSupposed, mayEnd, outcomeWords, rateOf, supposedWords } from './what-if.ts';

/**
 * The line over the drawing that says that it shows a what-if, whose it is and what comes of it, with
 * the word that ends it for those who may. Nothing where nothing is supposed.
 */
@customElement('cl-what-if')
export class WhatIfLine extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      p {
        display: flex;
        flex-wrap: wrap;
        gap: 0.1rem 0.8rem;
        align-items: baseline;
        border: 2px dashed var(--ink);
        padding: 0.3rem 0.7rem;
        margin: 0.15rem 0.75rem 0.3rem;
      }
      b {
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) scene!: Scene;
  @property({ attribute: false }) supposed: readonly Supposed[] = [];

  private renderOne(supposed: Supposed, stored: Scene) {
    const { live } = this;
    const { open, mine, name } = supposed;
    return html`<p data-what-if=${supposed.id}>
      <span><b>What if</b> ${supposedWords(stored, open)}? ${outcomeWords(stored, open, rateOf(live))}</span>
      ${
        mayEnd(live, supposed)
          ? html`<button type="button" @click=${() => endSupposed(live, supposed)}>${mine ? 'end the what-if' : `end ${name}’s what-if`}</button>`
          : nothing
      }
      <span class="pencil small">${mine ? 'You ask. All here see it; nothing is changed.' : `${name} asks. Nothing is changed.`}</span>
    </p>`;
  }

  protected override render() {
    const { supposed } = this;
    const stored = supposed.length === 0 ? this.scene : asStored(this.live);
    return html`<div role="status">${supposed.map((one) => this.renderOne(one, stored))}</div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-what-if': WhatIfLine;
  }
}
