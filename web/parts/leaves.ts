import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { shared } from '../styles/shared.ts';

/** One leaf: its content is slotted under `id`, its word stands in the row above. */
export interface Leaf {
  readonly id: string;
  readonly word: string;
  /** A short remark after the word, e.g. how many lie in it. */
  readonly mark?: string;
}

const memory = (name: string): string => `counterlean-leaf-${name}`;

/** The leaf of a set that was open last in this browser; the first one where none was. */
export function rememberedLeaf(name: string, ids: readonly string[]): string {
  const kept = localStorage.getItem(memory(name));
  return ids.find((id) => id === kept) ?? ids[0] ?? '';
}

/**
 * Leaves of one column: a row of words over a rule, one leaf shown at a time. Content comes in by
 * slots named as the leaves are; whoever uses it may leave out what is not shown. Keys as in the
 * WAI-ARIA tabs pattern: arrows, Home and End move along the words and open.
 *
 * Fires `cl-leaf` (detail: the leaf's id) when a person opens one, and remembers it under `name`.
 */
@customElement('cl-leaves')
export class Leaves extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .words {
        display: flex;
        flex-wrap: wrap;
        gap: 0 1rem;
        position: sticky;
        top: 0;
        z-index: 2;
        background: var(--paper);
        box-shadow: inset 0 -1px 0 var(--ink);
      }
      .words button {
        flex: none;
        border-bottom: 3px solid transparent;
        padding: 0.3rem 0 0.15rem;
        white-space: nowrap;
        color: var(--pencil);
      }
      .words button:hover:not([aria-selected='true']) {
        border-bottom-color: var(--rule);
        box-shadow: none;
        color: var(--ink);
      }
      .words button[aria-selected='true'] {
        border-bottom-color: var(--ink);
        color: var(--ink);
        font-weight: 600;
      }
      .words button:focus-visible {
        outline-offset: -3px;
      }
      [role='tabpanel'] {
        padding-top: 0.6rem;
      }
      [role='tabpanel']:focus-visible {
        outline-offset: -3px;
      }
    `,
  ];

  @property({ attribute: false }) leaves: readonly Leaf[] = [];
  /** Id of the leaf that is shown; one that is not there means the first. */
  @property() chosen = '';
  /** Under which name the choice is remembered. */
  @property() name = '';
  /** What the row of words is about. */
  @property() label = '';

  @query('[aria-selected="true"]') private selected!: HTMLElement | null;

  private get shown(): string {
    return this.leaves.find(({ id }) => id === this.chosen)?.id ?? this.leaves[0]?.id ?? '';
  }

  private choose(id: string): void {
    if (id === this.shown) return;
    localStorage.setItem(memory(this.name), id);
    this.chosen = id;
    this.dispatchEvent(new CustomEvent<string>('cl-leaf', { detail: id }));
  }

  private async onKey(event: KeyboardEvent): Promise<void> {
    const { leaves } = this;
    const at = leaves.findIndex(({ id }) => id === this.shown);
    const places: Readonly<Record<string, number>> = {
      ArrowRight: (at + 1) % leaves.length,
      ArrowLeft: (at - 1 + leaves.length) % leaves.length,
      Home: 0,
      End: leaves.length - 1,
    };
    const next = leaves[places[event.key] ?? -1];
    if (next === undefined) return;
    event.preventDefault();
    this.choose(next.id);
    await this.updateComplete;
    this.selected?.focus();
  }

  protected override render() {
    const { shown } = this;
    return html`<div class="words" role="tablist" aria-label=${this.label} @keydown=${this.onKey}>
        ${this.leaves.map(
          ({
            id,
            word,
            mark,
          }) => html`<button type="button" role="tab" id="word-${id}" data-leaf=${id}
            aria-selected=${id === shown} aria-controls="leaf-${id}" tabindex=${id === shown ? 0 : -1}
            @click=${() => this.choose(id)}>${word}${mark === undefined ? nothing : html` <span class="small">${mark}</span>`}</button>`,
        )}
      </div>
      ${this.leaves.map(
        ({
          id,
        }) => html`<div role="tabpanel" id="leaf-${id}" aria-labelledby="word-${id}" tabindex="0"
          ?hidden=${id !== shown}><slot name=${id}></slot></div>`,
      )}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-leaves': Leaves;
  }
}
