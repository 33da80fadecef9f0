import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import {
  boardMaps,
  type Draft,
  EVERY_NOTE,
  findNotes,
  type Note,
  type NoteQuery,
  type NoteReading,
  readDrafts,
  readHistory,
  readScene,
  readSequences,
  readShots,
  recordMap,
  type Shot,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { boardPath, go, notesPath, shotPath } from '../app/route.ts';
import { pinLabel } from '../bench/words.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import './note-finder.ts';
import './note-item.ts';
import { notesPageStyles } from './notes.styles.ts';
import { NotesReader } from './notes-reader.ts';

/** The notes of all shots, found by text, person, state, verdict and shot; the address keeps what for. */
@customElement('cl-notes-page')
export class NotesPage extends LitElement {
  static override styles = [shared, notesPageStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) query: NoteQuery = EVERY_NOTE;

  private readonly reader = new NotesReader(this, () => this.session);

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => [
      observeMaps(boardMaps(this.session.documents.scenes), update),
      observeMaps([recordMap(this.session.documents.record, 'history')], update),
      this.session.on('me', update),
    ]);
  }

  private find(query: NoteQuery): void {
    go(notesPath(this.session.review, query), { replace: true });
  }

  private open(note: Note): void {
    go(shotPath(this.session.review, note.shot, { note: note.id }));
  }

  /** Shots in board order, which is that of their sequences first. */
  private shotsInOrder(): Shot[] {
    const { scenes } = this.session.documents;
    const rows = readSequences(scenes).map(({ id }) => id);
    return readShots(scenes).sort((a, b) => rows.indexOf(a.sequence) - rows.indexOf(b.sequence));
  }

  private renderShot(shot: Shot, notes: readonly Note[]) {
    const { scenes, record } = this.session.documents;
    const drafts = readDrafts(scenes, shot.id);
    const newest = drafts.at(-1);
    const scene = newest === undefined ? null : readScene(scenes, newest.id);
    const recorded = newest === undefined ? undefined : readHistory(record).get(newest.id);
    const now: NoteReading | null = recorded === undefined ? null : { ...recorded, centre: null };
    return html`<section aria-label="Notes on ${shot.code}">
      <h2>
        <a href=${shotPath(this.session.review, shot.id)}>${shot.code}</a>
        <span>${shot.title}</span>
      </h2>
      ${repeat(
        notes,
        ({ id }) => id,
        (note) =>
          this.renderNote(note, { scene, drafts, now, clip: (newest?.clip ?? null) !== null }),
      )}
    </section>`;
  }

  private renderNote(
    note: Note,
    at: {
      readonly scene: Scene | null;
      readonly drafts: readonly Draft[];
      readonly now: NoteReading | null;
      /** The newest draft plays a clip, whose record is that of its first frame. */
      readonly clip: boolean;
    },
  ) {
    const { reader } = this;
    const number = at.drafts.find(({ id }) => id === note.draft)?.number;
    const place = [
      number === undefined ? 'a draft that is gone' : `draft ${number}`,
      ...(note.frame === null ? [] : [`frame ${note.frame}`]),
    ].join(', ');
    return html`<cl-note-item
      .session=${this.session}
      .note=${note}
      .number=${reader.numberOf(note.id)}
      .about=${at.scene === null ? 'a part of the drawing' : pinLabel(at.scene, note.pin)}
      .place=${place}
      .now=${at.clip && note.frame !== null ? null : at.now}
      .stamps=${reader.stamps}
      .people=${reader.people}
      .drafts=${at.drafts}
      @cl-choose-note=${() => this.open(note)}
    ></cl-note-item>`;
  }

  protected override render() {
    const { session, reader, query } = this;
    const notes = findNotes(reader.notes(), query, reader.stamps);
    const shots = this.shotsInOrder();
    const forMe = query.to === session.me.id;
    return html`<div class="page">
      <header>
        <h1>Notes</h1>
        <a href=${boardPath(session.review)}>Board</a>
        <button
          aria-pressed=${forMe}
          @click=${() => this.find({ ...query, to: forMe ? '' : session.me.id })}
        >For you</button>
      </header>
      <cl-note-finder
        .query=${query} .people=${reader.everyone} .shots=${shots} .found=${notes.length}
        @cl-query=${({ detail }: CustomEvent<NoteQuery>) => this.find(detail)}
      ></cl-note-finder>
      ${
        notes.length === 0
          ? html`<p class="pencil">${
              reader.notes().length === 0
                ? 'No notes yet. Open a shot, select what you mean and write what you wish.'
                : 'No note fits. Ask for less, or show all.'
            }</p>`
          : nothing
      }
      ${shots.map((shot) => {
        const own = notes.filter((note) => note.shot === shot.id);
        return own.length === 0 ? nothing : this.renderShot(shot, own);
      })}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-notes-page': NotesPage;
  }
}
