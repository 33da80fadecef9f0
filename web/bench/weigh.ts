import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Pin } from '../../core/document/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { ledgerStyles } from './ledger.styles.ts';
import './let-go.ts';
import { ledgerRows } from './ledger-rows.ts';
import './must.ts';
import type { Posing } from './posing.ts';
import './readings.ts';
import type { Lit } from './readings-rows.ts';
import type { Shown } from './shown.ts';
import { type Desk, thingForm } from './thing-form.ts';
import { sayMass, sayShare } from './words.ts';

/**
 * The leaf that weighs: every figure and load with its mass, the height of its centre and its share,
 * sums at the foot; below it what statics says of the whole. Fires `cl-pick` (detail: Pin) and what
 * `<cl-readings>` fires.
 */
@customElement('cl-weigh')
export class Weigh extends LitElement implements Desk {
  static override styles = [shared, ledgerStyles];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) mayEdit = false;
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  @property({ attribute: false }) lit: Lit | null = null;
  /** The thing whose form is open: its id. */
  @state() private open: string | null = null;

  private toggle(id: string): void {
    this.open = this.open === id ? null : id;
    if (!this.shown.scene.loads.some((load) => load.id === id)) return;
    const detail: Pin = { kind: 'load', load: id };
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  private renderTable() {
    const { rows, total } = ledgerRows(this.shown);
    return html`<table>
      <caption class="hidden-text">Masses, heights of their centres, and shares of the whole</caption>
      <thead><tr><th scope="col">weight</th><th scope="col">kg</th><th scope="col">cm up</th><th scope="col">share</th></tr></thead>
      <tbody>
        ${rows.map(
          ({ id, name, mass, height, share, note }) => html`<tr data-row=${id}>
            <th scope="row"><button type="button" class="name" aria-expanded=${this.open === id}
              @click=${() => this.toggle(id)}>${name}</button></th>
            <td data-cell="mass">${sayMass(mass)}</td>
            <td data-cell="height">${height === null ? '' : (height * 100).toFixed(0)}</td>
            <td>${share === null ? '' : sayShare(share)}</td>
          </tr>
          ${note === '' ? nothing : html`<tr><td colspan="4" class="note">${note}</td></tr>`}
          ${this.open === id ? html`<tr><td colspan="4" class="open">${thingForm(this, id)}</td></tr>` : nothing}`,
        )}
      </tbody>
      <tfoot><tr>
        <th scope="row">together</th>
        <td data-cell="total">${sayMass(total.mass)}</td>
        <td>${total.height === null ? '' : (total.height * 100).toFixed(0)}</td>
        <td>${total.mass === null || total.mass === 0 ? '' : sayShare(1)}</td>
      </tr></tfoot>
    </table>`;
  }

  protected override render() {
    // Not even what the last study said may stay while the readings are hidden for a call.
    if (this.shown.hidden) return this.renderTable();
    return html`${this.renderTable()}
      <cl-readings .shown=${this.shown} .studied=${this.studied} .lit=${this.lit}></cl-readings>
      <cl-must .shown=${this.shown} .studied=${this.studied}></cl-must>
      <cl-let-go .live=${this.live} .scene=${this.live.scene} .supposed=${this.live.supposed}></cl-let-go>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-weigh': Weigh;
  }
}
