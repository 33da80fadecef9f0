import { css, html, LitElement, type PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { shared } from '../styles/shared.ts';

/**
 * A number with its unit that is typed, or stepped with the arrow keys (Shift for a tenth of a step).
 * Fires `cl-value` (bubbling, composed; detail: the number) when it is set: by Enter, by leaving the
 * field, or by a step. What is not a number is put back and said so.
 */
@customElement('cl-number')
export class NumberField extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: inline-block;
      }
      label {
        display: grid;
        grid-template-columns: 1fr auto auto;
        align-items: center;
        gap: 0.35rem;
      }
      input:not([type='range']) {
        width: var(--number-width, 4.6rem);
        text-align: right;
        padding: 0.1rem 0.35rem;
        min-height: 1.75rem;
      }
      .unit {
        color: var(--pencil);
        min-width: 1.6rem;
      }
      input:read-only {
        border-style: dotted;
        background: none;
      }
      @media (pointer: coarse) {
        input:not([type='range']) {
          min-height: 2.75rem;
        }
      }
    `,
  ];

  @property() label = '';
  @property() unit = '';
  @property({ type: Number }) value = 0;
  @property({ type: Number }) step = 1;
  @property({ type: Number }) min = Number.NEGATIVE_INFINITY;
  @property({ type: Number }) max = Number.POSITIVE_INFINITY;
  /** Decimals shown. */
  @property({ type: Number }) digits = 1;
  @property({ type: Boolean }) readonly = false;
  /** Leaves the label to screen readers only. */
  @property({ type: Boolean }) bare = false;

  /** Text that is being typed; null shows the value. */
  @state() private typed: string | null = null;

  /** Where the last step led, until the page shows it: quick key presses add up. */
  private stepped: number | null = null;

  private set(value: number): void {
    const within = Math.max(this.min, Math.min(this.max, value));
    this.typed = null;
    if (Math.abs(within - (this.stepped ?? this.value)) < 10 ** -(this.digits + 3)) return;
    this.stepped = within;
    // The draft is weighed in the next frame and shown in the one after.
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        this.stepped = null;
      }),
    );
    this.dispatchEvent(
      new CustomEvent<number>('cl-value', { detail: within, bubbles: true, composed: true }),
    );
  }

  protected override willUpdate(changed: PropertyValues): void {
    if (changed.has('value')) this.stepped = null;
  }

  private accept(): void {
    if (this.typed === null) return;
    const text = this.typed.trim().replace(',', '.').replace('\u2212', '-');
    const value = Number(text);
    if (text === '' || !Number.isFinite(value)) this.typed = null;
    else this.set(value);
  }

  private onInput(event: Event): void {
    this.typed = (event.target as HTMLInputElement).value;
  }

  private onKey(event: KeyboardEvent): void {
    if (event.key === 'Enter') this.accept();
    if (event.key === 'Escape') this.typed = null;
    if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
    event.preventDefault();
    if (this.readonly) return;
    this.accept();
    const by = (event.key === 'ArrowUp' ? 1 : -1) * this.step * (event.shiftKey ? 0.1 : 1);
    this.set((this.stepped ?? this.value) + by);
  }

  protected override render() {
    // Adding 0 turns what rounds to -0 into 0.
    const rounded = Number(this.value.toFixed(this.digits)) + 0;
    const shown = this.typed ?? rounded.toFixed(this.digits).replace('-', '\u2212');
    const limit = (bound: number): string | null => (Number.isFinite(bound) ? String(bound) : null);
    return html`<label>
      <span class=${this.bare ? 'hidden-text' : ''}>${this.label}</span>
      <input
        type="text"
        inputmode="decimal"
        role="spinbutton"
        autocomplete="off"
        aria-valuenow=${Number(this.value.toFixed(this.digits + 1))}
        aria-valuetext=${`${this.value.toFixed(this.digits)} ${this.unit}`}
        aria-valuemin=${limit(this.min) ?? ''}
        aria-valuemax=${limit(this.max) ?? ''}
        ?readonly=${this.readonly}
        .value=${shown}
        @input=${this.onInput}
        @change=${this.accept}
        @blur=${this.accept}
        @keydown=${this.onKey}
      />
      <span class="unit" aria-hidden="true">${this.unit}</span>
    </label>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-number': NumberField;
  }
}
