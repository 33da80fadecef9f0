import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import {
  addReply,
  askPerson,
  type Draft,
  mentionsIn,
  type Note,
  type NoteReading,
  type NoteState,
  type Person,
  removeNote,
  type Stamp,
  setNoteState,
  stateStampKey,
  textParts,
} from '../../core/document/index.ts';
import { go, shotPath } from '../app/route.ts';
import { Follow } from '../controllers/follow.ts';
import type { Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';
import './mention-field.ts';
import type { MentionField } from './mention-field.ts';
import { noteItemStyles } from './notes.styles.ts';
import { takeWay } from './take-way.ts';
import { heldAgainst, STATE_DEEDS, STATE_WORDS, WEIGHT_WORDS } from './words.ts';

type Deed = readonly [state: NoteState, word: string];

const SETTLE: Deed = ['settled', 'Settle'];
const PARK: Deed = ['parked', 'Park'];
const KEEP: Deed = ['kept', 'Keep on purpose'];
const OPEN: Deed = ['open', 'Open again'];

/** States that a note can go to: at once, and behind "More". */
const NEXT: Readonly<Record<NoteState, { near: readonly Deed[]; more: readonly Deed[] }>> = {
  open: { near: [['answered', 'Answered'], SETTLE], more: [PARK, KEEP] },
  answered: { near: [SETTLE, OPEN], more: [PARK, KEEP] },
  settled: { near: [OPEN], more: [] },
  parked: { near: [SETTLE, OPEN], more: [KEEP] },
  kept: { near: [OPEN], more: [] },
};

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
  /** Why its thing is not to be found in what is shown; empty where it is. */
  @property() gone = '';
  /** "draft 2, frame 12" where that is not what is shown. */
  @property() place = '';
  /** What its thing reads now; null where that is not known or not the same frame. */
  @property({ attribute: false }) now: NoteReading | null = null;
  @property({ attribute: false }) stamps: ReadonlyMap<string, Stamp> = new Map();
  @property({ attribute: false }) people: ReadonlyMap<string, Person> = new Map();
  /** Drafts of its shot by number. */
  @property({ attribute: false }) drafts: readonly Draft[] = [];
  @property({ type: Boolean, reflect: true }) chosen = false;

  @query('cl-mention-field') private field!: MentionField | null;
  @state() private writing: 'reply' | 'reason' | null = null;
  @state() private more = false;

  constructor() {
    super();
    new Follow(this, () => [this.session.on('hidden', () => this.requestUpdate())]);
  }

  private choose(): void {
    this.dispatchEvent(
      new CustomEvent('cl-choose-note', { detail: this.note.id, bubbles: true, composed: true }),
    );
  }

  private setState(state: NoteState): void {
    if (state === 'kept') void this.startWriting('reason');
    else this.become(state);
  }

  private become(state: NoteState, reason = ''): void {
    this.session.edit('notes', STATE_DEEDS[state], (doc, origin) =>
      setNoteState(doc, this.note.id, state, origin, reason),
    );
    this.more = false;
  }

  private async startWriting(what: 'reply' | 'reason'): Promise<void> {
    this.writing = what;
    await this.updateComplete;
    this.field?.focus();
  }

  private sendWords(): void {
    const text = this.field?.value ?? '';
    if (text === '') {
      if (this.writing === 'reason') this.session.say('Say why the story wants it so.');
      return;
    }
    if (this.writing === 'reason') this.become('kept', text);
    else {
      const mentions = mentionsIn(text, [...this.people.values()]);
      this.session.edit('notes', 'replied to a note', (doc, origin) =>
        addReply(doc, { id: crypto.randomUUID(), note: this.note.id, text, mentions }, origin),
      );
    }
    this.writing = null;
  }

  private ask(person: string): void {
    const name = this.people.get(person)?.name;
    const label = name === undefined ? 'asked nobody by name' : `asked ${name}`;
    this.session.edit('notes', label, (doc, origin) =>
      askPerson(doc, this.note.id, person === '' ? null : person, origin),
    );
  }

  private takeBack(): void {
    this.session.edit('notes', 'took a note back', (doc, origin) =>
      removeNote(doc, this.note.id, origin, { withReplies: this.session.me.role === 'lead' }),
    );
  }

  /** The address of this note goes to where addresses are, and is copied where the browser lets it. */
  private async link(): Promise<void> {
    const { note, session } = this;
    const path = shotPath(session.review, note.shot, { draft: note.draft, note: note.id });
    go(path, { replace: true });
    try {
      await navigator.clipboard.writeText(new URL(path, location.href).href);
      session.say('The link to this note is copied.');
    } catch {
      session.say('The address of this page now leads to this note.');
    }
  }

  private takeWay(): void {
    const { attached } = this.note;
    if (attached?.kind !== 'way') return;
    const target = takeWay(this.session, attached, this.drafts.at(-1)?.id ?? '');
    if (target !== null) go(shotPath(this.session.review, this.note.shot, { draft: target }));
  }

  private renderText(text: string) {
    const parts = textParts(text, [...this.people.values()]);
    return html`<p class="text">${parts.map(({ text: words, person }) =>
      person === null
        ? words
        : html`<strong class=${person === this.session.me.id ? 'me' : ''}>${words}</strong>`,
    )}</p>`;
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

  private renderReading() {
    const { note, now, gone } = this;
    // While a call is open nobody reads here how the shot balances.
    if (this.session.hides(note.shot)) return nothing;
    const line = note.reading === null ? '' : heldAgainst(note.reading, gone === '' ? now : null);
    return html`
      ${line === '' ? nothing : html`<p class="reading small">${line}</p>`}
      ${gone === '' ? nothing : html`<p class="small pencil">${gone}</p>`}`;
  }

  private renderAttached() {
    const { attached, shot } = this.note;
    if (attached === null) return nothing;
    const draft = this.drafts.find(({ id }) => id === attached.draft);
    if (attached.kind === 'draft') {
      if (draft === undefined) return html`<p class="small pencil">with a draft that is gone</p>`;
      const path = shotPath(this.session.review, shot, { draft: draft.id });
      return html`<p class="small">with <a href=${path}>draft ${draft.number}${draft.title === '' ? '' : `: ${draft.title}`}</a></p>`;
    }
    return html`<p class="small">
      with a way back${draft === undefined ? '' : ` for draft ${draft.number}`}: ${attached.words}
      ${
        this.session.mayWrite('scenes')
          ? html`<button @click=${this.takeWay}>Take this way back</button>`
          : nothing
      }
    </p>`;
  }

  private repliesInOrder() {
    const at = (id: string): string => this.stamps.get(id)?.at ?? '\uffff';
    return [...this.note.replies].sort((a, b) => (at(a.id) < at(b.id) ? -1 : 1));
  }

  private renderState() {
    const { note } = this;
    const asked = note.asked === null ? undefined : this.people.get(note.asked);
    const stamp = this.stamps.get(stateStampKey(note.id));
    const who = stamp ? this.people.get(stamp.by)?.name : undefined;
    const by = who && stamp ? ` by ${who}, ${sayWhen(stamp.at, new Date())}` : '';
    return html`
      ${asked === undefined ? nothing : html`<p class="small">asks <strong class=${asked.id === this.session.me.id ? 'me' : ''}>${asked.name}</strong></p>`}
      ${note.state === 'open' ? nothing : html`<p class="pencil">${STATE_WORDS[note.state]}${by}</p>`}
      ${note.reason === '' ? nothing : html`<p class="text reason">${note.reason}</p>`}`;
  }

  private renderWriting() {
    const { writing } = this;
    if (writing === null) return nothing;
    const label = writing === 'reply' ? 'Reply' : 'Why the story wants it so';
    return html`<form
      @submit=${(event: Event) => {
        event.preventDefault();
        this.sendWords();
      }}
    >
      ${writing === 'reason' ? html`<p class="small">${label}</p>` : nothing}
      <cl-mention-field
        label=${label} rows="2" .people=${[...this.people.values()]}
        @cl-send=${this.sendWords}
        @cl-leave=${() => {
          this.writing = null;
        }}
      ></cl-mention-field>
      <button type="submit">${writing === 'reply' ? 'Send the reply' : 'Keep it on purpose'}</button>
    </form>`;
  }

  private renderDeeds() {
    const { session, note, more } = this;
    if (!session.mayWrite('notes')) {
      return html`<p class="deeds"><button @click=${this.link}>Link</button></p>`;
    }
    const mine = this.stamps.get(note.id)?.by === session.me.id;
    const deed = ([next, word]: Deed) =>
      html`<button @click=${() => this.setState(next)}>${word}</button>`;
    return html`<p class="deeds">
        <button @click=${() => this.startWriting('reply')}>Reply</button>
        ${NEXT[note.state].near.map(deed)}
        ${mine ? html`<button @click=${this.takeBack}>Take back</button>` : nothing}
        <button
          aria-expanded=${more}
          @click=${() => {
            this.more = !more;
          }}
        >More</button>
      </p>
      ${more ? this.renderMore(deed) : nothing}`;
  }

  private renderMore(deed: (deed: Deed) => unknown) {
    const { note } = this;
    return html`<p class="deeds">
      ${NEXT[note.state].more.map(deed)}
      <button @click=${this.link}>Link</button>
      <label>ask
        <select
          aria-label="Whom this note asks"
          @change=${(event: Event) => this.ask((event.currentTarget as HTMLSelectElement).value)}
        >
          <option value="" .selected=${note.asked === null}>nobody by name</option>
          ${[...this.people.values()].map(
            ({ id, name }) =>
              html`<option value=${id} .selected=${note.asked === id}>${name}</option>`,
          )}
        </select>
      </label>
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
      ${this.renderText(note.text)}
      ${this.renderReading()}
      ${this.renderAttached()}
      ${this.renderBy(note.id)}
      ${
        note.replies.length === 0
          ? nothing
          : html`<ol class="replies">
              ${this.repliesInOrder().map(
                (reply) => html`<li>${this.renderText(reply.text)}${this.renderBy(reply.id)}</li>`,
              )}
            </ol>`
      }
      ${this.renderState()}
      ${this.renderWriting()}
      ${this.renderDeeds()}
    </article>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-note-item': NoteItem;
  }
}
