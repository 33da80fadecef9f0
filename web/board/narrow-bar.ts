import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { VERDICTS } from '../../core/balance/types.ts';
import { assignedName, SHOT_STATES } from '../../core/document/index.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { shared } from '../styles/shared.ts';
import { stateWord } from './deeds.ts';
import { type BoardFacts, NO_FACTS } from './facts.ts';
import { isNarrow, type Narrowing, ORDER_WORDS, ORDERS, WIDE } from './narrowing.ts';

const NUMBER_STEPS_CM = [0, 1, 2, 5, 10];

/** Narrows the board by state, person, verdict, margin and open notes, and orders it. Fires `cl-narrow`. */
@customElement('cl-narrow-bar')
export class NarrowBar extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem 1.1rem;
        align-items: end;
      }
      label {
        display: grid;
        gap: 0.1rem;
        min-width: 0;
      }
      select {
        max-width: 13rem;
      }
      @media (max-width: 48rem) {
        :host {
          display: grid;
          grid-template-columns: 1fr 1fr;
        }
        select {
          width: 100%;
        }
      }
    `,
  ];

  @property({ attribute: false }) narrowing: Narrowing = WIDE;
  @property({ attribute: false }) facts: BoardFacts = NO_FACTS;

  private change(change: Partial<Narrowing>): void {
    const detail: Narrowing = { ...this.narrowing, ...change };
    this.dispatchEvent(new CustomEvent('cl-narrow', { detail, bubbles: true, composed: true }));
  }

  /** A list of choices; `''` in it stands for any. */
  private choice(
    word: string,
    options: readonly (readonly [value: string, word: string])[],
    value: string,
    pick: (value: string) => void,
  ) {
    return html`<label>
      <span class="pencil small">${word}</span>
      <select @change=${(event: Event) => pick((event.currentTarget as HTMLSelectElement).value)}>
        ${options.map(
          ([id, name]) => html`<option value=${id} .selected=${id === value}>${name}</option>`,
        )}
      </select>
    </label>`;
  }

  private people(): [string, string][] {
    const { allShots, names } = this.facts;
    const known = new Map<string, string>();
    for (const shot of allShots) {
      const name = assignedName(shot, names);
      if (shot.assigned !== null && name !== null) known.set(shot.assigned, name);
    }
    const named = [...known].sort(([, a], [, b]) => a.localeCompare(b));
    // Ids never begin with a colon, so these two cannot meet somebody's.
    return [[':any', 'anybody'], [':none', 'nobody'], ...named];
  }

  private personValue(): string {
    const { person } = this.narrowing;
    if (person === null) return ':any';
    return person === '' ? ':none' : person;
  }

  protected override render() {
    const { state, verdict, marginBelow, notesFrom, order } = this.narrowing;
    const states = SHOT_STATES.map((item) => [item, stateWord(item)] as const);
    const verdicts = VERDICTS.map((item) => [item, VERDICT_WORDS[item]] as const);
    const margins = NUMBER_STEPS_CM.map(
      (cm) => [String(cm), cm === 0 ? 'outside' : `below ${cm} cm`] as const,
    );
    const notes = [1, 3, 5].map(
      (count) => [String(count), count === 1 ? 'some' : `${count} or more`] as const,
    );
    return html`
      ${this.choice('State', [['', 'any'], ...states], state ?? '', (value) =>
        this.change({ state: SHOT_STATES.find((item) => item === value) ?? null }),
      )}
      ${this.choice('Assigned to', this.people(), this.personValue(), (value) =>
        this.change({ person: value === ':any' ? null : value === ':none' ? '' : value }),
      )}
      ${this.choice('Verdict', [['', 'any'], ...verdicts], verdict ?? '', (value) =>
        this.change({ verdict: VERDICTS.find((item) => item === value) ?? null }),
      )}
      ${this.choice(
        'Margin',
        [['', 'any'], ...margins],
        marginBelow === null ? '' : String(Math.round(marginBelow * 100)),
        (value) => this.change({ marginBelow: value === '' ? null : Number(value) / 100 }),
      )}
      ${this.choice(
        'Open notes',
        [['', 'any'], ...notes],
        notesFrom === null ? '' : String(notesFrom),
        (value) => this.change({ notesFrom: value === '' ? null : Number(value) }),
      )}
      ${this.choice(
        'In the order of',
        ORDERS.map((item) => [item, ORDER_WORDS[item]] as const),
        order,
        (value) => this.change({ order: ORDERS.find((item) => item === value) ?? 'board' }),
      )}
      ${
        isNarrow(this.narrowing)
          ? html`<button @click=${() => this.change({ ...WIDE, order })}>Show them all again</button>`
          : nothing
      }
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-narrow-bar': NarrowBar;
  }
}
