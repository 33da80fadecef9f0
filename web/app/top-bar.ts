import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { boardMaps, isFor, isStanding, readShots, readTitle } from '../../core/document/index.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import { NotesReader } from '../notes/notes-reader.ts';
import type { Other, SavedState, Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { isBig, isDark, onRoomChange, setBig, setRoom } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import './help-dialog.ts';
import './people-dialog.ts';
import { boardPath, notesPath, shotPath } from './route.ts';
import { topBarStyles } from './top-bar.styles.ts';

const SAVED_WORDS: Readonly<Record<SavedState, string>> = {
  saved: 'saved',
  saving: 'saving',
  offline: 'offline: kept here',
};

// Names beyond this many are counted; the people dialog lists them all.
const NAMES_SHOWN = 5;

/** The head of every page: review, who is here, saved state, undo, room, help. */
@customElement('cl-top-bar')
export class TopBar extends LitElement {
  static override styles = [shared, topBarStyles];

  @property({ attribute: false }) session!: Session;
  /** Shot on the bench, or null on the board. */
  @property({ attribute: false }) shot: string | null = null;

  /** The board is shown; everywhere else the title leads back to it. */
  @property({ type: Boolean }) board = true;

  @state() private menuOpen = false;
  @query('cl-help-dialog') private help!: HTMLElement & { show(): void };
  @query('cl-people-dialog') private people!: HTMLElement & { show(): void };

  private readonly notes = new NotesReader(this, () => this.session);

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => [
      ...(['me', 'saved', 'undo', 'presence'] as const).map((type) =>
        this.session.on(type, update),
      ),
      observeMaps(boardMaps(this.session.documents.scenes), update),
      onRoomChange(update),
    ]);
  }

  private toggleMenu(): void {
    this.menuOpen = !this.menuOpen;
  }

  private renderPerson(other: Other, codes: ReadonlyMap<string, string>) {
    const { review } = this.session;
    const code = other.shot === null ? undefined : codes.get(other.shot);
    return html`<li>
      ${personMark(other.ink)}
      <span>${other.name}</span>
      ${
        code === undefined || other.shot === null
          ? html`<span class="pencil">on the board</span>`
          : html`<span class="pencil">on <a href=${shotPath(review, other.shot, { draft: other.draft })}>${code}</a></span>`
      }
    </li>`;
  }

  private renderHere() {
    const seen = new Set<string>([this.session.me.id]);
    // One person with two windows is one person here.
    const others = this.session.others().filter(({ person }) => {
      if (seen.has(person)) return false;
      seen.add(person);
      return true;
    });
    const codes = new Map(
      readShots(this.session.documents.scenes).map((shot) => [shot.id, shot.code] as const),
    );
    const { me } = this.session;
    const rest = others.length - NAMES_SHOWN;
    return html`<section class="here" aria-label="Here now">
      <h2>Here now</h2>
      <ul>
        <li>
          ${personMark(me.ink)}
          <button @click=${() => this.people.show()}>${me.name}</button>
          <span class="pencil">you, ${me.role}</span>
        </li>
        ${others.slice(0, NAMES_SHOWN).map((other) => this.renderPerson(other, codes))}
        ${rest > 0 ? html`<li class="pencil">and ${rest} more</li>` : nothing}
      </ul>
    </section>`;
  }

  /** The way to all notes, and to those that wait for me. */
  private renderNotes() {
    const { review, me } = this.session;
    const mine = this.notes.notes().filter((note) => isStanding(note) && isFor(note, me.id));
    return html`<a href=${notesPath(review)}>All notes</a>
      ${
        mine.length === 0
          ? nothing
          : html`<a href=${notesPath(review, { to: me.id, state: 'standing' })}>${mine.length} for you</a>`
      }`;
  }

  private renderDeeds() {
    const { session } = this;
    const writes = session.mayWrite('scenes') || session.mayWrite('notes');
    return html`
      ${this.renderNotes()}
      ${
        writes
          ? html`
            <button ?disabled=${!session.canUndo} @click=${() => session.undo()}>Undo</button>
            <button ?disabled=${!session.canRedo} @click=${() => session.redo()}>Redo</button>`
          : nothing
      }
      <button @click=${() => this.people.show()}>
        ${session.me.role === 'lead' ? 'People and invites' : 'People'}
      </button>
      <button aria-pressed=${isDark()} @click=${() => setRoom(isDark() ? 'light' : 'dark')}>
        Dark room
      </button>
      <button aria-pressed=${isBig()} @click=${() => setBig(!isBig())}>Big type</button>
      <button @click=${() => this.help.show()}>Help</button>
    `;
  }

  protected override render() {
    const { session } = this;
    const { saved } = session;
    return html`
      <header>
        <p class="title">
          ${
            this.shot === null && this.board
              ? 'Counterlean'
              : html`<a href=${boardPath(session.review)}>${readTitle(session.documents.scenes)}</a>`
          }
        </p>
        <p class="saved ${saved}" role="status">${SAVED_WORDS[saved]}</p>
        <button class="menu" aria-expanded=${this.menuOpen} aria-controls="deeds" @click=${this.toggleMenu}>
          More
        </button>
        <div class="fold ${this.menuOpen ? 'open' : ''}" id="deeds">
          ${this.renderHere()}
          <div class="deeds">${this.renderDeeds()}</div>
        </div>
      </header>
      <cl-help-dialog></cl-help-dialog>
      <cl-people-dialog .session=${session}></cl-people-dialog>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-top-bar': TopBar;
  }
}
