import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import {
  readShots,
  readTitle,
  type Sequence,
  type Shot,
  type ShotState,
  setReviewTitle,
} from '../../core/document/index.ts';
import { Follow } from '../controllers/follow.ts';
import { Printing } from '../record/printing.ts';
import '../record/record-dialog.ts';
import type { RecordDialog } from '../record/record-dialog.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { boardPageStyles } from './board-page.styles.ts';
import { BoardReader } from './board-reader.ts';
import { addSequence } from './deeds.ts';
import { type BoardFacts, NO_FACTS } from './facts.ts';
import './import-dialog.ts';
import type { ImportDialog } from './import-dialog.ts';
import './list-dialog.ts';
import type { ListDialog } from './list-dialog.ts';
import './margins-view.ts';
import './narrow-bar.ts';
import { isNarrow, type Narrowing, ORDER_WORDS, ordered, passes, WIDE } from './narrowing.ts';
import './picked-bar.ts';
import { Picking } from './picking.ts';
import './sequence-row.ts';
import type { SequenceRow } from './sequence-row.ts';
import type { ShotCard } from './shot-card.ts';
import { setStates } from './shot-deeds.ts';
import { shotCards, shotGridStyles } from './shot-grid.ts';
import { inView, VIEWS, type View } from './views.ts';

/** The board: every sequence of the review with its shots, and what the board says at a glance. */
@customElement('cl-board-page')
export class BoardPage extends LitElement {
  static override styles = [shared, shotGridStyles, boardPageStyles];

  @property({ attribute: false }) session!: Session;
  @state() private view: View = 'all';
  @state() private renaming = false;
  @state() private fileOver = false;
  @query('cl-import-dialog') private importer!: ImportDialog;
  @query('cl-list-dialog') private lister!: ListDialog;
  @query('cl-record-dialog') private record!: RecordDialog;
  @query('input[type="file"]') private chooser!: HTMLInputElement;

  @state() private narrowing: Narrowing = WIDE;
  @state() private narrowingOpen = false;
  /** The margins of all shots over their drafts, in place of the cards. */
  @state() private margins = false;

  private readonly reader = new BoardReader(this);
  private readonly picking = new Picking(this);
  private readonly printing = new Printing(this, () => ({
    session: this.session,
    shots: this.shownOnly(),
  }));
  private sequences: readonly Sequence[] = [];
  private facts: BoardFacts = NO_FACTS;

  constructor() {
    super();
    new Follow(this, () => {
      this.session.show({ shot: null, draft: null, frame: null, selection: null, cursor: null });
      return [
        ...this.reader.follow(this.session),
        this.session.on('me', () => this.requestUpdate()),
      ];
    });
  }

  protected override willUpdate(): void {
    const { sequences, facts } = this.reader.read(this.session);
    this.sequences = sequences;
    const here = new Set(facts.allShots.map(({ id }) => id));
    const picked = new Set([...this.picking.picked].filter((id) => here.has(id)));
    this.facts = { ...facts, picked };
  }

  private row(sequence: string): SequenceRow | null {
    return this.renderRoot.querySelector<SequenceRow>(
      `cl-sequence-row[data-sequence="${CSS.escape(sequence)}"]`,
    );
  }

  private cardOf(shot: string): ShotCard | null {
    const flat = this.renderRoot.querySelector<ShotCard>(
      `cl-shot-card[data-shot="${CSS.escape(shot)}"]`,
    );
    const sequence = readShots(this.session.documents.scenes).find(
      ({ id }) => id === shot,
    )?.sequence;
    return flat ?? (sequence === undefined ? null : (this.row(sequence)?.card(shot) ?? null));
  }

  private async settled(): Promise<void> {
    await this.updateComplete;
    for (const row of this.renderRoot.querySelectorAll<SequenceRow>('cl-sequence-row')) {
      await row.updateComplete;
    }
  }

  private readonly handleAdded = async (event: CustomEvent<string>): Promise<void> => {
    await this.settled();
    const card = this.cardOf(event.detail);
    card?.scrollIntoView({ block: 'nearest' });
    await card?.startRenaming();
  };

  private readonly handleMoved = async (event: CustomEvent<string>): Promise<void> => {
    await this.settled();
    this.cardOf(event.detail)?.focus();
  };

  private handlePick({ detail }: CustomEvent<{ shot: string; range: boolean }>): void {
    this.picking.toggle(
      detail.shot,
      detail.range,
      this.shown().map(({ id }) => id),
    );
  }

