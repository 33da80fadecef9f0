import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import {
  boardMaps,
  type Draft,
  type Pin,
  readDrafts,
  readNotes,
  readShots,
  SHOT_STATES,
  type Shot,
  speaksOf,
} from '../../core/document/index.ts';
import { selectionPin } from '../bench/selecting.ts';
import { pinLabel } from '../bench/words.ts';
import { setShotState, statesFor, stateWord } from '../board/deeds.ts';
import { Calling } from '../calls/calling.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Held } from '../drafts/drafts-leaf.ts';
import { Printing } from '../record/printing.ts';
import { FollowedDraft, isPictured, type SelectDetail, type Session } from '../session/index.ts';
import { isBig, onRoomChange } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import { leaderFor } from '../together/going.ts';
import { renderBadges } from './badges.ts';
import './beside.ts';
import type { Beside, Leaf } from './beside.ts';
import { boardPath, go, shotPath } from './route.ts';
import { shotPageStyles } from './shot-page.styles.ts';

const NOTHING_SELECTED: SelectDetail = { pin: null, label: '' };

/** What one shows on the bench of a draft, put away when it is left. */
const NOWHERE = { frame: null, selection: null, drag: null, whatIf: null } as const;

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

  /** Note that the address opens. */
  @property({ attribute: false }) noteId: string | null = null;

  @query('cl-beside') private beside!: Beside | null;
  @state() live: FollowedDraft | null = null;
  @state() private selection: SelectDetail = NOTHING_SELECTED;
  @state() private note: string | null = null;
  @state() private benchReady = false;
  @state() private held: Held | null = null;
  /** Presentation size: the drawing takes the whole width, notes come below. */
  @property({ type: Boolean, reflect: true }) big = isBig();
  private readonly calling = new Calling(this);
  private wantedFrame: number | null = null;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Printing(this, () => ({ session: this.session, shots: [this.shotId] }));
    new Follow(this, () => [
      observeMaps(boardMaps(this.session.documents.scenes), update),
      this.session.on('me', update),
      this.session.on('presence', () => this.selectAlong()),
      onRoomChange(() => {
        this.big = isBig();
      }),
    ]);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    // three.js comes with the bench; the board does without it.
    void Promise.all([
      import('../bench/index.ts'),
      import('../drafts/lay-over.ts'),
      import('../drafts/side-by-side.ts'),
    ]).then(() => {
      this.benchReady = true;
    });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.followDraft(null);
    this.session.show({ ...NOWHERE, shot: null, draft: null });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('shotId')) {
      this.selection = NOTHING_SELECTED;
      this.note = null;
      this.held = null;
    }
    const { draft } = this.current();
    this.followDraft(draft?.id ?? null);
    if (changed.has('frameNumber') && this.frameNumber !== null) {
      this.wantedFrame = this.frameNumber;
      this.applyFrame();
    }
    if (changed.has('noteId') && this.noteId !== null) this.openNote(this.noteId);
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
      this.session.show({ ...NOWHERE, shot: this.shotId, draft });
    }
  }

  /** What whom I go with has selected is selected here too. */
  private selectAlong(): void {
    const leader = leaderFor(this.session);
    if (leader === null || this.live === null || leader.draft !== this.live.draft) return;
    const pin = selectionPin(leader.selection);
    if (JSON.stringify(pin) === JSON.stringify(this.selection.pin)) return;
    this.selection = { pin, label: pin === null ? '' : pinLabel(this.live.scene, pin) };
  }

  private readonly handleLive = (): void => {
    this.applyFrame();
    this.requestUpdate();
  };

  /** Goes to the frame that was asked for as soon as the clip is there. */
  private applyFrame(): void {
    if (this.wantedFrame === null || this.live?.motion == null) return;
    const first = this.current().shot?.frames[0] ?? 1;
    this.live.setFrame(this.wantedFrame - first);
    this.wantedFrame = null;
  }

  /** Number of the frame shown, as the shot counts; null where it is one pose. */
  private shownFrame(shot: Shot): number | null {
    return this.live?.motion ? this.live.frame + shot.frames[0] : null;
  }

  /** Another thing was chosen for the note to come: the drawing shows it too. */
  private select(pin: Pin): void {
    this.selection =
      pin.kind === 'shot' || this.live === null
        ? NOTHING_SELECTED
        : { pin, label: pinLabel(this.live.scene, pin) };
  }

  private handleSelect(event: CustomEvent<SelectDetail>): void {
    this.selection = event.detail;
    this.note = null;
  }

  /** Opens the note of an address, or says that it is gone. */
  private openNote(id: string): void {
    const notes = readNotes(this.session.documents.notes, this.shotId);
    if (notes.some((note) => note.id === id)) this.chooseNote(id, { replace: true });
    else this.session.say('The note of this address is not there any more.');
  }

  /**
   * Shows a note's thing, in its own draft where it does not speak of the one shown. `replace`: the address
   * of the note itself led here, and the step back from it must not lead here again.
   */
  private chooseNote(id: string, { replace = false } = {}): void {
    const note = readNotes(this.session.documents.notes, this.shotId).find((n) => n.id === id);
    if (!note) return;
    const { drafts, draft } = this.current();
    this.note = note.id;
    // A note that has come along to the draft that is shown is read there.
    const elsewhere = draft === null || !speaksOf(note, draft, drafts);
    if (elsewhere && drafts.some((other) => other.id === note.draft)) {
      const at = { draft: note.draft, frame: note.frame, ...(replace ? { note: id } : {}) };
      go(shotPath(this.session.review, this.shotId, at), { replace });
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

  private handleState(event: Event, shot: Shot): void {
    const { value } = event.currentTarget as HTMLSelectElement;
    const next = SHOT_STATES.find((known) => known === value);
    if (!next) return;
    const retake = setShotState(this.session, shot, next, this.live?.draft ?? null);
    if (retake === null) return;
    this.session.say('A new draft for the retake. Notes that still stand have come along.');
    go(shotPath(this.session.review, shot.id, { draft: retake }));
  }

  /** On a small screen the parts lie below each other. */
  private goTo(part: string): void {
    this.renderRoot.querySelector(part)?.scrollIntoView({ block: 'start' });
  }

  /** Shows two drafts together, and goes there where the drawing is not in sight: it lies above the leaf. */
  private async hold(held: Held): Promise<void> {
    this.held = held;
    await this.updateComplete;
    const { top, bottom } = this.renderRoot.querySelector('.bench')!.getBoundingClientRect();
    if (top < 0 || bottom > window.innerHeight) this.goTo('.bench');
  }

  private goToLeaf(leaf: Leaf): void {
    if (this.beside !== null) this.beside.leaf = leaf;
    this.goTo('cl-beside');
  }

  private renderDrafts(drafts: readonly Draft[], draft: Draft) {
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
      ${draft.sealed ? html`<span>sealed</span>` : nothing}
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
      ${draft === null ? nothing : this.renderDrafts(drafts, draft)}
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

  private renderHeld({ first, second, how }: Held) {
    const frame = this.live?.frame ?? 0;
    return html`<div class="held">
      <p>
        <button
          @click=${() => {
            this.held = null;
          }}
        >Back to the bench</button>
      </p>
      ${
        how === 'over'
          ? html`<cl-lay-over .session=${this.session} .first=${first} .second=${second} .frame=${frame}></cl-lay-over>`
          : html`<cl-side-by-side .session=${this.session} .first=${first} .second=${second} .frame=${frame}></cl-side-by-side>`
      }
    </div>`;
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
      ${live === null ? nothing : html`<div class="badges ${live.motion === null || isPictured(live) ? '' : 'moving'}">${renderBadges(live)}</div>`}
      <div class="work">
        <div class="bench">
          ${
            this.held !== null && !live?.hidden && this.benchReady
              ? this.renderHeld(this.held)
              : live !== null && this.benchReady
                ? keyed(
                    live.draft,
                    html`<cl-bench
                    .session=${session}
                    .live=${live}
                    .selection=${this.selection.pin}
                    .note=${this.note}
                    .calling=${this.calling}
                    @cl-select=${this.handleSelect}
                    @cl-note=${(event: CustomEvent<{ note: string }>) => this.chooseNote(event.detail.note)}
                  ></cl-bench>`,
                  )
                : html`<p class="pencil wait">Setting the bench up\u2026</p>`
          }
        </div>
        <cl-beside
          .session=${session}
          .calling=${this.calling}
          .shot=${shot}
          .drafts=${drafts}
          .draft=${draft?.id ?? ''}
          .live=${live}
          .frame=${this.shownFrame(shot)}
          .selection=${this.selection}
          .chosen=${this.note}
          @cl-choose-note=${(event: CustomEvent<string>) => this.chooseNote(event.detail)}
          @cl-about=${({ detail }: CustomEvent<Pin>) => this.select(detail)}
          @cl-hold=${({ detail }: CustomEvent<Held>) => void this.hold(detail)}
        ></cl-beside>
      </div>
      <nav class="parts" aria-label="Parts of this page">
        <button @click=${() => this.goTo('.bench')}>Drawing</button>
        <button @click=${() => this.goToLeaf('notes')}>Notes</button>
        <button @click=${() => this.goToLeaf('drafts')}>Drafts</button>
      </nav>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-shot-page': ShotPage;
  }
}
