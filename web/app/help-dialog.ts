import { css, html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';

const KEYS: readonly (readonly [keys: string, deed: string])[] = [
  ['Tab, Shift+Tab', 'go from one thing to the next'],
  ['Ctrl+Z, Ctrl+Shift+Z', 'undo and redo what you did yourself'],
  ['Alt+arrow keys on a shot', 'move it left or right, or to the sequence above or below'],
  ['Enter on a shot', 'put it on the bench'],
  ['Space on a shot', 'pick it, or let it go; with Shift all from the last one picked'],
  ['1 to 4 on a shot', 'in work, for review, retake, signed off: it, or all picked with it'],
  ['Ctrl+Enter in a note', 'add the note'],
  ['Escape', 'close what is open, give up a drag'],
];

/** How to read the page, its keys, and the caution. */
@customElement('cl-help-dialog')
export class HelpDialog extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      dialog {
        width: min(44rem, 100vw - 1.5rem);
      }
      p {
        margin-top: 0.5rem;
      }
      dl {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.3rem 1.25rem;
        margin-top: 0.5rem;
      }
      dt {
        font-weight: 600;
      }
      @media (max-width: 36rem) {
        dl {
          grid-template-columns: 1fr;
        }
        dd {
          margin-bottom: 0.4rem;
        }
      }
    `,
  ];

  @query('dialog') private dialog!: HTMLDialogElement;

  show(): void {
    this.dialog.showModal();
  }

  protected override render() {
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">Help</h2>
        <button @click=${() => this.dialog.close()}>Close</button>
      </div>
      <p>
        A still figure stands while its plumb line, dropped from the centre of all its weight and what
        it carries, lands inside the support: the outline round everything that carries weight.
      </p>
      <h3>Verdicts</h3>
      <dl>
        <dt>holds</dt>
        <dd>the line lands where a person can really carry themselves</dd>
        <dt>teeters</dt>
        <dd>inside the support, but so near its edge that nobody stays there</dd>
        <dt>falls</dt>
        <dd>outside the support</dd>
        <dt>airborne</dt>
        <dd>nothing touches</dd>
        <dt>held</dt>
        <dd>would fall alone, but another holds it</dd>
        <dt>carried</dt>
        <dd>off balance, but speed brings the centre over the next support in time</dd>
        <dt>cannot tell</dt>
        <dd>something is missing; the sentence says what</dd>
      </dl>
      <h3>Keys</h3>
      <dl>${KEYS.map(([keys, deed]) => html`<dt>${keys}</dt><dd>${deed}</dd>`)}</dl>
      <h3>Caution</h3>
      <p>
        All readings are about drawn and animated figures. They are no safety assessment of real
        people and no advice on lifting or carrying: a pose that holds on paper can still drop a
        person. For stunts, lifts, heights and falls, local codes and the people licensed for that
        work decide.
      </p>
    </dialog>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-help-dialog': HelpDialog;
  }
}
