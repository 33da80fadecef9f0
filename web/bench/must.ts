import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { mustRows } from './implied-words.ts';
import { readingsStyles } from './readings.styles.ts';
import { type SeenStudy, seenStudy } from './seen-study.ts';
import type { Shown } from './shown.ts';

/**
 * What must be so for the pose to hold: the masses that a load or a partner may have, always as a
 * range, and how far out a load may go.
 */
@customElement('cl-must')
export class Must extends LitElement {
  static override styles = [shared, readingsStyles];

  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  private seen: SeenStudy | null = null;

  protected override willUpdate(): void {
    this.seen = seenStudy(this.seen, this.shown, this.studied);
  }

  protected override render() {
    const { seen } = this;
    const rows = seen?.study.groups.flatMap((group) => mustRows(seen.shown, group)) ?? [];
    if (rows.length === 0) return nothing;
    return html`<section class="lines">
      <h2>What must be so</h2>
      ${rows.map(
        ({ name, value, sentence }) => html`<div class="row">
          <span>${name}</span><span>${value}</span><span class="under">${sentence}</span>
        </div>`,
      )}
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-must': Must;
  }
}
