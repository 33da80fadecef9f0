import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { faultWords } from '../controllers/fault-words.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import {
  beginSheet,
  dropSheet,
  PAPERS,
  type PaperName,
  readSheet,
  type SheetState,
  sheetAddress,
} from './api.ts';

const PAPER_WORDS: Readonly<Record<PaperName, string>> = { a4: 'A4', letter: 'US Letter' };

const ASK_AGAIN_MS = 700;

/** Has the review sheet made on the server, shows how far it is, and opens it. */
@customElement('cl-sheet-maker')
export class SheetMaker extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        gap: 0.6rem;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem 1rem;
        align-items: end;
      }
      .row.state {
        align-items: center;
      }
      label {
        display: grid;
        gap: 0.1rem;
      }
      progress {
        width: min(20rem, 100%);
        height: 0.6rem;
        accent-color: var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** Shots that the board shows; null where it shows all. */
  @property({ attribute: false }) shown: readonly string[] | null = null;
  /** Prints the same from this window. */
  @property({ attribute: false }) print: () => Promise<void> = async () => undefined;

  @state() private paper: PaperName = 'a4';
  @state() private sheet: SheetState | null = null;
  @state() private trouble = '';

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.sheet = null;
  }

  private readonly begin = async (): Promise<void> => {
    const { review } = this.session;
    this.trouble = '';
    let id: string | null = null;
    try {
      this.sheet = await beginSheet(review, this.paper, this.shown);
      id = this.sheet.id;
      while (this.isUnderWay()) {
        await new Promise((resolve) => setTimeout(resolve, ASK_AGAIN_MS));
        if (this.sheet?.id !== id) return;
        const now = await readSheet(review, id);
        if (this.sheet?.id !== id) return;
        this.sheet = now;
      }
      if (this.sheet?.state === 'made') this.session.say('The review sheet is made.');
      if (this.sheet?.state === 'failed') {
        this.trouble = 'The sheet was not made. Whoever runs the server finds why in its log.';
      }
    } catch (error) {
      // What was given up is not there to be asked about: no trouble.
      if (id !== null && this.sheet?.id !== id) return;
      this.sheet = null;
      this.trouble = faultWords(error);
    }
  };

  private readonly cancel = async (): Promise<void> => {
    const { sheet } = this;
    this.sheet = null;
    if (sheet !== null) await dropSheet(this.session.review, sheet.id).catch(() => undefined);
    this.session.say('No sheet is being made.');
  };

  private isUnderWay(): boolean {
    return this.sheet?.state === 'waiting' || this.sheet?.state === 'working';
  }

  private renderState() {
    const { sheet, session } = this;
    if (sheet === null || sheet.state === 'failed') return nothing;
    if (sheet.state === 'made') {
      return html`<p class="row state">
        <a href=${sheetAddress(session.review, sheet.id, false)} target="_blank">Open the sheet, to read or print</a>
        <a href=${sheetAddress(session.review, sheet.id, true)} download>Keep it as a file</a>
      </p>`;
    }
    const word =
      sheet.state === 'waiting'
        ? 'The sheet is next in line.'
        : sheet.of === 0
          ? 'The sheet is begun.'
          : `Shot ${sheet.done} of ${sheet.of} is drawn.`;
    return html`<p class="row state">
      <progress max=${Math.max(1, sheet.of)} .value=${sheet.done} aria-label="Review sheet"></progress>
      <span>${word}</span>
      <button @click=${this.cancel}>Cancel</button>
    </p>`;
  }

  protected override render() {
    const count = this.shown?.length;
    return html`
      <p class="pencil">
        A PDF with every shot's drawings, readings, margins, decisions and notes, who was there and
        the contents${count === undefined ? '' : `; of the ${count === 1 ? 'one shot' : `${count} shots`} that the board shows now`}.
      </p>
      <div class="row">
        <label>
          <span class="small pencil">Paper</span>
          <select
            @change=${(event: Event) => {
              const { value } = event.currentTarget as HTMLSelectElement;
              this.paper = PAPERS.find((paper) => paper === value) ?? 'a4';
            }}
          >
            ${PAPERS.map((paper) => html`<option value=${paper} .selected=${paper === this.paper}>${PAPER_WORDS[paper]}</option>`)}
          </select>
        </label>
        <button class="main" ?disabled=${this.isUnderWay()} @click=${this.begin}>Make the review sheet</button>
        <button @click=${() => void this.print()}>Print it from here</button>
      </div>
      ${this.trouble === '' ? nothing : html`<p role="alert">${this.trouble}</p>`}
      ${this.renderState()}
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-sheet-maker': SheetMaker;
  }
}
