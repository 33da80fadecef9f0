import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import {
  boardMaps,
  type Draft,
  readDrafts,
  readNotes,
  readShots,
  SHOT_STATES,
  type Shot,
  setDraftTitle,
} from '../../core/document/index.ts';
import '../badge/badge.ts';
import { pinLabel } from '../bench/words.ts';
import { newDraft, setSealed, setShotState, statesFor, stateWord } from '../board/deeds.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import '../notes/notes-panel.ts';
import { FollowedDraft, type SelectDetail, type Session } from '../session/index.ts';
import { isBig, onRoomChange } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import { boardPath, go, shotPath } from './route.ts';
import { shotPageStyles } from './shot-page.styles.ts';

const NOTHING_SELECTED: SelectDetail = { pin: null, label: '' };

/** One shot: head with drafts and state, badge, bench, notes. */
@customElement('cl-shot-page')
export class ShotPage extends LitElement {
  static override styles = [shared, shotPageStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shotId = '';
  /** Draft that the address asks for; null for the current one. */
  @property({ attribute: false }) draftId: string | null = null;
  /** Frame number that the address asks for. */
  @property({ attribute: false }) frameNumber: number | null = null;

  @state() private live: FollowedDraft | null = null;
  @state() private selection: SelectDetail = NOTHING_SELECTED;
  @state() private note: string | null = null;
  @state() private benchReady = false;
  @state() private naming = false;
  /** Presentation size: the drawing takes the whole width, notes come below. */
  @property({ type: Boolean, reflect: true }) big = isBig();
  private wantedFrame: number | null = null;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => [
      observeMaps(boardMaps(this.session.documents.scenes), update),
      this.session.on('me', update),
      onRoomChange(() => {
        this.big = isBig();
      }),
    ]);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    // three.js comes with the bench; the board does without it.
    void import('../bench/index.ts').then(() => {
      this.benchReady = true;
    });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.followDraft(null);
    this.session.show({ shot: null, draft: null, frame: null, selection: null, drag: null });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('shotId')) {
      this.selection = NOTHING_SELECTED;
      this.note = null;
    }
    const { draft } = this.current();
    this.followDraft(draft?.id ?? null);
    if (changed.has('frameNumber') && this.frameNumber !== null) {
      this.wantedFrame = this.frameNumber;
      this.applyFrame();
    }
  }

  private current(): { shot: Shot | null; drafts: readonly Draft[]; draft: Draft | null } {
    const doc = this.session.documents.scenes;
    const shot = readShots(doc).find(({ id }) => id === this.shotId) ?? null;
    const drafts = shot === null ? [] : readDrafts(doc, shot.id);
    const asked = drafts.find(({ id }) => id === this.draftId);
    // Whoever looks at a draft stays with it when somebody adds a newer one.
    const followed = drafts.find(({ id }) => id === this.live?.draft);
    return { shot, drafts, draft: asked ?? followed ?? drafts.at(-1) ?? null };
  }

  private followDraft(draft: string | null): void {
    if ((this.live?.draft ?? null) === draft) return;
    this.live?.removeEventListener('change', this.handleLive);
    this.live?.close();
    this.live = draft === null ? null : new FollowedDraft(this.session, draft);
    this.live?.addEventListener('change', this.handleLive);
    if (draft !== null) {
      this.selection = NOTHING_SELECTED;
      this.session.show({ shot: this.shotId, draft, frame: null, selection: null, drag: null });
    }
  }

  private readonly handleLive = (): void => {
    this.applyFrame();
    this.requestUpdate();
  };

  /** Goes to the frame that was asked for as soon as the clip is there. */
  private applyFrame(): void {
    if (this.wantedFrame === null || this.live?.clip.kind !== 'ready') return;
    const first = this.current().shot?.frames[0] ?? 1;
    this.live.setFrame(this.wantedFrame - first);
    this.wantedFrame = null;
  }

  /** Number of the frame shown, as the shot counts; null where it is one pose. */
  private shownFrame(shot: Shot): number | null {
    return this.live?.clip.kind === 'ready' ? this.live.frame + shot.frames[0] : null;
  }

  private handleSelect(event: CustomEvent<SelectDetail>): void {
    this.selection = event.detail;
    this.note = null;
  }

  private chooseNote(id: string): void {
    const note = readNotes(this.session.documents.notes, this.shotId).find((n) => n.id === id);
    if (!note) return;
    const { drafts, draft } = this.current();
    this.note = note.id;
    if (note.draft !== draft?.id && drafts.some((other) => other.id === note.draft)) {
      go(shotPath(this.session.review, this.shotId, { draft: note.draft, frame: note.frame }));
      this.draftId = note.draft;
      this.followDraft(note.draft);
    } else if (note.frame !== null) {
      this.wantedFrame = note.frame;
      this.applyFrame();
    }
    const pin = note.pin.kind === 'shot' ? null : note.pin;
    const label = pin === null || this.live === null ? '' : pinLabel(this.live.scene, pin);
    this.selection = { pin, label };
  }

  private handleDraftChange(event: Event): void {
    const draft = (event.currentTarget as HTMLSelectElement).value;
    go(shotPath(this.session.review, this.shotId, { draft }));
  }

  private handleNewDraft(shot: Shot, draft: Draft): void {
    const id = newDraft(this.session, shot, draft.id);
    if (id === null) return;
    go(shotPath(this.session.review, shot.id, { draft: id }));
    this.session.say(
      `A new draft, from draft ${draft.number}. Draft ${draft.number} stays as it is.`,
    );
  }

  private handleNaming(event: SubmitEvent, draft: Draft): void {
    event.preventDefault();
    const title = String(new FormData(event.currentTarget as HTMLFormElement).get('title')).trim();
    if (title !== draft.title) {
      this.session.edit('scenes', `named draft ${draft.number}`, (doc, origin) =>
        setDraftTitle(doc, draft.id, title, origin),
      );
    }
    this.naming = false;
  }

  private handleState(event: Event, shot: Shot): void {
    const { value } = event.currentTarget as HTMLSelectElement;
    const next = SHOT_STATES.find((known) => known === value);
    if (next) setShotState(this.session, shot, next, this.live?.draft ?? null);
  }

  /** On a small screen the parts lie below each other. */
  private goTo(part: string): void {
    this.renderRoot.querySelector(part)?.scrollIntoView({ block: 'start' });
  }

  private renderDrafts(shot: Shot, drafts: readonly Draft[], draft: Draft) {
    const writes = this.session.mayWrite('scenes');
    const numbers = new Map(drafts.map(({ id, number }) => [id, number] as const));
    const name = ({ number, title, from }: Draft): string => {
      const origin = from === null ? undefined : numbers.get(from);
      return `Draft ${number}${title === '' ? '' : `: ${title}`}${origin === undefined ? '' : ` (from ${origin})`}`;
    };
    return html`
      <label class="draft">
        <span class="hidden-text">Draft</span>
        <select @change=${this.handleDraftChange}>
          ${drafts.map(
            (item) =>
              html`<option value=${item.id} .selected=${item.id === draft.id}>${name(item)}</option>`,
          )}
        </select>
      </label>
      ${
        !writes
          ? nothing
          : this.naming
            ? html`<form @submit=${(event: SubmitEvent) => this.handleNaming(event, draft)}>
                <label>
                  <span class="hidden-text">What changed in this draft</span>
                  <input name="title" .value=${draft.title} maxlength="120" placeholder="what changed" />
                </label>
                <button type="submit">Name it</button>
              </form>`
            : html`
                ${
                  draft.sealed
                    ? html`<span>sealed</span>`
                    : html`<button
                        @click=${() => {
                          this.naming = true;
                        }}
                      >Name this draft</button>`
                }
                ${
                  this.session.me.role === 'lead' && draft.sealed
                    ? html`<button @click=${() => setSealed(this.session, draft, false)}>Unseal</button>`
                    : nothing
                }
                <button @click=${() => this.handleNewDraft(shot, draft)}>New draft from this</button>
              `
      }
    `;
  }

  private renderHead(shot: Shot, drafts: readonly Draft[], draft: Draft | null) {
    const { session } = this;
    const row = readShots(session.documents.scenes).filter((s) => s.sequence === shot.sequence);
    const at = row.findIndex(({ id }) => id === shot.id);
    const link = (other: Shot | undefined, word: string) =>
      other
        ? html`<a href=${shotPath(session.review, other.id)}>${word} ${other.code}</a>`
        : nothing;
    return html`<header>
      <h1>${shot.code} <span class="title">${shot.title}</span></h1>
      ${draft === null ? nothing : this.renderDrafts(shot, drafts, draft)}
      ${
        session.mayWrite('scenes')
          ? html`<label class="state">
              <span class="hidden-text">State of the shot</span>
              <select @change=${(event: Event) => this.handleState(event, shot)}>
                ${statesFor(session, shot).map(
                  (item) =>
                    html`<option value=${item} .selected=${item === shot.state}>${stateWord(item)}</option>`,
                )}
              </select>
            </label>`
          : html`<span>${stateWord(shot.state)}</span>`
      }
      <nav aria-label="Other shots">
        <a href=${boardPath(session.review)}>Board</a>
        ${link(row[at - 1], 'before')} ${link(row[at + 1], 'after')}
      </nav>
    </header>`;
  }

  private renderBadges(live: FollowedDraft) {
    const { groups, figures } = live.report;
    if (live.problem !== null) {
      return html`<p role="alert">This draft cannot be weighed: ${live.problem}</p>`;
    }
    if (groups.length === 0) {
      return html`<p class="pencil">Nothing to weigh yet: add a figure on the bench.</p>`;
    }
    const several = figures.length > 1;
    const nameOf = (id: string): string =>
      live.scene.figures.find((figure) => figure.id === id)?.name ?? '';
    return html`
      ${groups.map(
        (group) => html`<cl-badge
          announce
          .reading=${group}
          .subject=${groups.length > 1 || several ? group.members.map(nameOf).filter(Boolean).join(' and ') : ''}
        ></cl-badge>`,
      )}
      ${
        several
          ? html`<ul class="alone" aria-label="Each figure alone">
              ${figures.map(
                (figure) => html`<li>
                  <span>${nameOf(figure.figure)} alone</span>
                  <cl-badge compact .reading=${figure}></cl-badge>
                </li>`,
              )}
            </ul>`
          : nothing
      }
    `;
  }

  protected override render() {
    const { shot, drafts, draft } = this.current();
    const { live, session } = this;
    if (shot === null) {
      return html`<p class="missing">
        This shot is not on the board any more. <a href=${boardPath(session.review)}>Go to the board</a>.
      </p>`;
    }
    return html`
      ${this.renderHead(shot, drafts, draft)}
      ${live === null ? nothing : html`<div class="badges">${this.renderBadges(live)}</div>`}
      <div class="work">
        <div class="bench">
          ${
            live !== null && this.benchReady
              ? keyed(
                  live.draft,
                  html`<cl-bench
                    .session=${session}
                    .live=${live}
                    .selection=${this.selection.pin}
                    .note=${this.note}
                    @cl-select=${this.handleSelect}
                    @cl-note=${(event: CustomEvent<{ note: string }>) => this.chooseNote(event.detail.note)}
                  ></cl-bench>`,
                )
              : html`<p class="pencil wait">Setting the bench up\u2026</p>`
          }
        </div>
        <cl-notes-panel
          .session=${session}
          .shot=${shot.id}
          .draft=${draft?.id ?? ''}
          .frame=${this.shownFrame(shot)}
          .scene=${live?.scene ?? null}
          .selection=${this.selection}
          .chosen=${this.note}
          @cl-choose-note=${(event: CustomEvent<string>) => this.chooseNote(event.detail)}
        ></cl-notes-panel>
      </div>
      <nav class="parts" aria-label="Parts of this page">
        <button @click=${() => this.goTo('.bench')}>Drawing</button>
        <button @click=${() => this.goTo('cl-notes-panel')}>Notes</button>
      </nav>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-shot-page': ShotPage;
  }
}
