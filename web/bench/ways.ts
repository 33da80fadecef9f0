import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { assess } from '../../core/balance/index.ts';
import { copyDraft, readDrafts, setEntries } from '../../core/document/index.ts';
import { drawCard } from '../../core/drawing/index.ts';
import { isRepair, type Repair, withChanges } from '../../core/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { go, shotPath } from '../app/route.ts';
import '../badge/badge.ts';
import type { LiveDraft } from '../session/index.ts';
import { askWays } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { freshId } from './adding.ts';
import { changeEntries } from './movables.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import { waysStyles } from './ways.styles.ts';
import { Looking } from './ways-looking.ts';
import { WAY_WORDS } from './ways-words.ts';
import { nameOf } from './words.ts';

const CARD = { width: 120, height: 130, labelSize: 8 } as const;
/** Moves that are told beside a drawing; the sentence of the way tells the first. */
const MOVES = 4;

/**
 * The leaf of ways back: small drawings of the smallest changes after which a figure holds, as the
 * worker finds them. Pointing at one shows it as a ghost over the drawing (`cl-ghost`, detail: Scene or
 * null); one may be taken, as one step of undo, or made a new draft.
 */
@customElement('cl-ways')
export class WaysLeaf extends LitElement {
  static override styles = [shared, waysStyles];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) mayEdit = false;
  /** Figures that follow a clip: their poses are the clip's. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  /** Whose ways are looked for; null: the first who does not hold. */
  @state() private figure: string | null = null;
  /** The way whose ghost stays while nothing else is pointed at. */
  @state() private pinned: Repair | null = null;
  private readonly looking = new Looking(askWays, () => this.requestUpdate());
  private readonly drawings = new WeakMap<Repair, string>();
  /** What this leaf lies in, which hears of the ghost when the leaf is gone. */
  private around: Node | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    this.around = this.getRootNode();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.looking.stop();
    this.pin(null);
  }

  private get whose(): string | null {
    const { scene, report } = this.shown;
    const there = scene.figures.some(({ id }) => id === this.figure);
    if (there) return this.figure;
    const holds = (group: string): boolean =>
      report.groups.find(({ id }) => id === group)?.verdict === 'holds';
    const lost = report.figures.find(({ group }) => !holds(group));
    return lost?.figure ?? scene.figures[0]?.id ?? null;
  }

  protected override willUpdate(): void {
    const { live, shown, whose } = this;
    this.looking.look(shown.scene, shown.hidden ? null : whose, live.movers.length > 0);
    // A ghost of what was there before would lie over what is there now.
    if (this.pinned !== null && this.looking.scene !== shown.scene) this.pin(null);
  }

  private sceneOf({ changes }: Repair): Scene {
    return withChanges(this.looking.scene ?? this.shown.scene, changes);
  }

  private ghost(way: Repair | null): void {
    const shown = way ?? this.pinned;
    const detail = shown === null ? null : this.sceneOf(shown);
    (this.isConnected ? this : this.around)?.dispatchEvent(
      new CustomEvent<Scene | null>('cl-ghost', { detail, bubbles: true, composed: true }),
    );
  }

  private pin(way: Repair | null): void {
    this.pinned = way;
    this.ghost(way);
  }

  private drawingOf(way: Repair): string {
    const known = this.drawings.get(way);
    if (known !== undefined) return known;
    const after = this.sceneOf(way);
    const drawing = drawCard(after, assess(after), { ...CARD, title: WAY_WORDS[way.strategy] });
    this.drawings.set(way, drawing);
    return drawing;
  }

  private take(way: Repair): void {
    this.pin(null);
    const patch = changeEntries(this.shown.scene, way.changes);
    this.posing.set(patch, `took a way back: ${WAY_WORDS[way.strategy]}`);
    this.live.session.say(`${way.sentence} Undo brings the pose back.`);
  }

  private makeDraft(way: Repair): void {
    const { session, shot, draft } = this.live;
    const source = readDrafts(session.documents.scenes, shot).find(({ id }) => id === draft);
    if (source === undefined) return;
    this.pin(null);
    const id = freshId();
    const patch = changeEntries(this.shown.scene, way.changes);
    const title = `Way back: ${WAY_WORDS[way.strategy]}`;
    session.edit('scenes', `made a draft of a way back`, (doc, origin) => {
      copyDraft(doc, source, { id, title }, origin);
      setEntries(doc, id, patch, origin);
    });
    go(shotPath(session.review, shot, { draft: id }));
    session.say(`A new draft: ${way.sentence} Draft ${source.number} stays as it is.`);
  }

  private renderWay(way: Repair) {
    const word = WAY_WORDS[way.strategy];
    const stale = this.looking.scene !== this.shown.scene;
    const still = Object.keys(way.changes.poses).some((id) => this.fixed.has(id));
    const writes = this.live.session.mayWrite('scenes') && !still;
    const pressed = this.pinned === way;
    const show = (): void => this.ghost(way);
    const hide = (): void => this.ghost(null);
    return html`<li class="way" data-way=${way.strategy}
      @pointerenter=${show} @pointerleave=${hide} @focusin=${show} @focusout=${hide}>
      <button type="button" class="picture" aria-pressed=${pressed} aria-label="Show this way over the drawing: ${word}"
        @click=${() => this.pin(pressed ? null : way)}>${unsafeHTML(this.drawingOf(way))}</button>
      <div>
        <h3>${word}</h3>
        <cl-badge compact .reading=${way.after}></cl-badge>
        <p class="moves">${way.moves
          .slice(0, MOVES)
          .map(({ text }) => text)
          .join('; ')}${way.moves.length > MOVES ? '; and less' : ''}.</p>
      </div>
      ${
        writes
          ? html`<div class="deeds">
              ${this.mayEdit ? html`<button type="button" ?disabled=${stale} @click=${() => this.take(way)}>take this way back</button>` : nothing}
              <button type="button" ?disabled=${stale} @click=${() => this.makeDraft(way)}>as a new draft</button></div>`
          : nothing
      }
    </li>`;
  }

  private renderWho() {
    const { figures } = this.shown.scene;
    if (figures.length < 2) return nothing;
    const { whose } = this;
    return html`<label>who moves
      <select @change=${(event: Event) => {
        this.figure = (event.target as HTMLSelectElement).value;
      }}>${figures.map(({ id, name }) => html`<option value=${id} .selected=${id === whose}>${name}</option>`)}</select></label>`;
  }

  private renderHead() {
    const { phase, ways, result, fault } = this.looking;
    switch (phase) {
      case 'waiting':
        return html`<span>Looks when the hand lets go.</span>`;
      case 'looking':
        return html`<span>Looking for ways back, ${ways.length} of ${Object.keys(WAY_WORDS).length} tried.</span>
          <button type="button" @click=${() => this.looking.stop()}>stop looking</button>`;
      case 'stopped':
        return html`<span>Stopped.</span> <button type="button" @click=${() => this.looking.again()}>look again</button>`;
      case 'failed':
        return html`<span>${fault}</span> <button type="button" @click=${() => this.looking.again()}>look again</button>`;
      case 'done':
        return html`<span>${result?.sentence}</span>`;
    }
  }

  protected override render() {
    const { scene } = this.shown;
    const { ways } = this.looking;
    if (this.shown.hidden)
      return html`<p class="pencil">The readings of this shot are hidden for the call, and its ways back with them.</p>`;
    if (scene.figures.length === 0)
      return html`<p class="pencil">There is no figure. Add one under Things.</p>`;
    const good = ways.filter(isRepair);
    const rest = ways.filter((way) => !isRepair(way));
    const who = this.whose === null ? '' : nameOf(scene, this.whose);
    return html`${this.renderWho()}
      <div class="head" role="status">${this.renderHead()}</div>
      <ul class="ways" aria-label="Ways back of ${who}">${good.map((way) => this.renderWay(way))}</ul>
      ${
        rest.length === 0
          ? nothing
          : html`<details ?open=${good.length === 0}>
              <summary>What cannot bring it back</summary>
              <dl>${rest.map((way) => ('cannot' in way ? html`<dt>${WAY_WORDS[way.strategy]}</dt><dd>${way.cannot}</dd>` : nothing))}</dl>
            </details>`
      }`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-ways': WaysLeaf;
  }
}
