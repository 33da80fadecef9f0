import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Study } from '../../core/balance/index.ts';
import { shared } from '../styles/shared.ts';
import { readingsStyles } from './readings.styles.ts';
import { type Said, saidText, sentencesOf } from './sentences.ts';
import type { Shown } from './shown.ts';

/** Every reading as one plain sentence, folded behind "Read it out", to be heard, read or copied. */
@customElement('cl-read-out')
export class ReadOut extends LitElement {
  static override styles = [
    shared,
    readingsStyles,
    css`
      .said {
        user-select: text;
        -webkit-user-select: text;
      }
      .end {
        display: flex;
        flex-wrap: wrap;
        gap: 0.4rem 0.8rem;
        align-items: baseline;
        margin-top: 0.5rem;
      }
    `,
  ];

  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) study!: Study;
  @state() private open = false;
  /** What became of the last copy. */
  @state() private told = '';
  @query('.said') private list!: HTMLElement;

  private async copy(said: readonly Said[]): Promise<void> {
    try {
      await navigator.clipboard.writeText(saidText(said));
      this.told = 'Copied.';
    } catch {
      // Not every page may use the clipboard; what is marked can be copied by hand.
      getSelection()?.selectAllChildren(this.list);
      this.told = 'Marked: copy it with your keyboard.';
    }
  }

  private renderSaid(said: readonly Said[]) {
    return html`<div class="inside">
      <div class="said">
        ${said.map(
          ({ about, sentences }) => html`<h3>${about}</h3>
            <ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`,
        )}
      </div>
      <div class="end">
        <button type="button" @click=${() => this.copy(said)}>Copy these sentences</button>
        <span class="small" role="status">${this.told}</span>
      </div>
    </div>`;
  }

  protected override render() {
    return html`<details @toggle=${(event: Event) => {
      this.open = (event.target as HTMLDetailsElement).open;
      this.told = '';
    }}>
      <summary><span>Read it out</span></summary>
      ${this.open ? this.renderSaid(sentencesOf(this.shown, this.study)) : nothing}
    </details>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-read-out': ReadOut;
  }
}
