import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { boardMaps, isFor, isStanding, readTitle } from '../../core/document/index.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import { NotesReader } from '../notes/notes-reader.ts';
import type { SavedState, Session } from '../session/index.ts';
import '../kept/kept-work.ts';
import { isBig, isDark, onRoomChange, setBig, setRoom } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import '../together/here-now.ts';
import './help-dialog.ts';
import './people-dialog.ts';
import { boardPath, notesPath } from './route.ts';
import { topBarStyles } from './top-bar.styles.ts';

const SAVED_WORDS: Readonly<Record<SavedState, string>> = {
  saved: 'saved',
  saving: 'saving',
  offline: 'offline: kept here',
};

/**
 * The head of every page: review, who is here, saved state, undo, room, help. One row at any width, so
 * that no drawing below it jumps when somebody comes or goes; the slot is for with whom I go.
 */
@customElement('cl-top-bar')
export class TopBar extends LitElement {
  static override styles = [shared, topBarStyles];

  @property({ attribute: false }) session!: Session;
  /** Shot on the bench, or null on the board. */
  @property({ attribute: false }) shot: string | null = null;

  /** The board is shown; everywhere else the title leads back to it. */
  @property({ type: Boolean }) board = true;

  @state() private menuOpen = false;
  @query('.menu') private menu!: HTMLElement;
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

  private readonly handleKey = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || !this.menuOpen) return;
    this.menuOpen = false;
    this.menu.focus();
  };

  private open(dialog: { show(): void }): void {
    this.menuOpen = false;
    dialog.show();
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
      <cl-kept-work .session=${session}></cl-kept-work>
    `;
  }

  private renderRest() {
    return html`
      <button @click=${() => this.open(this.people)}>
        ${this.session.me.role === 'lead' ? 'People and invites' : 'People'}
      </button>
      <button aria-pressed=${isDark()} @click=${() => setRoom(isDark() ? 'light' : 'dark')}>
        Dark room
      </button>
      <button aria-pressed=${isBig()} @click=${() => setBig(!isBig())}>Big type</button>
      <button @click=${() => this.open(this.help)}>Help</button>
    `;
  }

  protected override render() {
    const { session, menuOpen } = this;
    const { saved } = session;
    const open = menuOpen ? 'open' : '';
    return html`
      <header class=${session.showing.with === null ? '' : 'along'}>
        <p class="title">
          ${
            this.shot === null && this.board
              ? 'Counterlean'
              : html`<a href=${boardPath(session.review)}>${readTitle(session.documents.scenes)}</a>`
          }
        </p>
        <p class="saved ${saved}" role="status">${SAVED_WORDS[saved]}</p>
        <slot></slot>
        <button class="menu" aria-expanded=${menuOpen} aria-controls="here near rest" @click=${this.toggleMenu}>
          More
        </button>
        <cl-here-now
          id="here"
          class="fold ${open}"
          .session=${session}
          @cl-people=${() => this.people.show()}
        ></cl-here-now>
        <div id="near" class="deeds fold ${open}">${this.renderDeeds()}</div>
        <div id="rest" class="deeds rest ${open}" @keydown=${this.handleKey}>${this.renderRest()}</div>
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
