import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { BalanceReport } from '../../core/balance/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { offersStyles } from './notes.styles.ts';
import { type Offer, typicalNotes } from './offers.ts';

/**
 * Notes that the readings suggest: a press takes one into the field, where it can be changed before
 * it is sent. Fires `cl-offer` (detail: Offer).
 */
@customElement('cl-note-offers')
export class NoteOffers extends LitElement {
  static override styles = [shared, offersStyles];

  @property({ attribute: false }) scene: Scene | null = null;
  @property({ attribute: false }) report: BalanceReport | null = null;

  private offer(offer: Offer): void {
    this.dispatchEvent(new CustomEvent<Offer>('cl-offer', { detail: offer }));
  }

  protected override render() {
    const { scene, report } = this;
    const offers = scene === null || report === null ? [] : typicalNotes(scene, report);
    if (offers.length === 0) return nothing;
    return html`<details>
      <summary>From the readings: ${offers.length === 1 ? 'a note to start from' : `${offers.length} notes to start from`}</summary>
      <ul>
        ${offers.map(
          (offer) =>
            html`<li><button type="button" @click=${() => this.offer(offer)}>${offer.text}</button></li>`,
        )}
      </ul>
    </details>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-note-offers': NoteOffers;
  }
}
