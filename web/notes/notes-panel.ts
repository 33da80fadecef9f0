import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { BalanceReport } from '../../core/balance/index.ts';
import {
  type Draft,
  draftEntries,
  EVERY_NOTE,
  findNotes,
  isStanding,
  type Note,
  type NoteQuery,
  type NoteReading,
  noteReading,
  readDrafts,
  readPictures,
  speaksOf,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { pinGone } from '../bench/pins.ts';
import { pinLabel } from '../bench/words.ts';
import { Follow } from '../controllers/follow.ts';
import type { SelectDetail, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import './note-composer.ts';
import type { NoteComposer } from './note-composer.ts';
import './note-finder.ts';
import './note-item.ts';
import './note-offers.ts';
import { notesPanelStyles } from './notes.styles.ts';
import { NotesReader } from './notes-reader.ts';
import type { Offer } from './offers.ts';

/**
 * The notes of a shot: writing one about the selected thing, reading, finding, replying, settling.
 * Notes of earlier drafts that still stand come along, each held against what its thing reads now.
 * Fires `cl-choose-note` (detail: the note's id) when one is chosen, and `cl-about` (detail: Pin) when
 * another pin is chosen for the note to come.
 */
@customElement('cl-notes-panel')
export class NotesPanel extends LitElement {
  static override styles = [shared, notesPanelStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot = '';
  @property({ attribute: false }) draft = '';
  /** Frame number shown, or null where the shot is one pose. */
  @property({ attribute: false }) frame: number | null = null;
  /** The draft's scene, for the names of things, and what it reads. */
  @property({ attribute: false }) scene: Scene | null = null;
  @property({ attribute: false }) report: BalanceReport | null = null;
  @property({ attribute: false }) selection: SelectDetail = { pin: null, label: '' };
  @property({ attribute: false }) chosen: string | null = null;

  @query('cl-note-composer') private composer!: NoteComposer | null;
  @state() private query: NoteQuery = EVERY_NOTE;
  private readonly reader = new NotesReader(this, () => this.session);

  constructor() {
    super();
    new Follow(this, () => [this.session.on('me', () => this.requestUpdate())]);
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    // A note that is opened by its address or its flag is not kept back by what was looked for.
    if (changed.has('shot') || (changed.has('chosen') && this.chosen !== null)) {
      this.query = EVERY_NOTE;
    }
  }

  protected override updated(changed: Map<PropertyKey, unknown>): void {
    if (!changed.has('chosen') || this.chosen === null) return;
    this.renderRoot.querySelector('cl-note-item[chosen]')?.scrollIntoView({ block: 'nearest' });
  }

  private placeOf(note: Note, drafts: readonly Draft[]): string {
    const words: string[] = [];
    const number = drafts.find(({ id }) => id === note.draft)?.number;
    if (note.draft !== this.draft) {
      words.push(number === undefined ? 'from a draft that is gone' : `from draft ${number}`);
    }
    if (note.frame !== null && note.pin.kind !== 'frames') words.push(`frame ${note.frame}`);
    return words.join(', ');
  }

  /** What a note's thing reads now, where what is shown may be held against it. */
  private nowOf(note: Note): NoteReading | null {
    const { scene, report } = this;
    // One pose stands for every frame of its shot; a clip is read frame by frame.
    const sameFrame = this.frame === null || note.frame === this.frame;
    if (scene === null || report === null || !sameFrame) return null;
    return noteReading(note.pin, scene, report);
  }

  private renderList(notes: readonly Note[], drafts: readonly Draft[]) {
    const { scene, report, reader, session } = this;
    const pictures = readPictures(draftEntries(session.documents.scenes, this.draft));
    const views = new Set<string>(pictures.keys());
    return repeat(
      notes,
      ({ id }) => id,
      (note) => html`<cl-note-item
        ?chosen=${note.id === this.chosen}
        .session=${session}
        .note=${note}
        .number=${reader.numberOf(note.id)}
        .about=${scene === null ? 'a part of the drawing' : pinLabel(scene, note.pin)}
        .gone=${scene === null || report === null ? '' : (pinGone(scene, report, note.pin, views) ?? '')}
        .place=${this.placeOf(note, drafts)}
        .now=${this.nowOf(note)}
        .stamps=${reader.stamps}
        .people=${reader.people}
        .drafts=${drafts}
      ></cl-note-item>`,
    );
  }

  private renderComposer(drafts: readonly Draft[]) {
    if (!this.session.mayWrite('notes')) {
      return html`<p class="pencil">As a guest you read notes; the lead can give you a link that lets you write.</p>`;
    }
    return html`<cl-note-composer
        .session=${this.session}
        .shot=${this.shot}
        .draft=${this.draft}
        .drafts=${drafts}
        .frame=${this.frame}
        .scene=${this.scene}
        .report=${this.report}
        .selection=${this.selection}
        .people=${this.reader.everyone}
        @cl-about=${this.passOn}
      ></cl-note-composer>
      <cl-note-offers
        .scene=${this.scene}
        .report=${this.report}
        @cl-offer=${({ detail }: CustomEvent<Offer>) =>
          this.composer?.write(detail.text, detail.pin, detail.weight)}
      ></cl-note-offers>`;
  }

  private passOn({ type, detail }: CustomEvent<unknown>): void {
    this.dispatchEvent(new CustomEvent(type, { detail, bubbles: true, composed: true }));
  }

  private renderFolded(word: string, notes: readonly Note[], drafts: readonly Draft[]) {
    if (notes.length === 0) return nothing;
    return html`<details ?open=${notes.some(({ id }) => id === this.chosen)}>
      <summary>${notes.length} ${word}</summary>
      ${this.renderList(notes, drafts)}
    </details>`;
  }

  protected override render() {
    const drafts = readDrafts(this.session.documents.scenes, this.shot);
    const all = this.reader.notes(this.shot);
    const found = findNotes(all, this.query, this.reader.stamps);
    const shown = drafts.find(({ id }) => id === this.draft);
    const here = (note: Note): boolean => !shown || speaksOf(note, shown, drafts);
    const standing = found.filter(isStanding);
    const asks = this.query !== EVERY_NOTE && Object.values(this.query).some((v) => v !== '');
    return html`<section aria-label="Notes">
      ${this.renderComposer(drafts)}
      ${
        all.length < 2 && !asks
          ? nothing
          : html`<details class="find" ?open=${asks}>
              <summary>Find</summary>
              <cl-note-finder
                .query=${this.query} .people=${this.reader.everyone} .found=${found.length}
                @cl-query=${({ detail }: CustomEvent<NoteQuery>) => {
                  this.query = detail;
                }}
              ></cl-note-finder>
            </details>`
      }
      ${all.length === 0 ? html`<p class="pencil">No notes on this shot yet.</p>` : nothing}
      ${
        asks
          ? html`<div>${this.renderList(found, drafts)}</div>`
          : html`
              <div>${this.renderList(standing.filter(here), drafts)}</div>
              ${this.renderFolded(
                'on other drafts',
                standing.filter((note) => !here(note)),
                drafts,
              )}
              ${this.renderFolded(
                'kept on purpose',
                found.filter(({ state }) => state === 'kept'),
                drafts,
              )}
              ${this.renderFolded(
                'parked',
                found.filter(({ state }) => state === 'parked'),
                drafts,
              )}
              ${this.renderFolded(
                'settled',
                found.filter(({ state }) => state === 'settled'),
                drafts,
              )}`
      }
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-notes-panel': NotesPanel;
  }
}
