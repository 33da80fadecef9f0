import { html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  boardMaps,
  callsMap,
  type Draft,
  isStanding,
  readDecisions,
  readDrafts,
  readHistory,
  readNotes,
  readSeals,
  recordMap,
  type Shot,
  setDraftTitle,
  setDraftWords,
} from '../../core/document/index.ts';
import { go, shotPath } from '../app/route.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { newDraft, setSealed } from '../board/deeds.ts';
import { groupBy } from '../board/facts.ts';
import '../board/margin-history.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import { NotesReader } from '../notes/notes-reader.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';
import { draftsLeafStyles } from './drafts.styles.ts';
import { draftTree, type TreeRow } from './tree.ts';

/** Two drafts that are to be looked at together. */
export interface Held {
  readonly first: string;
  readonly second: string;
  readonly how: 'over' | 'beside';
}

/** Pixels between two lanes of the drawn history. */
const LANE = 14;
/** Height of a draft's dot in its row, pixels. */
const DOT = 19;

/**
 * The drafts of a shot as a small tree drawn by origin, and what can be done with the one shown: name,
 * describe, restore, duplicate, seal, hold against another. Fires `cl-hold` (detail: Held).
 */
@customElement('cl-drafts-leaf')
export class DraftsLeaf extends LitElement {
  static override styles = [shared, draftsLeafStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot!: Shot;
  /** Id of the draft shown. */
  @property({ attribute: false }) draft = '';

  @state() private naming = false;
  @state() private other = '';
  private readonly reader = new NotesReader(this, () => this.session);

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const { scenes, record } = this.session.documents;
      return [
        observeMaps(boardMaps(scenes), update),
        observeMaps([recordMap(record, 'history'), recordMap(record, 'seals')], update),
        observeMaps([recordMap(record, 'decisions')], update),
        observeMaps([callsMap(record)], update),
        this.session.on('me', update),
      ];
    });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (!changed.has('draft')) return;
    this.naming = false;
    this.other = '';
  }

  private open(draft: string): void {
    go(shotPath(this.session.review, this.shot.id, { draft }));
  }

  private copy(draft: Draft, words: { readonly title?: string; readonly beside?: boolean }): void {
    const id = newDraft(this.session, this.shot, draft.id, words);
    if (id === null) return;
    this.open(id);
    this.session.say(
      `A new draft, from draft ${draft.number}. Draft ${draft.number} stays as it is.`,
    );
  }

  private name(event: SubmitEvent, draft: Draft): void {
    event.preventDefault();
    const why = this.session.staysAsItIs(draft.id);
    if (why !== null) {
      this.session.say(why);
      return;
    }
    const form = new FormData(event.currentTarget as HTMLFormElement);
    const title = String(form.get('title') ?? '').trim();
    const words = String(form.get('words') ?? '').trim();
    if (title !== draft.title || words !== draft.words) {
      this.session.edit('scenes', `named draft ${draft.number}`, (doc, origin) => {
        setDraftTitle(doc, draft.id, title, origin);
        setDraftWords(doc, draft.id, words, origin);
      });
    }
    this.naming = false;
  }

  private renderLines({ lane, branch, above, below }: TreeRow, lanes: number) {
    const x = (at: number): number => LANE / 2 + at * LANE;
    // The dot stands beside the first line of its row, whatever the row's height.
    return html`<svg class="lines" width=${lanes * LANE} aria-hidden="true">
      ${above.map((at) => svg`<line x1=${x(at)} x2=${x(at)} y1="0" y2=${DOT} />`)}
      ${below.map((at) => svg`<line x1=${x(at)} x2=${x(at)} y1=${DOT} y2="100%" />`)}
      ${branch === null ? nothing : svg`<line x1=${x(branch)} x2=${x(lane)} y1=${DOT} y2=${DOT} />`}
      <circle cx=${x(lane)} cy=${DOT} r="4"></circle>
    </svg>`;
  }

  private renderReading(draft: Draft) {
    const recorded = readHistory(this.session.documents.record).get(draft.id);
    if (recorded === undefined || this.session.hides(this.shot.id)) return nothing;
    const { verdict, margin } = recorded;
    const cm =
      margin === null
        ? ''
        : `, ${(Math.abs(margin) * 100).toFixed(1)}\u00a0cm${margin < 0 ? ' outside' : ''}`;
    return html`<span class="small ${verdict}">${VERDICT_WORDS[verdict]}${cm}</span>`;
  }

  private renderSeal(draft: Draft) {
    const seal = readSeals(this.session.documents.record).get(draft.id);
    if (!draft.sealed) return nothing;
    if (seal === undefined) return html`<p class="small">sealed</p>`;
    const who = this.reader.people.get(seal.by)?.name ?? 'Someone';
    return html`<p class="small">sealed by ${who}, ${sayWhen(seal.at, new Date())}</p>`;
  }

  private renderNaming(draft: Draft) {
    return html`<form @submit=${(event: SubmitEvent) => this.name(event, draft)}>
      <label>What changed <input name="title" .value=${draft.title} maxlength="120" /></label>
      <label>What it tries and why
        <textarea name="words" rows="3" maxlength="2000" .value=${draft.words}></textarea>
      </label>
      <p><button type="submit">Keep these words</button>
        <button
          type="button"
          @click=${() => {
            this.naming = false;
          }}
        >Leave it</button></p>
    </form>`;
  }

  private renderDeeds(draft: Draft, drafts: readonly Draft[]) {
    const { session } = this;
    const newest = draft.id === drafts.at(-1)?.id;
    const fresh = newest
      ? html`<button @click=${() => this.copy(draft, {})}>New draft from this</button>`
      : html`<button @click=${() => this.copy(draft, { title: `draft ${draft.number} again` })}>Restore as a new draft</button>`;
    if (!session.mayWrite('scenes')) return nothing;
    return html`<p class="deeds">
      ${
        session.staysAsItIs(draft.id) !== null
          ? nothing
          : html`<button
              @click=${() => {
                this.naming = true;
              }}
            >Name and describe</button>`
      }
      ${fresh}
      <button @click=${() => this.copy(draft, { title: draft.title, beside: true })}>Duplicate</button>
      ${
        session.me.role === 'lead'
          ? html`<button @click=${() => setSealed(session, draft, !draft.sealed)}>${draft.sealed ? 'Unseal' : 'Seal'}</button>`
          : nothing
      }
    </p>`;
  }

  private renderHold(draft: Draft, drafts: readonly Draft[]) {
    const others = drafts.filter(({ id }) => id !== draft.id);
    if (others.length === 0) return nothing;
    // The draft it came from is what one mostly wants to see it against.
    const other =
      others.find(({ id }) => id === this.other) ??
      others.find(({ id }) => id === draft.from) ??
      others.at(-1);
    const hold = (how: Held['how']) => () =>
      this.dispatchEvent(
        new CustomEvent<Held>('cl-hold', {
          detail: { first: other?.id ?? '', second: draft.id, how },
          bubbles: true,
          composed: true,
        }),
      );
    return html`<p class="deeds">
      <label>against
        <select
          @change=${(event: Event) => {
            this.other = (event.currentTarget as HTMLSelectElement).value;
          }}
        >
          ${others.map(
            ({ id, number }) =>
              html`<option value=${id} .selected=${id === other?.id}>draft ${number}</option>`,
          )}
        </select>
      </label>
      <button @click=${hold('over')}>Lay over</button>
      <button @click=${hold('beside')}>Side by side</button>
    </p>`;
  }

  private renderRow(row: TreeRow, lanes: number, drafts: readonly Draft[]) {
    const { draft } = row;
    const shown = draft.id === this.draft;
    const standing = this.reader
      .notes(this.shot.id)
      .filter((note) => note.draft === draft.id && isStanding(note)).length;
    return html`<li class=${shown ? 'shown' : ''}>
      ${this.renderLines(row, lanes)}
      <div class="row">
        <p class="head">
          <button aria-current=${shown ? 'true' : 'false'} @click=${() => this.open(draft.id)}>
            Draft ${draft.number}${draft.title === '' ? '' : `: ${draft.title}`}
          </button>
          ${this.renderReading(draft)}
        </p>
        ${standing === 0 ? nothing : html`<p class="small pencil">${standing === 1 ? '1 note stands' : `${standing} notes stand`}</p>`}
        ${this.renderSeal(draft)}
        ${draft.words === '' ? nothing : html`<p class="words">${draft.words}</p>`}
        ${shown && this.naming ? this.renderNaming(draft) : nothing}
        ${shown ? html`${this.renderDeeds(draft, drafts)} ${this.renderHold(draft, drafts)}` : nothing}
      </div>
    </li>`;
  }

  private renderHistory(drafts: readonly Draft[]) {
    const { notes, record } = this.session.documents;
    return html`<cl-margin-history
      .shot=${this.shot}
      .drafts=${drafts}
      .history=${readHistory(record)}
      .notes=${groupBy(readNotes(notes, this.shot.id), ({ draft }) => draft)}
      .decisions=${groupBy(readDecisions(record), ({ draft }) => draft ?? '')}
    ></cl-margin-history>`;
  }

  protected override render() {
    const drafts = readDrafts(this.session.documents.scenes, this.shot.id);
    const rows = draftTree(drafts);
    const lanes = Math.max(1, ...rows.map(({ lane }) => lane + 1));
    return html`${drafts.length > 1 ? this.renderHistory(drafts) : nothing}<ol aria-label="Drafts of ${this.shot.code}" style="--lanes:${lanes}">
      ${rows.map((row) => this.renderRow(row, lanes, drafts))}
    </ol>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-drafts-leaf': DraftsLeaf;
  }
}
