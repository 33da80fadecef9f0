import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { boardPath } from '../app/route.ts';
import { faultWords } from '../controllers/fault-words.ts';
import type { Session } from '../session/index.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';
import { bringReview, recordAddress } from './api.ts';
import './sheet-maker.ts';
import './webhook-list.ts';
import type { WebhookList } from './webhook-list.ts';

const FILES: readonly (readonly [file: string, word: string, what: string])[] = [
  ['shots.csv', 'Shots, CSV', 'for a spreadsheet; can be dropped on a board again'],
  ['notes.csv', 'Notes, CSV', 'one a row, with replies'],
  ['notes.jsonld', 'Notes, web annotations', 'JSON-LD after the W3C model'],
  ['review.json', 'Everything, JSON', 'shots, scenes, notes, decisions, people'],
  ['review.zip', 'The review, one file', 'with pictures and clips, to bring in elsewhere'],
];

/** The record of a review: the sheet, what can be taken out and brought in, and who is told. */
@customElement('cl-record-dialog')
export class RecordDialog extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      .files {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.35rem 1.25rem;
      }
      .files dt {
        font-weight: 600;
      }
      label {
        display: grid;
        gap: 0.2rem;
        margin-top: 0.4rem;
      }
      h3 {
        margin-bottom: 0.4rem;
      }
      @media (max-width: 36rem) {
        .files {
          grid-template-columns: 1fr;
        }
        .files dd {
          margin-bottom: 0.3rem;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** Shots that the board shows; null where it shows all. */
  @property({ attribute: false }) shown: readonly string[] | null = null;
  /** Prints the review sheet from this window. */
  @property({ attribute: false }) print: () => Promise<void> = async () => undefined;
  @state() private brought: { id: string; title: string } | null = null;
  @state() private busy = false;
  @state() private trouble = '';
  @query('dialog') private dialog!: HTMLDialogElement;
  @query('cl-webhook-list') private webhooks!: WebhookList | null;

  async show(): Promise<void> {
    this.brought = null;
    this.trouble = '';
    await this.updateComplete;
    this.dialog.showModal();
    this.webhooks?.load();
  }

  /** Shows itself and brings a review file in. */
  async take(file: File): Promise<void> {
    if (!this.dialog.open) await this.show();
    this.busy = true;
    this.trouble = '';
    try {
      this.brought = await bringReview(this.session.review, file);
      this.session.say(`${this.brought.title} is a new review; this one stays as it is.`);
    } catch (error) {
      this.trouble = faultWords(error);
    } finally {
      this.busy = false;
    }
  }

  private handleChosen(event: Event): void {
    const input = event.currentTarget as HTMLInputElement;
    const file = input.files?.[0];
    input.value = '';
    if (file) void this.take(file);
  }

  private renderBringIn() {
    const { brought } = this;
    return html`
      <h3>Bring a review in</h3>
      <p class="pencil">A review file becomes a new review beside this one, which stays as it is.</p>
      <label>
        <span class="hidden-text">Review file</span>
        <input type="file" accept=".zip" ?disabled=${this.busy} @change=${this.handleChosen} />
      </label>
      <p role="status">${this.busy ? 'Bringing it in\u2026' : ''}</p>
      ${this.trouble === '' ? nothing : html`<p role="alert">${this.trouble}</p>`}
      ${
        brought === null
          ? nothing
          : html`<p><a href=${boardPath(brought.id)} @click=${() => this.dialog.close()}>Go to ${brought.title}</a></p>`
      }
    `;
  }

  protected override render() {
    const { session } = this;
    const isLead = session.me.role === 'lead';
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">The record</h2>
        <button @click=${() => this.dialog.close()}>Close</button>
      </div>
      <cl-sheet-maker .session=${session} .shown=${this.shown} .print=${this.print}></cl-sheet-maker>
      <h3>Take out</h3>
      <dl class="files">
        ${FILES.map(
          ([file, word, what]) => html`
            <dt><a href=${recordAddress(session.review, file)} download>${word}</a></dt>
            <dd class="pencil">${what}</dd>
          `,
        )}
      </dl>
      ${isLead ? this.renderBringIn() : nothing}
      ${
        isLead
          ? html`<h3>Tell other programs</h3>
              <cl-webhook-list .session=${session}></cl-webhook-list>`
          : nothing
      }
    </dialog>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-record-dialog': RecordDialog;
  }
}
