import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { assignedFor, isDay, SHOT_STATES, type Shot } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { stateWord } from './deeds.ts';
import { type BoardFacts, NO_FACTS } from './facts.ts';
import { assignShots, setDue, setStates } from './shot-deeds.ts';

/**
 * What can be done to the picked shots together, as a strip along the foot of the board. Fires
 * `cl-pick-all` and `cl-let-go`.
 */
@customElement('cl-picked-bar')
export class PickedBar extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        position: sticky;
        bottom: 0;
        z-index: 5;
        display: block;
        background: var(--sheet);
        border-top: 3px solid var(--ink);
        margin-inline: -1.25rem;
        padding: 0.6rem 1.25rem 0.8rem;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        align-items: end;
        gap: 0.4rem 1.1rem;
      }
      .count {
        font-weight: 600;
        flex-basis: 100%;
      }
      label {
        display: grid;
        gap: 0.1rem;
      }
      form {
        display: flex;
        gap: 0.4rem;
        align-items: end;
      }
      input {
        max-width: 11rem;
      }
      .end {
        margin-inline-start: auto;
        display: flex;
        gap: 0.9rem;
      }
      @media (max-width: 48rem) {
        :host {
          margin-inline: -0.9rem;
          padding-inline: 0.9rem;
        }
        .row {
          display: grid;
          grid-template-columns: auto 1fr;
          gap: 0.3rem 0.8rem;
        }
        .count,
        form,
        .end {
          grid-column: 1 / -1;
          margin-inline-start: 0;
        }
        form label {
          flex: 1;
        }
        form input {
          max-width: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) facts: BoardFacts = NO_FACTS;

  private get shots(): readonly Shot[] {
    return this.facts.allShots.filter(({ id }) => this.facts.picked.has(id));
  }

  private handleState(event: Event): void {
    const select = event.currentTarget as HTMLSelectElement;
    const state = SHOT_STATES.find((known) => known === select.value);
    select.value = '';
    if (state === undefined) return;
    setStates(
      this.session,
      this.shots,
      state,
      ({ id }) => this.facts.drafts.get(id)?.at(-1)?.id ?? null,
    );
  }

  private handleAssign(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = String(new FormData(form).get('assigned') ?? '').trim();
    assignShots(this.session, this.shots, assignedFor(name, this.facts.names), name);
    form.reset();
  }

  private handleDue(event: Event): void {
    const { value } = event.currentTarget as HTMLInputElement;
    if (value === '' || isDay(value)) setDue(this.session, this.shots, value === '' ? null : value);
  }

  private tell(type: 'cl-pick-all' | 'cl-let-go'): void {
    this.dispatchEvent(new CustomEvent(type, { bubbles: true, composed: true }));
  }

  protected override render() {
    const { shots } = this;
    const states = SHOT_STATES.filter(
      (state) => state !== 'signed-off' || this.session.me.role === 'lead',
    );
    const days = new Set(shots.map(({ due }) => due));
    const due = days.size === 1 ? ([...days][0] ?? '') : '';
    return html`<section class="row" aria-label="Picked shots">
      <p class="count" role="status">${shots.length === 1 ? '1 shot picked' : `${shots.length} shots picked`}</p>
      <label>
        <span class="pencil small">Set the state</span>
        <select @change=${this.handleState}>
          <option value="" .selected=${true}>to what</option>
          ${states.map((state) => html`<option value=${state}>${stateWord(state)}</option>`)}
        </select>
      </label>
      <label>
        <span class="pencil small">Due</span>
        <input type="date" .value=${due} @change=${this.handleDue} />
      </label>
      <form @submit=${this.handleAssign}>
        <label>
          <span class="pencil small">Assign to</span>
          <input name="assigned" list="people" maxlength="80" autocomplete="off" />
        </label>
        <button type="submit">Assign</button>
        <datalist id="people">
          ${[...this.facts.names.values()].map(({ name }) => html`<option value=${name}></option>`)}
        </datalist>
      </form>
      <span class="end">
        <button @click=${() => this.tell('cl-pick-all')}>Pick all shown</button>
        <button @click=${() => this.tell('cl-let-go')}>Let them go</button>
      </span>
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-picked-bar': PickedBar;
  }
}
