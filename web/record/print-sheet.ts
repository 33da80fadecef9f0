import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { styleMap } from 'lit/directives/style-map.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import type { Verdict } from '../../core/balance/index.ts';
import type { ReviewRecord, ShotRecord } from '../../core/document/index.ts';
import { colourOf, verdictInk } from '../../core/drawing/index.ts';
import {
  type Block,
  type ContentsRow,
  contentsOf,
  coverOf,
  drawingsOf,
  SHEET_CAUTION,
  shotBlocks,
  type Weighed,
} from '../../core/sheet/index.ts';
import { printSheetStyles } from './print-sheet.styles.ts';

// Half of the width between the margins of A4; on paper a drawing grows to the column.
const DRAWING = { width: 320, height: 280 };

/** The review sheet as it is printed from the page: it says what the PDF says, in the same order. */
@customElement('cl-print-sheet')
export class PrintSheet extends LitElement {
  static override styles = printSheetStyles;

  @property({ attribute: false }) review!: ReviewRecord;
  /** The current draft of a shot, weighed; null for a shot without drafts. */
  @property({ attribute: false }) weigh: (shot: ShotRecord) => Weighed | null = () => null;
  @property({ attribute: false }) at = new Date();

  private renderCover() {
    const { title, made, counts, tally, people } = coverOf(this.review, this.at);
    return html`<section>
      <p class="quiet">Review sheet</p>
      <h1>${title}</h1>
      <p>${made}</p>
      <p class="gap">${counts}</p>
      <p>${tally}</p>
      <h3>Who was there</h3>
      ${people.length === 0 ? html`<p class="quiet">Nobody has opened this review yet.</p>` : nothing}
      ${people.map((person) => html`<p class="person">${person}</p>`)}
      <h3>Contents</h3>
      ${contentsOf(this.review).map(contentsRow)}
      <p class="quiet small gap">${SHEET_CAUTION}</p>
    </section>`;
  }

  protected override render() {
    const { shots, people } = this.review;
    return html`${this.renderCover()}
    ${shots.map(
      (shot) =>
        html`<section class="shot">${shotBlocks(shot, this.weigh(shot), people).map(written)}</section>`,
    )}`;
  }
}

const inkOf = (verdict: Verdict) => styleMap({ color: colourOf(verdictInk(verdict), 'paper') });

const contentsRow = (row: ContentsRow): TemplateResult =>
  row.kind === 'sequence'
    ? html`<p class="sequence">${row.title}</p>`
    : html`<p class="row">
        <span>${row.code}</span><span>${row.title}</span><span class="quiet">${row.state}</span>
        ${row.margin === null ? nothing : html`<span style=${inkOf(row.margin.verdict)}>${row.margin.text}</span>`}
      </p>`;

function written(block: Block): TemplateResult {
  switch (block.kind) {
    case 'head':
      return html`<h2>${block.title}</h2><p class="terms quiet">${block.terms}</p>`;
    case 'drawings':
      return html`<div class="drawings">${drawingsOf(block.weighed, DRAWING).map((svg) => html`<div>${unsafeHTML(svg)}</div>`)}</div>`;
    case 'verdict':
      return html`<p class="verdict" style=${inkOf(block.verdict)}>${block.word}</p><p>${block.sentence}</p>`;
    case 'pair':
      return html`<p class="pair"><span class="quiet">${block.name}</span><span>${block.value}</span></p>`;
    case 'part':
      return html`<h3>${block.title}</h3>`;
    case 'line':
      return html`<p class="line ${block.quiet ? 'quiet' : ''}">${block.text}</p>`;
    case 'note':
      return html`<div class="note">
        <b>${block.number}</b>
        <div>
          <p class="head quiet small">${block.head}</p>
          <p class="text">${block.text}</p>
          <p class="quiet small">${block.foot}</p>
          ${block.replies.map(
            ({ head, text }) =>
              html`<div class="reply"><p class="head quiet small">${head}</p><p class="text">${text}</p></div>`,
          )}
        </div>
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-print-sheet': PrintSheet;
  }
}
