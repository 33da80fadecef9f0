import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { TABLES, tableInfo } from '../../core/body/index.ts';
import { figureKey } from '../../core/document/index.ts';
import { bodyOf, type Figure } from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';

/** Limits of what a figure may be set to; core/body refuses what lies outside. */
const STATURE_CM = [40, 350] as const;
const MASS_KG = [2, 900] as const;

/** What a person sets about a figure: name, table, stature, mass; and where the numbers come from. */
@customElement('cl-figure-form')
export class FigureForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) figure!: Figure;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) readonly = false;

  private set(field: string, value: unknown, done: string): void {
    this.posing.set({ [figureKey(this.figure.id, field)]: value }, done);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.figure.name;
    else this.set('name', name, `named a figure ${name}`);
  }

  protected override render() {
    const { figure, readonly } = this;
    const { body, name } = figure;
    const info = tableInfo(body.table);
    const remarks = [...new Set([...bodyOf(body).remarks, ...info.remarks])];
    return html`<div class="form">
      <label class="field"><span>name</span>
        <input .value=${name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      <cl-number label="stature" unit="cm" .value=${body.stature * 100} .min=${STATURE_CM[0]}
        .max=${STATURE_CM[1]} ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => this.set('stature', event.detail / 100, `set the stature of ${name}`)}
      ></cl-number>
      <cl-number label="mass" unit="kg" .value=${body.mass} .min=${MASS_KG[0]} .max=${MASS_KG[1]}
        ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => this.set('mass', event.detail, `set the mass of ${name}`)}
      ></cl-number>
      <label class="field"><span>table</span>
        <select ?disabled=${readonly} .value=${body.table}
          @change=${(event: Event) => this.set('table', (event.target as HTMLSelectElement).value, `set the table of ${name}`)}>
          ${TABLES.map((table) => html`<option value=${table} ?selected=${table === body.table}>${tableInfo(table).name}</option>`)}
        </select></label>
      <p class="remark">${info.source}</p>
      ${
        remarks.length === 0
          ? nothing
          : html`<details class="remark"><summary>How the numbers were made</summary>
              ${remarks.map((remark) => html`<p>${remark}</p>`)}</details>`
      }
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-figure-form': FigureForm;
  }
}
