import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Decision, Draft, Note, Recorded, Shot } from '../../core/document/index.ts';
import { MINUS, VERDICT_WORDS, verdictColour } from '../badge/words.ts';
import { marginShare } from '../parts/margin-scale.ts';
import { shared } from '../styles/shared.ts';
import { stateWord } from './deeds.ts';

/** Share of the chart's height, from the top, at which a margin stands. */
const heightOf = (margin: number): number => 0.5 - (marginShare(margin) * 0.84) / 2;

/** "+6.2 cm", with a true minus sign outside. */
const signed = (metres: number): string =>
  `${metres < 0 ? MINUS : '+'}${Math.abs(metres * 100).toFixed(1)}\u00a0cm`;

/**
 * The balance history of a shot: the margin over its drafts as they last settled, oldest left, with
 * the notes on each draft and the states it was given. The dashed rule is the edge of the support.
 */
@customElement('cl-margin-history')
export class MarginHistory extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
        overflow-x: auto;
        --chart: 3.6rem;
      }
      ol {
        display: grid;
        grid-template-columns: repeat(var(--drafts), minmax(0, 1fr));
        position: relative;
        /* The line begins 0.6rem in, and so ends beyond the last column. */
        overflow-x: clip;
        /* In the room of a leaf four stand beside each other; where there is more, all shots have one step. */
        width: min(100%, calc(var(--drafts) * 8.25rem));
        min-width: calc(var(--drafts) * 4.75rem);
        background: repeating-linear-gradient(90deg, var(--edge) 0 4px, transparent 4px 8px) 0
          calc(var(--chart) / 2) / 100% 1px no-repeat;
      }
      li {
        padding-top: calc(var(--chart) + 0.1rem);
        position: relative;
        display: grid;
        align-content: start;
        padding-inline-end: 0.6rem;
        font-size: 0.875rem;
        line-height: 1.3;
      }
      svg {
        position: absolute;
        inset: 0 auto auto 0;
        height: var(--chart);
        overflow: visible;
        pointer-events: none;
      }
      polyline {
        fill: none;
        stroke: var(--ink);
        stroke-width: 1.5;
        vector-effect: non-scaling-stroke;
      }
      .dot {
        position: absolute;
        left: 0.6rem;
        width: 0.7rem;
        height: 0.7rem;
        margin: -0.35rem 0 0 -0.35rem;
        border: 2px solid var(--verdict);
        border-radius: 50%;
        background: var(--paper);
        z-index: 1;
      }
      .dot.inside {
        background: var(--verdict);
      }
      .verdict {
        color: var(--verdict);
        font-weight: 600;
      }
      .number {
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) shot!: Shot;
  @property({ attribute: false }) drafts: readonly Draft[] = [];
  @property({ attribute: false }) history: ReadonlyMap<string, Recorded> = new Map();
  @property({ attribute: false }) notes: ReadonlyMap<string, readonly Note[]> = new Map();
  @property({ attribute: false }) decisions: ReadonlyMap<string, readonly Decision[]> = new Map();

  /** What was done last stands at the end. */
  protected override firstUpdated(): void {
    this.scrollLeft = this.scrollWidth;
  }

  private states(draft: Draft): string[] {
    const decided = (this.decisions.get(draft.id) ?? []).map(({ to }) => stateWord(to));
    const isLast = draft.id === this.drafts.at(-1)?.id;
    const now = stateWord(this.shot.state);
    return isLast && decided.at(-1) !== now ? [...decided, now] : decided;
  }

  private renderDraft(draft: Draft) {
    const reading = this.history.get(draft.id);
    const notes = this.notes.get(draft.id) ?? [];
    const open = notes.filter(({ state }) => state === 'open').length;
    const margin = reading?.margin ?? null;
    const states = this.states(draft);
    const count = notes.length === 1 ? '1 note' : `${notes.length} notes`;
    return html`<li style="--verdict: ${reading ? verdictColour(reading.verdict) : 'var(--pencil)'}">
      ${
        margin === null
          ? nothing
          : html`<span
              class="dot ${margin >= 0 ? 'inside' : ''}"
              style="top: calc(${heightOf(margin).toFixed(3)} * var(--chart))"
            ></span>`
      }
      <span><span class="number">Draft ${draft.number}</span>${draft.sealed ? ', sealed' : ''}</span>
      <span>
        ${
          reading === undefined
            ? html`<span class="pencil">not weighed yet</span>`
            : html`<span class="verdict">${VERDICT_WORDS[reading.verdict]}</span>
                ${margin === null ? nothing : signed(margin)}`
        }
      </span>
      ${notes.length === 0 ? nothing : html`<span>${count}${open > 0 ? `, ${open} open` : ''}</span>`}
      ${states.length === 0 ? nothing : html`<span class="pencil">${states.join(', then ')}</span>`}
    </li>`;
  }

  private renderLine() {
    const points = this.drafts.flatMap(({ id }, index) => {
      const margin = this.history.get(id)?.margin ?? null;
      return margin === null ? [] : [`${index},${heightOf(margin).toFixed(4)}`];
    });
    if (points.length < 2) return nothing;
    // One unit across is a column, one down the whole chart; the first dot stands 0.6rem in.
    const columns = this.drafts.length;
    return html`<svg
      aria-hidden="true"
      viewBox="0 0 ${columns} 1"
      preserveAspectRatio="none"
      style="left: 0.6rem; width: 100%"
    >
      <polyline points=${points.join(' ')}></polyline>
    </svg>`;
  }

  protected override render() {
    if (this.drafts.length === 0) return html`<p class="pencil">No drafts yet.</p>`;
    return html`<ol aria-label="Margin over the drafts of ${this.shot.code}" tabindex="0" style="--drafts: ${this.drafts.length}">
      ${this.renderLine()} ${this.drafts.map((draft) => this.renderDraft(draft))}
    </ol>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-margin-history': MarginHistory;
  }
}
