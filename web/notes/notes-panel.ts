import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import {
  addNote,
  NOTE_WEIGHTS,
  type Note,
  type NoteWeight,
  noteMaps,
  type Person,
  type Pin,
  readDrafts,
  readNotes,
  readPeople,
  readStamps,
  recordMap,
  type Stamp,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { pinLabel } from '../bench/words.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { SelectDetail, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import './note-item.ts';
import { notesPanelStyles } from './notes.styles.ts';

const WEIGHT_LABELS: Readonly<Record<NoteWeight, string>> = {
  must: 'must',
  should: 'should',
  could: 'could be better',
};

/**
 * The notes of a shot: writing one about the selected thing, reading, replying, settling.
 * Fires `cl-choose-note` (detail: the note's id) when one is chosen.
 */
@customElement('cl-notes-panel')
export class NotesPanel extends LitElement {
  static override styles = [shared, notesPanelStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot = '';
  @property({ attribute: false }) draft = '';
  /** Frame number shown, or null where the shot is one pose. */
  @property({ attribute: false }) frame: number | null = null;
  /** The draft's scene, for the names of things. */
  @property({ attribute: false }) scene: Scene | null = null;
  @property({ attribute: false }) selection: SelectDetail = { pin: null, label: '' };
  @property({ attribute: false }) chosen: string | null = null;

  @state() private weight: NoteWeight = 'should';
  /** The person asked for the whole shot although something is selected. */
  @state() private wholeShot = false;
  private notes: readonly Note[] = [];
  /** Notes of the shot in the order of writing, from 1; the pins on the drawing bear the same. */
  private numbers: ReadonlyMap<string, number> = new Map();
  private stamps: ReadonlyMap<string, Stamp> = new Map();
  private people: ReadonlyMap<string, Person> = new Map();
  private stale = true;

  constructor() {
    super();
    const readAgain = (): void => {
      this.stale = true;
      this.requestUpdate();
    };
    new Follow(this, () => {
      const { notes, record } = this.session.documents;
      readAgain();
      return [
        observeMaps(noteMaps(notes), readAgain),
        observeMaps([recordMap(record, 'stamps'), recordMap(record, 'people')], readAgain),
        this.session.on('me', readAgain),
      ];
    });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('selection')) this.wholeShot = false;
    if (!this.stale && !changed.has('shot')) return;
    const { notes, record } = this.session.documents;
    this.stamps = readStamps(record);
    this.people = readPeople(record);
    const at = (id: string): string => this.stamps.get(id)?.at ?? '\uffff';
    this.notes = readNotes(notes, this.shot).sort((a, b) => (at(a.id) < at(b.id) ? -1 : 1));
    this.numbers = new Map(this.notes.map(({ id }, index) => [id, index + 1] as const));
    this.stale = false;
  }

  protected override updated(changed: Map<PropertyKey, unknown>): void {
    if (!changed.has('chosen') || this.chosen === null) return;
    this.renderRoot.querySelector('cl-note-item[chosen]')?.scrollIntoView({ block: 'nearest' });
  }

  private pin(): Pin {
    return this.wholeShot || this.selection.pin === null ? { kind: 'shot' } : this.selection.pin;
  }

  private handleSubmit(event: SubmitEvent): void {
    event.preventDefault();
    this.send(event.currentTarget as HTMLFormElement);
  }

  private handleKey(event: KeyboardEvent): void {
    const field = event.currentTarget as HTMLTextAreaElement;
    if (event.key !== 'Enter' || !(event.ctrlKey || event.metaKey) || !field.form) return;
    event.preventDefault();
    this.send(field.form);
  }

  private send(form: HTMLFormElement): void {
    const text = String(new FormData(form).get('note') ?? '').trim();
    if (text === '') {
      this.session.say('Write a few words first.');
      return;
    }
    const note = {
      id: crypto.randomUUID(),
      shot: this.shot,
      draft: this.draft,
      pin: this.pin(),
      frame: this.frame,
      text,
      state: 'open' as const,
      weight: this.weight,
    };
    this.session.edit('notes', 'wrote a note', (doc, origin) => addNote(doc, note, origin));
    form.reset();
  }

  private aboutOf(note: Note): string {
    if (note.pin.kind === 'shot') return 'the whole shot';
    return this.scene === null ? 'a part of the drawing' : pinLabel(this.scene, note.pin);
  }

  private placeOf(note: Note, numbers: ReadonlyMap<string, number>): string {
    const words: string[] = [];
    const number = numbers.get(note.draft);
    if (note.draft !== this.draft && number !== undefined) words.push(`draft ${number}`);
    if (note.frame !== null) words.push(`frame ${note.frame}`);
    return words.join(', ');
  }

  private renderComposer() {
    if (!this.session.mayWrite('notes')) {
      return html`<p class="pencil">As a guest you read notes; the lead can give you a link that lets you write.</p>`;
    }
    const { pin, label } = this.selection;
    const about = this.wholeShot || pin === null ? 'the whole shot' : label;
    return html`<form @submit=${this.handleSubmit}>
      <p>
        <label for="note">A note about <strong>${about}</strong></label>
        ${
          pin === null
            ? nothing
            : html`<button
                type="button"
                aria-pressed=${this.wholeShot}
                @click=${() => {
                  this.wholeShot = !this.wholeShot;
                }}
              >the whole shot</button>`
        }
      </p>
      <textarea
        id="note" name="note" rows="3" maxlength="4000"
        placeholder="One wish, with its reason"
        @keydown=${this.handleKey}
      ></textarea>
      <fieldset>
        <legend class="hidden-text">How much it weighs</legend>
        ${NOTE_WEIGHTS.map(
          (weight) => html`<label>
            <input
              type="radio" name="weight" value=${weight} .checked=${this.weight === weight}
              @change=${() => {
                this.weight = weight;
              }}
            />
            ${WEIGHT_LABELS[weight]}
          </label>`,
        )}
      </fieldset>
      <p>
        <button class="main" type="submit">Add the note</button>
        ${pin === null ? html`<span class="pencil small">Select a part of the drawing to pin it there.</span>` : nothing}
      </p>
    </form>`;
  }

  private renderList(notes: readonly Note[], numbers: ReadonlyMap<string, number>) {
    return repeat(
      notes,
      ({ id }) => id,
      (note) => html`<cl-note-item
        ?chosen=${note.id === this.chosen}
        .session=${this.session}
        .note=${note}
        .number=${this.numbers.get(note.id) ?? 0}
        .about=${this.aboutOf(note)}
        .place=${this.placeOf(note, numbers)}
        .stamps=${this.stamps}
        .people=${this.people}
      ></cl-note-item>`,
    );
  }

  protected override render() {
    const numbers = new Map(
      readDrafts(this.session.documents.scenes, this.shot).map(
        ({ id, number }) => [id, number] as const,
      ),
    );
    const standing = this.notes.filter(({ state }) => state !== 'settled');
    const settled = this.notes.filter(({ state }) => state === 'settled');
    const open = standing.filter(({ state }) => state === 'open').length;
    return html`<section aria-label="Notes">
      <h2>Notes <span class="pencil">${open} open</span></h2>
      ${this.renderComposer()}
      ${
        this.notes.length === 0
          ? html`<p class="pencil">No notes on this shot yet.</p>`
          : html`<div>${this.renderList(standing, numbers)}</div>`
      }
      ${
        settled.length === 0
          ? nothing
          : html`<details ?open=${settled.some(({ id }) => id === this.chosen)}>
              <summary>${settled.length} settled</summary>
              ${this.renderList(settled, numbers)}
            </details>`
      }
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-notes-panel': NotesPanel;
  }
}
