import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { mainGroup } from '../../core/balance/index.ts';
import {
  assignedFor,
  assignedName,
  type Draft,
  isDay,
  isOverdue,
  type Person,
  type Recorded,
  SHOT_STATES,
  type Shot,
} from '../../core/document/index.ts';
import { drawCard } from '../../core/drawing/index.ts';
import { shotPath } from '../app/route.ts';
import { FollowedDraft, type Other, type Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { dayWord, todayHere } from '../styles/when.ts';
import { cardBadge, cardBadgeStyles } from './card-badge.ts';
import {
  type Direction,
  dropShot,
  duplicateShot,
  moveShot,
  newDraft,
  renameShot,
  statesFor,
  stateWord,
} from './deeds.ts';
import { drawLater } from './draw-later.ts';
import { type DraftMargin, marginLine } from './margin-line.ts';
import { shotCardStyles } from './shot-card.styles.ts';
import { assignShots, setDue, setStates } from './shot-deeds.ts';

const ARROWS: Readonly<Record<string, Direction>> = {
  ArrowLeft: 'left',
  ArrowRight: 'right',
  ArrowUp: 'up',
  ArrowDown: 'down',
};

/** So many people on a shot are named; of more, the rest is counted. */
const PEOPLE_NAMED = 4;

/**
 * One shot on the board: drawing of its current draft, code, state, badge, open notes, margin over
 * its drafts, who is on it; and what can be done to it.
 *
 * The draft is followed and drawn only while the card is near the screen.
 */
@customElement('cl-shot-card')
export class ShotCard extends LitElement {
  static override styles = [shared, shotCardStyles, cardBadgeStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot!: Shot;
  /** Its drafts by number; the last is the current one. */
  @property({ attribute: false }) drafts: readonly Draft[] = [];
  @property({ attribute: false }) history: ReadonlyMap<string, Recorded> = new Map();
  @property({ type: Number }) openNotes = 0;
  @property({ attribute: false }) people: readonly Other[] = [];
  /** Everybody of the review by id. */
  @property({ attribute: false }) names: ReadonlyMap<string, Person> = new Map();
  /** Picked, to be changed together with others. */
  @property({ type: Boolean, reflect: true }) picked = false;

  @state() private live: FollowedDraft | null = null;
  @state() private drawing = '';
  @state() private changing = false;
  private near = false;
  /** The scene that `drawing` shows, as text. */
  private drawn = '';
  private observer: IntersectionObserver | undefined;

  override connectedCallback(): void {
    super.connectedCallback();
    this.observer = new IntersectionObserver(
      ([entry]) => {
        this.near = entry?.isIntersecting ?? false;
        this.followDraft();
      },
      { rootMargin: '300px' },
    );
    this.observer.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.observer?.disconnect();
    this.near = false;
    this.followDraft();
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('drafts')) this.followDraft();
  }

  /** Opens the fields for code and title, with the code marked; used right after adding a shot. */
  async startRenaming(): Promise<void> {
    this.changing = true;
    await this.updateComplete;
    const code = this.renderRoot.querySelector<HTMLInputElement>('input[name="code"]');
    code?.focus();
    code?.select();
  }

  override focus(): void {
    this.renderRoot.querySelector<HTMLElement>('a.drawing')?.focus();
  }

  private followDraft(): void {
    const draft = this.near ? (this.drafts.at(-1)?.id ?? null) : null;
    if ((this.live?.draft ?? null) === draft) return;
    this.live?.removeEventListener('change', this.handleLive);
    this.live?.close();
    this.live = draft === null ? null : new FollowedDraft(this.session, draft);
    this.live?.addEventListener('change', this.handleLive);
    drawLater(this, this.draw);
  }

  private readonly handleLive = (): void => {
    drawLater(this, this.draw);
    this.requestUpdate();
  };

  private readonly draw = (): void => {
    const { live } = this;
    if (live === null) return;
    // A card that comes back to the screen mostly shows what it showed before.
    const scene = `${JSON.stringify(live.scene)} ${live.hidden}`;
    if (scene === this.drawn) return;
    this.drawn = scene;
    this.drawing = drawCard(live.scene, live.report, { theme: 'page' });
  };

  private handleKey(event: KeyboardEvent): void {
    if (!this.session.mayWrite('scenes') || event.ctrlKey || event.metaKey) return;
    const direction = ARROWS[event.key];
    const state = event.altKey ? undefined : SHOT_STATES[Number(event.key) - 1];
    if (event.altKey && direction !== undefined) this.move(direction);
    else if (!event.altKey && event.key === ' ') this.pick(event.shiftKey);
    else if (state !== undefined) this.tell('cl-state', { shot: this.shot.id, state });
    else return;
    event.preventDefault();
  }

  private handlePick(event: MouseEvent): void {
    this.pick(event.shiftKey);
  }

  private pick(range: boolean): void {
    this.tell('cl-pick', { shot: this.shot.id, range });
  }

  private tell(type: string, detail: unknown): void {
    this.dispatchEvent(new CustomEvent(type, { detail, bubbles: true, composed: true }));
  }

  private move(direction: Direction): void {
    if (moveShot(this.session, this.shot, direction)) {
      this.session.say(`${this.shot.code} moved ${direction}.`);
      this.tell('cl-moved', this.shot.id);
    } else {
      this.session.say(`${this.shot.code} cannot go further ${direction}.`);
    }
  }

  private handleRename(event: SubmitEvent): void {
    event.preventDefault();
    const fields = new FormData(event.currentTarget as HTMLFormElement);
    const code = String(fields.get('code') ?? '').trim();
    const title = String(fields.get('title') ?? '').trim();
    if (code === '') {
      this.session.say('A shot needs a code.');
      return;
    }
    if (code !== this.shot.code || title !== this.shot.title) {
      renameShot(this.session, this.shot, code, title);
    }
    this.changing = false;
    void this.updateComplete.then(() => this.focus());
  }

  private handleState(event: Event): void {
    const { value } = event.currentTarget as HTMLSelectElement;
    const state = SHOT_STATES.find((known) => known === value);
    if (state) setStates(this.session, [this.shot], state, () => this.drafts.at(-1)?.id ?? null);
  }

  private handleAssign(event: Event): void {
    const name = (event.currentTarget as HTMLInputElement).value;
    const assigned = assignedFor(name, this.names);
    if (assigned !== this.shot.assigned) assignShots(this.session, [this.shot], assigned, name);
  }

  private handleDue(event: Event): void {
    const { value } = event.currentTarget as HTMLInputElement;
    if (value === '' || isDay(value)) setDue(this.session, [this.shot], value || null);
  }

  private handleDragStart(event: DragEvent): void {
    event.dataTransfer?.setData('application/x-counterlean-shot', this.shot.id);
    if (event.dataTransfer) event.dataTransfer.effectAllowed = 'move';
    this.toggleAttribute('lifted', true);
  }

  private handleNewDraft(): void {
    const source = this.drafts.at(-1);
    if (!source) return;
    newDraft(this.session, this.shot, source.id);
    this.session.say(
      `Draft ${source.number + 1} of ${this.shot.code} starts from draft ${source.number}.`,
    );
  }

  private margins(): DraftMargin[] {
    return this.drafts.flatMap((draft): DraftMargin[] => {
      const now = this.live?.draft === draft.id ? mainGroup(this.live.report) : undefined;
      if (now) {
        return [
          { number: draft.number, verdict: now.verdict, margin: now.margin?.distance ?? null },
        ];
      }
      const recorded = this.history.get(draft.id);
      return recorded
        ? [{ number: draft.number, verdict: recorded.verdict, margin: recorded.margin }]
        : [];
    });
  }

  private renderTerms() {
    const { shot } = this;
    const name = assignedName(shot, this.names);
    const late = isOverdue(shot, todayHere());
    return html`
      ${name === null ? nothing : html`<span>${name}</span>`}
      ${
        shot.due === null
          ? nothing
          : html`<span class=${late ? 'late' : ''}>${late ? 'was due' : 'due'} ${dayWord(shot.due)}</span>`
      }
    `;
  }

  private renderChange() {
    if (!this.changing) return nothing;
    const { shot } = this;
    const directions: readonly Direction[] = ['left', 'right', 'up', 'down'];
    return html`<div class="change">
      <form @submit=${this.handleRename}>
        <label>Code <input name="code" .value=${shot.code} maxlength="64" required /></label>
        <label>Title <input name="title" .value=${shot.title} maxlength="120" /></label>
        <button type="submit">Rename</button>
      </form>
      <label>
        State
        <select @change=${this.handleState}>
          ${statesFor(this.session, shot).map(
            (item) =>
              html`<option value=${item} .selected=${item === shot.state}>${stateWord(item)}</option>`,
          )}
        </select>
      </label>
      <label>
        Assigned to
        <input
          list="people" maxlength="80" autocomplete="off"
          .value=${assignedName(shot, this.names) ?? ''}
          @change=${this.handleAssign}
        />
        <datalist id="people">
          ${[...this.names.values()].map(({ name }) => html`<option value=${name}></option>`)}
        </datalist>
      </label>
      <label>Due <input type="date" .value=${shot.due ?? ''} @change=${this.handleDue} /></label>
      <p class="row">
        ${directions.map(
          (direction) =>
            html`<button @click=${() => this.move(direction)}>Move ${direction}</button>`,
        )}
      </p>
      <p class="row">
        <button @click=${this.handleNewDraft}>New draft</button>
        <button @click=${() => duplicateShot(this.session, shot)}>Duplicate</button>
        <button @click=${() => dropShot(this.session, shot)}>Remove</button>
      </p>
    </div>`;
  }

  protected override render() {
    const { shot, session } = this;
    const writes = session.mayWrite('scenes');
    const draft = this.drafts.at(-1);
    return html`<article aria-label="Shot ${shot.code}">
      <a
        class="drawing"
        href=${shotPath(session.review, shot.id)}
        draggable=${writes ? 'true' : 'false'}
        @dragstart=${this.handleDragStart}
        @dragend=${() => this.toggleAttribute('lifted', false)}
        @keydown=${this.handleKey}
      >
        <span class="hidden-text">Put ${shot.code} ${shot.title} on the bench</span>
        <span aria-hidden="true">${unsafeHTML(this.drawing)}</span>
      </a>
      <div class="caption">
        <div class="name">
          ${
            writes
              ? html`<input
                  type="checkbox"
                  aria-label="Pick ${shot.code}"
                  .checked=${live(this.picked)}
                  @click=${this.handlePick}
                />`
              : nothing
          }
          <h3>${shot.code} <span class="title">${shot.title}</span></h3>
          ${
            writes
              ? html`<button
                  class="opener"
                  aria-expanded=${this.changing}
                  @click=${() => {
                    this.changing = !this.changing;
                  }}
                >
                  Change<span class="hidden-text"> ${shot.code}</span>
                </button>`
              : nothing
          }
        </div>
        <p class="facts">
          <span class="state ${shot.state}">${stateWord(shot.state)}</span>
          <span>${draft ? `draft ${draft.number}` : 'no draft'}</span>
          ${this.renderTerms()}
          ${this.openNotes > 0 ? html`<span>${this.openNotes} open ${this.openNotes === 1 ? 'note' : 'notes'}</span>` : nothing}
        </p>
        <div class="weighed">
          ${this.live?.hidden ? html`<span class="pencil">readings hidden for a call</span>` : nothing}
          ${cardBadge(this.live, draft && this.history.get(draft.id), shot.frames[0])}
          ${marginLine(this.margins())}
        </div>
        ${
          this.people.length === 0
            ? nothing
            : html`<ul class="people" aria-label="On this shot">
                ${this.people.slice(0, PEOPLE_NAMED).map(({ ink, name }) => html`<li>${personMark(ink)} ${name}</li>`)}
                ${
                  this.people.length > PEOPLE_NAMED
                    ? html`<li class="pencil">and ${this.people.length - PEOPLE_NAMED} more</li>`
                    : nothing
                }
              </ul>`
        }
        ${this.renderChange()}
      </div>
    </article>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-shot-card': ShotCard;
  }
}
