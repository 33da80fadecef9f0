import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { VERDICTS, type Verdict } from '../../core/balance/index.ts';
import {
  EVERY_NOTE,
  NOTE_STATES,
  type NoteQuery,
  type Person,
  type Shot,
} from '../../core/document/index.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { shared } from '../styles/shared.ts';
import { finderStyles } from './notes.styles.ts';
import { STATE_WORDS } from './words.ts';

/** Finding notes by text, person, state, verdict and shot. Fires `cl-query` (detail: NoteQuery). */
@customElement('cl-note-finder')
export class NoteFinder extends LitElement {
  static override styles = [shared, finderStyles];

  @property({ attribute: false }) query: NoteQuery = EVERY_NOTE;
  @property({ attribute: false }) people: readonly Person[] = [];
  /** Shots to choose from; empty where only one is looked through. */
  @property({ attribute: false }) shots: readonly Shot[] = [];
  /** How many notes fit. */
  @property({ type: Number }) found = 0;

  private set(change: Partial<NoteQuery>): void {
    this.dispatchEvent(
      new CustomEvent<NoteQuery>('cl-query', { detail: { ...this.query, ...change } }),
    );
  }

  private renderChoice<K extends Exclude<keyof NoteQuery, 'text' | 'to'>>(
    field: K,
    label: string,
    any: string,
    choices: readonly (readonly [NoteQuery[K], string])[],
  ) {
    return html`<label>
      <span class="hidden-text">${label}</span>
      <select
        aria-label=${label}
        @change=${(event: Event) =>
          this.set({ [field]: (event.currentTarget as HTMLSelectElement).value })}
      >
        <option value="" .selected=${this.query[field] === ''}>${any}</option>
        ${choices.map(
          ([value, word]) =>
            html`<option value=${value} .selected=${this.query[field] === value}>${word}</option>`,
        )}
      </select>
    </label>`;
  }

  protected override render() {
    const { query, people, shots, found } = this;
    const asks = Object.values(query).some((value) => value !== '');
    return html`<form role="search" aria-label="Find notes" @submit=${(event: Event) => event.preventDefault()}>
      <input
        type="search" aria-label="Words in the note" placeholder="find words" .value=${query.text}
        @input=${(event: Event) => this.set({ text: (event.currentTarget as HTMLInputElement).value })}
      />
      ${this.renderChoice(
        'person',
        'Person',
        'anybody',
        people.map(({ id, name }) => [id, name] as const),
      )}
      ${this.renderChoice('state', 'State', 'any state', [
        ['standing', 'open or answered'],
        ...NOTE_STATES.map((state) => [state, STATE_WORDS[state]] as const),
      ])}
      ${this.renderChoice(
        'verdict',
        'Verdict at the time',
        'any verdict',
        VERDICTS.map((verdict: Verdict) => [verdict, VERDICT_WORDS[verdict]] as const),
      )}
      ${
        shots.length === 0
          ? nothing
          : this.renderChoice(
              'shot',
              'Shot',
              'all shots',
              shots.map(({ id, code }) => [id, code] as const),
            )
      }
      ${
        asks
          ? html`<p class="small"><span role="status">${found === 1 ? '1 note fits' : `${found} notes fit`}</span>
              <button type="button" @click=${() => this.set(EVERY_NOTE)}>Show all</button></p>`
          : nothing
      }
    </form>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-note-finder': NoteFinder;
  }
}