  /** A state given by key: to the picked shots where the card is one of them, else to it alone. */
  private handleState({ detail }: CustomEvent<{ shot: string; state: ShotState }>): void {
    const { allShots, picked, drafts } = this.facts;
    const isPicked = picked.has(detail.shot);
    const shots = allShots.filter(({ id }) => (isPicked ? picked.has(id) : id === detail.shot));
    setStates(this.session, shots, detail.state, ({ id }) => drafts.get(id)?.at(-1)?.id ?? null);
  }

  private handleKey(event: KeyboardEvent): void {
    if (event.key !== 'Escape' || this.facts.picked.size === 0) return;
    this.picking.clear();
    this.session.say('No shot is picked.');
  }

  private handleAddSequence(): void {
    addSequence(this.session, `Sequence ${this.sequences.length + 1}`);
  }

  private handleChosen(): void {
    const files = [...(this.chooser.files ?? [])];
    this.chooser.value = '';
    if (files.length > 0) this.take(files, null);
  }

  /** A shot list, a review file, or clips or a scene for a sequence. */
  private take(files: readonly File[], sequence: string | null): void {
    const [file] = files;
    if (file === undefined) return;
    if (/\.(csv|tsv|txt)$/i.test(file.name)) void this.lister.take(file);
    else if (!/\.zip$/i.test(file.name)) void this.importer.take(files, sequence);
    else if (this.session.me.role === 'lead') void this.record.take(file);
    else this.session.say('A lead brings a review file in.');
  }

  private handleDragOver(event: DragEvent): void {
    if (!event.dataTransfer?.types.includes('Files') || !this.session.mayWrite('scenes')) return;
    event.preventDefault();
    event.dataTransfer.dropEffect = 'copy';
    this.fileOver = true;
  }

  private handleDrop(event: DragEvent): void {
    this.fileOver = false;
    const files = [...(event.dataTransfer?.files ?? [])];
    if (files.length === 0 || !this.session.mayWrite('scenes')) return;
    event.preventDefault();
    const row = event
      .composedPath()
      .find((node) => (node as Element).localName === 'cl-sequence-row');
    this.take(files, (row as SequenceRow | undefined)?.sequence.id ?? null);
  }

  private handleRename(event: SubmitEvent): void {
    event.preventDefault();
    const title = String(new FormData(event.currentTarget as HTMLFormElement).get('title')).trim();
    if (title !== '') {
      this.session.edit('scenes', `renamed the review to ${title}`, (doc, origin) =>
        setReviewTitle(doc, title, origin),
      );
    }
    this.renaming = false;
  }

  private renderHead() {
    const { session } = this;
    const title = readTitle(session.documents.scenes);
    if (this.renaming) {
      return html`<form class="renaming" @submit=${this.handleRename}>
        <label>Title of the review <input name="title" .value=${title} maxlength="120" required /></label>
        <button type="submit">Rename</button>
      </form>`;
    }
    return html`
      <h1>${title}</h1>
      ${
        session.mayWrite('scenes')
          ? html`<span class="deeds">
              <button
                @click=${() => {
                  this.renaming = true;
                }}
              >Rename the review</button>
              <button @click=${this.handleAddSequence}>Add a sequence</button>
              <button @click=${() => this.chooser.click()}>Bring in a clip, scene or list</button>
              ${this.renderRecordButton()}
            </span>`
          : html`<p class="pencil">
              ${
                session.me.role === 'guest'
                  ? 'As a guest you look and read; the lead can give you a link that lets you write.'
                  : 'As a reviewer you write notes; animators change shots and poses.'
              }
            </p>
            <span class="deeds">${this.renderRecordButton()}</span>`
      }
    `;
  }

  private renderRecordButton() {
    return html`<button @click=${() => void this.record.show()}>The record</button>`;
  }

  private renderGlance() {
    const { facts } = this;
    return html`<div class="glance" role="group" aria-label="Show">
      ${VIEWS.map(({ view, word }) => {
        const count = facts.allShots.filter((shot) => inView(view, shot, facts)).length;
        return html`<button
          aria-pressed=${this.view === view}
          @click=${() => {
            this.view = view;
          }}
        >${word} <span class="count">${count}</span></button>`;
      })}
    </div>`;
  }

