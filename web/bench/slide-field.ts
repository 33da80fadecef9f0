import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { shared } from '../styles/shared.ts';
import './number-field.ts';

/**
 * A number on a slider with its twin that is typed. Fires `cl-slide` (detail: the number) while the
 * slider moves and `cl-value` where it stops, or when the number is typed or stepped; both bubble.
 * `even` lays the slider evenly over factors, so that half and double lie equally far from 1.
 */
@customElement('cl-slide')
export class SlideField extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        gap: 0;
      }
      input[type='range'] {
        width: 100%;
        min-height: 24px;
        margin: 0;
      }
      @media (pointer: coarse) {
        input[type='range'] {
          min-height: 44px;
        }
      }
    `,
  ];

  @property() label = '';
  @property() unit = '';
  @property({ type: Number }) value = 0;
  @property({ type: Number }) min = 0;
  @property({ type: Number }) max = 1;
  /** What the number may be when it is typed; left out: as on the slider. */
  @property({ type: Number }) least: number | null = null;
  @property({ type: Number }) most: number | null = null;
  @property({ type: Number }) step = 1;
  @property({ type: Number }) digits = 1;
  @property({ type: Boolean }) even = false;
  @property({ type: Boolean }) readonly = false;

  private fromSlider(event: Event): number {
    const at = Number((event.target as HTMLInputElement).value);
    const value = this.even ? 2 ** at : at;
    const round = 10 ** this.digits;
    return Math.round(value * round) / round;
  }

  private tell(kind: 'cl-slide' | 'cl-value', detail: number): void {
    this.dispatchEvent(new CustomEvent<number>(kind, { detail, bubbles: true, composed: true }));
  }

  protected override render() {
    const { value, min, max, even, step } = this;
    const at = (x: number): number => (even ? Math.log2(Math.max(x, 1e-3)) : x);
    return html`<cl-number .label=${this.label} .unit=${this.unit} .value=${value} .step=${step}
        .digits=${this.digits} .min=${this.least ?? min} .max=${this.most ?? max} ?readonly=${this.readonly}
      ></cl-number>
      ${
        this.readonly
          ? ''
          : html`<input type="range" min=${at(min)} max=${at(max)} step=${even ? 0.02 : step / 10}
              .value=${String(at(value))} aria-label="${this.label}, slider"
              aria-valuetext="${value.toFixed(this.digits)} ${this.unit}"
              @input=${(event: Event) => this.tell('cl-slide', this.fromSlider(event))}
              @change=${(event: Event) => this.tell('cl-value', this.fromSlider(event))} />`
      }`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-slide': SlideField;
  }
}
