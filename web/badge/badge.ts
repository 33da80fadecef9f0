import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Reading } from '../../core/balance/types.ts';
import { shared } from '../styles/shared.ts';
import { verdictMark, verdictMarkStyles } from './verdict-mark.ts';
import {
  centreText,
  marginShort,
  marginText,
  supportText,
  VERDICT_WORDS,
  verdictColour,
} from './words.ts';

// A verdict is read out once it has stood this long, so that a drag across the edge is not chatter.
const SETTLE_MS = 700;

/**
 * The badge: glyph and verdict word, then centre, support and margin in that order, then the
 * sentence. `compact` is the line for cards: glyph, word, margin.
 * With `announce` a change of the verdict is told politely to screen readers.
 */
@customElement('cl-badge')
export class Badge extends LitElement {
  static override styles = [
    shared,
    verdictMarkStyles,
    css`
      :host {
        display: block;
        --verdict: var(--pencil);
      }
      .full {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.15rem 1.5rem;
        align-items: center;
      }
      .full .verdict {
        font-size: 1.5rem;
        grid-row: span 2;
      }
      dl {
        display: flex;
        flex-wrap: wrap;
        gap: 0 1.4rem;
      }
      dl div {
        display: flex;
        gap: 0.45rem;
        align-items: baseline;
      }
      dt {
        color: var(--pencil);
      }
      .compact {
        display: flex;
        gap: 0.6rem;
        align-items: baseline;
      }
      @media (max-width: 40rem) {
        .full {
          grid-template-columns: 1fr;
        }
        .full .verdict {
          grid-row: auto;
        }
        dl {
          display: grid;
          gap: 0;
        }
        dt {
          min-width: 4.2rem;
        }
      }
    `,
  ];

  @property({ attribute: false }) reading: Reading | null = null;
  @property({ type: Boolean }) compact = false;
  @property({ type: Boolean }) announce = false;
  /** Whose badge it is, when there are several: "Porter", "together". */
  @property() subject = '';

  @state() private announced = '';
  private settleTimer: ReturnType<typeof setTimeout> | undefined;
  private told: string | null = null;

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearTimeout(this.settleTimer);
  }

  protected override updated(changed: Map<PropertyKey, unknown>): void {
    if (!changed.has('reading') || !this.announce || this.reading === null) return;
    const { verdict } = this.reading;
    clearTimeout(this.settleTimer);
    if (verdict === this.told) return;
    this.settleTimer = setTimeout(() => {
      // The first verdict is on the page already; only changes are told.
      if (this.told !== null && this.reading !== null) {
        const subject = this.subject === '' ? '' : `${this.subject}: `;
        this.announced = `${subject}${VERDICT_WORDS[verdict]}. ${this.reading.sentence}`;
      }
      this.told = verdict;
    }, SETTLE_MS);
  }

  protected override render() {
    const { reading } = this;
    if (reading === null) return html`<p class="pencil">Nothing to weigh yet.</p>`;
    this.style.setProperty('--verdict', verdictColour(reading.verdict));
    if (this.compact) {
      return html`<p class="compact">
        ${verdictMark(reading.verdict)} <span>${marginShort(reading)}</span>
      </p>`;
    }
    return html`
      <div class="full">
        ${verdictMark(reading.verdict)}
        <dl>
          <div><dt>centre</dt><dd>${centreText(reading)}</dd></div>
          <div><dt>support</dt><dd>${supportText(reading)}</dd></div>
          <div><dt>margin</dt><dd>${marginText(reading)}</dd></div>
        </dl>
        <p class="sentence">
          ${this.subject === '' ? nothing : html`<span class="pencil">${this.subject}.</span>`}
          ${reading.sentence}
        </p>
      </div>
      ${this.announce ? html`<p class="hidden-text" aria-live="polite">${this.announced}</p>` : nothing}
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-badge': Badge;
  }
}
