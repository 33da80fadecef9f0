import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Sequence, Shot } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import {
  addShot,
  dropSequence,
  moveSequence,
  nextCode,
  placeShot,
  renameSequence,
} from './deeds.ts';
import type { BoardFacts } from './facts.ts';
import type { ShotCard } from './shot-card.ts';
import { shotCards, shotGridStyles } from './shot-grid.ts';
import { startScene } from './start-scene.ts';

const SHOT_TYPE = 'application/x-counterlean-shot';

/** One sequence as a row of the board: its title on a rule, its shots hung beneath. */
@customElement('cl-sequence-row')
export class SequenceRow extends LitElement {
  static override styles = [
    shared,
    shotGridStyles,
    css`
      :host {
        display: block;
      }
      header {
        display: flex;
        flex-wrap: wrap;
        gap: 0.25rem 1.1rem;
        align-items: baseline;
        border-bottom: 1px solid var(--ink);
        padding-bottom: 0.25rem;
        margin-bottom: 0.9rem;
      }
      h2 {
        font-size: 1.25rem;
        overflow-wrap: anywhere;
      }
      form {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem;
        align-items: end;
      }
      .end {
        outline: 2px dashed var(--edge);
        outline-offset: 0.4rem;
      }
      .deeds {
        display: flex;
        flex-wrap: wrap;
        gap: 0.2rem 0.9rem;
        margin-left: auto;
      }
      @media (max-width: 48rem) {
        .deeds {
          margin-left: 0;
          flex-basis: 100%;
        }
      }
      .empty {
        padding-block: 0.5rem 1rem;
        color: var(--pencil);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) sequence!: Sequence;
  @property({ attribute: false }) shots: readonly Shot[] = [];
  @property({ attribute: false }) facts!: BoardFacts;
  /** Whether some shots are hidden by the board's filter. */
  @property({ type: Boolean }) filtered = false;

  @state() private renaming = false;
  /** Shot before which a dragged card would land; '' is the end of the row, null no drag here. */
  @state() private landing: string | null = null;

  private async addShot(): Promise<void> {
    const { session, sequence } = this;
    const code = nextCode(this.facts.allShots, sequence);
    const id = addShot(session, {
      sequence: sequence.id,
      code,
      title: '',
      scene: startScene(),
      draftTitle: 'standing',
    });
    this.dispatchEvent(new CustomEvent('cl-added', { detail: id, bubbles: true, composed: true }));
  }

  /** The card of a shot in this row. */
  card(shot: string): ShotCard | null {
    return this.renderRoot.querySelector<ShotCard>(`cl-shot-card[data-shot="${CSS.escape(shot)}"]`);
  }

  private handleRename(event: SubmitEvent): void {
    event.preventDefault();
    const title = String(new FormData(event.currentTarget as HTMLFormElement).get('title')).trim();
    if (title !== '' && title !== this.sequence.title) {
      renameSequence(this.session, this.sequence, title);
    }
    this.renaming = false;
  }

  private async startRenaming(): Promise<void> {
    this.renaming = true;
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLInputElement>('input[name="title"]')?.select();
  }

  private handleDragOver(event: DragEvent): void {
    if (!event.dataTransfer?.types.includes(SHOT_TYPE) || !this.session.mayWrite('scenes')) return;
    event.preventDefault();
    event.dataTransfer.dropEffect = 'move';
    this.landing = this.landingAt(event.clientX, event.clientY);
  }

  private landingAt(x: number, y: number): string {
    for (const card of this.renderRoot.querySelectorAll<ShotCard>('cl-shot-card')) {
      const box = card.getBoundingClientRect();
      const inRow = y >= box.top && y <= box.bottom;
      if (inRow && x < box.left + box.width / 2) return card.dataset.shot ?? '';
      if (y < box.top) return card.dataset.shot ?? '';
    }
    return '';
  }

  private handleDrop(event: DragEvent): void {
    const id = event.dataTransfer?.getData(SHOT_TYPE);
    const { landing } = this;
    this.landing = null;
    const shot = this.facts.allShots.find((other) => other.id === id);
    if (!shot || landing === null) return;
    event.preventDefault();
    placeShot(this.session, shot, this.sequence.id, landing === '' ? null : landing);
  }

  private renderHead() {
    const { session, sequence } = this;
    if (this.renaming) {
      return html`<form @submit=${this.handleRename}>
        <label>Title <input name="title" .value=${sequence.title} maxlength="120" required /></label>
        <button type="submit">Rename</button>
      </form>`;
    }
    const count = this.shots.length === 1 ? '1 shot' : `${this.shots.length} shots`;
    return html`
      <h2>${sequence.title}</h2>
      <span class="pencil">${count}</span>
      ${session.mayWrite('scenes') ? this.renderDeeds() : nothing}
    `;
  }

  private renderDeeds() {
    const { session, sequence } = this;
    const name = html`<span class="hidden-text"> ${sequence.title}</span>`;
    return html`<span class="deeds">
      <button @click=${this.addShot}>Add a shot<span class="hidden-text"> to ${sequence.title}</span></button>
      <button @click=${this.startRenaming}>Rename${name}</button>
      <button @click=${() => moveSequence(session, sequence, -1)}>Up${name}</button>
      <button @click=${() => moveSequence(session, sequence, 1)}>Down${name}</button>
      ${
        this.shots.length === 0 && !this.filtered
          ? html`<button @click=${() => dropSequence(session, sequence)}>Remove${name}</button>`
          : nothing
      }
    </span>`;
  }

  private renderShots() {
    const { facts, session } = this;
    if (this.shots.length === 0) {
      const teach = session.mayWrite('scenes')
        ? 'No shots here yet: add one, or drop a .bvh clip or a scene file on this row.'
        : 'No shots here yet.';
      return html`<p class="empty">${this.filtered ? 'No shot of this sequence is in this view.' : teach}</p>`;
    }
    return html`<div class="row ${this.landing === '' ? 'end' : ''}">
      ${shotCards(session, this.shots, facts, this.landing)}
    </div>`;
  }

  protected override render() {
    return html`<section
      aria-label="Sequence ${this.sequence.title}"
      @dragover=${this.handleDragOver}
      @dragleave=${() => {
        this.landing = null;
      }}
      @drop=${this.handleDrop}
    >
      <header>${this.renderHead()}</header>
      ${this.renderShots()}
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-sequence-row': SequenceRow;
  }
}