  private renderNarrowing() {
    const { facts, narrowing, narrowingOpen } = this;
    return html`
      <span class="ways">
        <button
          aria-expanded=${narrowingOpen}
          @click=${() => {
            this.narrowingOpen = !narrowingOpen;
          }}
        >Narrow and order</button>
        ${([false, true] as const).map(
          (margins) => html`<button
            aria-pressed=${this.margins === margins}
            @click=${() => {
              this.margins = margins;
            }}
          >${margins ? 'Margins' : 'Cards'}</button>`,
        )}
      </span>
      ${
        narrowingOpen || isNarrow(narrowing) || narrowing.order !== 'board'
          ? html`<cl-narrow-bar
              .narrowing=${narrowing}
              .facts=${facts}
              @cl-narrow=${({ detail }: CustomEvent<Narrowing>) => {
                this.narrowing = detail;
              }}
            ></cl-narrow-bar>`
          : nothing
      }
    `;
  }

  /** The shots that are shown, in the order in which they hang. */
  private shown(): readonly Shot[] {
    const { facts, narrowing, view } = this;
    const shots = facts.allShots.filter(
      (shot) => inView(view, shot, facts) && passes(shot, narrowing, facts),
    );
    return ordered(shots, narrowing.order, facts);
  }

  /** Ids of the shots that are shown, where some are not. */
  private shownOnly(): readonly string[] | null {
    const isAll = this.view === 'all' && !isNarrow(this.narrowing);
    return isAll ? null : this.shown().map(({ id }) => id);
  }

  private renderShots() {
    const { facts, narrowing, session } = this;
    const shots = this.shown();
    if (this.margins) {
      return html`<cl-margins-view .session=${session} .shots=${shots} .facts=${facts}></cl-margins-view>`;
    }
    if (narrowing.order !== 'board') {
      return html`<section aria-label="All sequences">
        <h2>All sequences <span class="count">in the order of ${ORDER_WORDS[narrowing.order]}</span></h2>
        ${
          shots.length === 0
            ? html`<p class="pencil">No shot is in this view.</p>`
            : html`<div class="row">${shotCards(session, shots, facts)}</div>`
        }
      </section>`;
    }
    const isFiltered = this.view !== 'all' || isNarrow(narrowing);
    return repeat(
      this.sequences,
      ({ id }) => id,
      (sequence) => html`<cl-sequence-row
        data-sequence=${sequence.id}
        .session=${session}
        .sequence=${sequence}
        .shots=${shots.filter((shot) => shot.sequence === sequence.id)}
        .facts=${facts}
        .filtered=${isFiltered}
      ></cl-sequence-row>`,
    );
  }

  private renderEmpty() {
    if (this.sequences.length > 0) return nothing;
    return html`<p class="empty">
      ${
        this.session.mayWrite('scenes')
          ? 'This board is empty. Add a sequence for the first row of shots, or drop a shot list (CSV), a .bvh clip or a scene file anywhere here.'
          : 'This board is empty. Shots appear here as soon as somebody adds them.'
      }
    </p>`;
  }

  protected override render() {
    return html`<div
      class="board ${this.fileOver ? 'over' : ''}"
      @cl-added=${this.handleAdded}
      @cl-moved=${this.handleMoved}
      @cl-pick=${this.handlePick}
      @cl-state=${this.handleState}
      @keydown=${this.handleKey}
      @dragover=${this.handleDragOver}
      @dragleave=${() => {
        this.fileOver = false;
      }}
      @drop=${this.handleDrop}
    >
      <div class="head">
        ${this.renderHead()} ${this.renderGlance()}
        ${this.facts.allShots.length === 0 ? nothing : this.renderNarrowing()}
      </div>
      ${this.renderEmpty()}
      ${this.renderShots()}
      <input type="file" multiple accept=".bvh,.glb,.gltf,.bin,.json,.csv,.tsv,.txt,.zip" hidden aria-hidden="true" tabindex="-1" @change=${this.handleChosen} />
      ${
        this.facts.picked.size === 0
          ? nothing
          : html`<cl-picked-bar
              .session=${this.session}
              .facts=${this.facts}
              @cl-pick-all=${() => this.picking.pickAll(this.shown().map(({ id }) => id))}
              @cl-let-go=${() => this.picking.clear()}
            ></cl-picked-bar>`
      }
      <cl-import-dialog .session=${this.session}></cl-import-dialog>
      <cl-list-dialog .session=${this.session}></cl-list-dialog>
      <cl-record-dialog
        .session=${this.session}
        .shown=${this.shownOnly()}
        .print=${this.printing.print}
      ></cl-record-dialog>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-board-page': BoardPage;
  }
}
