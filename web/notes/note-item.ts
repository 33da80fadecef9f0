import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  addReply,
  type Note,
  type NoteState,
  type Person,
  removeNote,
  type Stamp,
  setNoteState,
  stateStampKey,
} from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';
import { noteItemStyles } from './notes.styles.ts';

const NEXT_STATES: Readonly<Record<NoteState, readonly (readonly [NoteState, string])[]>> = {
  open: [
    ['answered', 'Answered'],
    ['settled', 'Settle'],
  ],
  answered: [
    ['settled', 'Settle'],
    ['open', 'Open again'],
  ],
  settled: [['open', 'Open again']],
};

const WEIGHT_WORDS = { must: 'must', should: 'should', could: 'could be better' } as const;

/** One note with its replies: what it is about, who wrote it and when, and what can be done with it. */
@customElement('cl-note-item')
export class NoteItem extends LitElement {
  static override styles = [shared, noteItemStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) note!: Note;
  /** Its number on the drawing. */
  @property({ type: Number }) number = 0;
  /** What it is about, in words. */
  @property() about = '';
  /** "draft 2, frame 12" where that is not what is shown. */
  @property() place = '';
  @property({ attribute: false }) stamps: ReadonlyMap<string, Stamp> = new Map();
  @property({ attribute: false }) people: ReadonlyMap<string, Person> = new Map();
  @property({ type: Boolean, reflect: true }) chosen = false;

  @state() private replying = false;

  private choose(): void {
    this.dispatchEvent(
      new CustomEvent('cl-choose-note', { detail: this.note.id, bubbles: true, composed: true }),
    );
  }

  private setState(state: NoteState): void {
    const word = state === 'open' ? 'opened a note again' : `marked a note ${state}`;
    this.session.edit('notes', word, (doc, origin) =>
      setNoteState(doc, this.note.id, state, origin),
    );
  }

  private handleReply(event: SubmitEvent): void {
    event.preventDefault();
    this.sendReply(event.currentTarget as HTMLFormElement);
  }

  private handleReplyKey(event: KeyboardEvent): void {
    const field = event.currentTarget as HTMLTextAreaElement;
    if (event.key === 'Enter' && (event.ctrlKey || event.metaKey) && field.form) {
      event.preventDefault();
      this.sendReply(field.form);
    } else if (event.key === 'Escape') {
      this.replying = false;
    }
  }

  private sendReply(form: HTMLFormElement): void {
    const text = String(new FormData(form).get('reply') ?? '').trim();
    if (text === '') return;
    this.session.edit('notes', 'replied to a note', (doc, origin) =>
      addReply(doc, { id: crypto.randomUUID(), note: this.note.id, text }, origin),
    );
    this.replying = false;
  }

  private async startReply(): Promise<void> {
    this.replying = true;
    await this.updateComplete;
    this.renderRoot.querySelector('textarea')?.focus();
  }

  private takeBack(): void {
    this.session.edit('notes', 'took a note back', (doc, origin) =>
      removeNote(doc, this.note.id, origin, { withReplies: this.session.me.role === 'lead' }),
    );
  }

  private renderBy(id: string) {
    const stamp = this.stamps.get(id);
    // The server alone knows who wrote it; until it has said so there is nobody to name.
    if (!stamp) return html`<span class="by pencil">being saved</span>`;
    const person = this.people.get(stamp.by);
    return html`<span class="by">
      ${person ? personMark(person.ink) : nothing}
      <span class="author">${person?.name ?? 'Someone'}</span>
      <time class="pencil" datetime=${stamp.at}>${sayWhen(stamp.at, new Date())}</time>
    </span>`;
  }

  private repliesInOrder() {
    const at = (id: string): string => this.stamps.get(id)?.at ?? '\uffff';
    return [...this.note.replies].sort((a, b) => (at(a.id) < at(b.id) ? -1 : 1));
  }

  private renderState() {
    const { note } = this;
    if (note.state === 'open') return nothing;
    const stamp = this.stamps.get(stateStampKey(note.id));
    const who = stamp ? this.people.get(stamp.by)?.name : undefined;
    return html`<p class="pencil">
      ${note.state}${who && stamp ? ` by ${who}, ${sayWhen(stamp.at, new Date())}` : ''}
    </p>`;
  }

  private renderDeeds() {
    const { session, note } = this;
    if (!session.mayWrite('notes')) return nothing;
    const mine = this.stamps.get(note.id)?.by === session.me.id;
    return html`<p class="deeds">
      <button @click=${this.startReply}>Reply</button>
      ${NEXT_STATES[note.state].map(
        ([next, word]) => html`<button @click=${() => this.setState(next)}>${word}</button>`,
      )}
      ${mine ? html`<button @click=${this.takeBack}>Take back</button>` : nothing}
    </p>`;
  }

  protected override render() {
    const { note } = this;
    return html`<article aria-label="Note ${this.number} about ${this.about}">
      <p class="head">
        <button class="about" aria-pressed=${this.chosen} @click=${this.choose}>
          <span class="number">${this.number}</span> ${this.about}
        </button>
        <span class="weight ${note.weight}">${WEIGHT_WORDS[note.weight]}</span>
      </p>
      ${this.place === '' ? nothing : html`<p class="pencil small">${this.place}</p>`}
      <p class="text">${note.text}</p>
      ${this.renderBy(note.id)}
      ${
        note.replies.length === 0
          ? nothing
          : html`<ol class="replies">
              ${this.repliesInOrder().map(
                (reply) =>
                  html`<li><p class="text">${reply.text}</p>${this.renderBy(reply.id)}</li>`,
              )}
            </ol>`
      }
      ${this.renderState()}
      ${
        this.replying
          ? html`<form @submit=${this.handleReply}>
              <label class="hidden-text" for="reply">Reply</label>
              <textarea id="reply" name="reply" rows="2" @keydown=${this.handleReplyKey}></textarea>
              <button type="submit">Send the reply</button>
            </form>`
          : nothing
      }
      ${this.renderDeeds()}
    </article>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-note-item': NoteItem;
  }
}
