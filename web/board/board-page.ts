import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import {
  boardMaps,
  type Draft,
  noteMaps,
  type Recorded,
  readDrafts,
  readHistory,
  readNotes,
  readSequences,
  readShots,
  readTitle,
  recordMap,
  type Sequence,
  type Shot,
  setReviewTitle,
} from '../../core/document/index.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import { keepSame } from '../controllers/keep-same.ts';
import type { Other, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { boardPageStyles } from './board-page.styles.ts';
import { addSequence } from './deeds.ts';
import './import-dialog.ts';
import type { ImportDialog } from './import-dialog.ts';
import './sequence-row.ts';
import type { BoardFacts, SequenceRow } from './sequence-row.ts';
import { inView, VIEWS, type View } from './views.ts';

/** The board: every sequence of the review with its shots, and what the board says at a glance. */
@customElement('cl-board-page')
export class BoardPage extends LitElement {
  static override styles = [shared, boardPageStyles];

  @property({ attribute: false }) session!: Session;
  @state() private view: View = 'all';
  @state() private renaming = false;
  @state() private fileOver = false;
  @query('cl-import-dialog') private importer!: ImportDialog;
  @query('input[type="file"]') private chooser!: HTMLInputElement;

  private sequences: readonly Sequence[] = [];
  private facts: BoardFacts = emptyFacts;
  private boardStale = true;
  private notesStale = true;
  private historyStale = true;

  constructor() {
    super();
    new Follow(this, () => {
      const { scenes, notes, record } = this.session.documents;
      this.session.show({ shot: null, draft: null, frame: null, selection: null, cursor: null });
      this.boardStale = true;
      this.notesStale = true;
      this.historyStale = true;
      return [
        observeMaps(boardMaps(scenes), () => {
          this.boardStale = true;
          this.requestUpdate();
        }),
        observeMaps(noteMaps(notes), () => {
          this.notesStale = true;
          this.requestUpdate();
        }),
        observeMaps([recordMap(record, 'history')], () => {
          this.historyStale = true;
          this.requestUpdate();
        }),
        this.session.on('presence', () => this.readPeople()),
        this.session.on('me', () => this.requestUpdate()),
      ];
    });
  }

  protected override willUpdate(): void {
    const { scenes, notes, record } = this.session.documents;
    if (this.boardStale) {
      this.sequences = readSequences(scenes);
      const drafts = new Map<string, readonly Draft[]>();
      for (const draft of readDrafts(scenes)) {
        drafts.set(draft.shot, [...(drafts.get(draft.shot) ?? []), draft]);
      }
      const shots = new Map(readShots(scenes).map((shot) => [shot.id, shot] as const));
      const known = new Map(this.facts.allShots.map((shot) => [shot.id, shot] as const));
      this.facts = {
        ...this.facts,
        allShots: [...keepSame(known, shots).values()],
        drafts: keepSame(this.facts.drafts, drafts),
      };
    }
    if (this.notesStale) this.facts = { ...this.facts, openNotes: countOpen(readNotes(notes)) };
    if (this.historyStale) this.facts = { ...this.facts, history: readHistory(record) };
    this.boardStale = false;
    this.notesStale = false;
    this.historyStale = false;
  }

  private readPeople(): void {
    const people = new Map<string, Other[]>();
    for (const other of this.session.others()) {
      if (other.shot === null) continue;
      const on = people.get(other.shot) ?? [];
      if (!on.some(({ person }) => person === other.person)) {
        people.set(other.shot, [...on, other]);
      }
    }
    // Cursors move 30 times a second; the board changes only when somebody changes shots.
    const key = (map: ReadonlyMap<string, readonly Other[]>): string =>
      JSON.stringify([...map].map(([shot, on]) => [shot, on.map(({ name, ink }) => [name, ink])]));
    if (key(people) === key(this.facts.people)) return;
    this.facts = { ...this.facts, people };
    this.requestUpdate();
  }

  private row(sequence: string): SequenceRow | null {
    return this.renderRoot.querySelector<SequenceRow>(
      `cl-sequence-row[data-sequence="${CSS.escape(sequence)}"]`,
    );
  }

  private cardOf(shot: string) {
    const sequence = readShots(this.session.documents.scenes).find(
      ({ id }) => id === shot,
    )?.sequence;
    return sequence === undefined ? null : (this.row(sequence)?.card(shot) ?? null);
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

  private handleAddSequence(): void {
    addSequence(this.session, `Sequence ${this.sequences.length + 1}`);
  }

  private handleChosen(): void {
    const file = this.chooser.files?.[0];
    this.chooser.value = '';
    if (file) void this.importer.take(file, null);
  }

  private handleDragOver(event: DragEvent): void {
    if (!event.dataTransfer?.types.includes('Files') || !this.session.mayWrite('scenes')) return;
    event.preventDefault();
    event.dataTransfer.dropEffect = 'copy';
    this.fileOver = true;
  }

  private handleDrop(event: DragEvent): void {
    this.fileOver = false;
    const file = event.dataTransfer?.files[0];
    if (!file || !this.session.mayWrite('scenes')) return;
    event.preventDefault();
    const row = event
      .composedPath()
      .find((node) => (node as Element).localName === 'cl-sequence-row');
    void this.importer.take(file, (row as SequenceRow | undefined)?.sequence.id ?? null);
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
              <button @click=${() => this.chooser.click()}>Bring in a clip or scene</button>
            </span>`
          : html`<p class="pencil">
              ${
                session.me.role === 'guest'
                  ? 'As a guest you look and read; the lead can give you a link that lets you write.'
                  : 'As a reviewer you write notes; animators change shots and poses.'
              }
            </p>`
      }
    `;
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

  private shotsOf(sequence: Sequence): Shot[] {
    return this.facts.allShots.filter(
      (shot) => shot.sequence === sequence.id && inView(this.view, shot, this.facts),
    );
  }

  private renderEmpty() {
    if (this.sequences.length > 0) return nothing;
    return html`<p class="empty">
      ${
        this.session.mayWrite('scenes')
          ? 'This board is empty. Add a sequence for the first row of shots, or drop a .bvh clip or a scene file anywhere here.'
          : 'This board is empty. Shots appear here as soon as somebody adds them.'
      }
    </p>`;
  }

  protected override render() {
    return html`<div
      class="board ${this.fileOver ? 'over' : ''}"
      @cl-added=${this.handleAdded}
      @cl-moved=${this.handleMoved}
      @dragover=${this.handleDragOver}
      @dragleave=${() => {
        this.fileOver = false;
      }}
      @drop=${this.handleDrop}
    >
      <div class="head">${this.renderHead()} ${this.renderGlance()}</div>
      ${this.renderEmpty()}
      ${repeat(
        this.sequences,
        ({ id }) => id,
        (sequence) => html`<cl-sequence-row
          data-sequence=${sequence.id}
          .session=${this.session}
          .sequence=${sequence}
          .shots=${this.shotsOf(sequence)}
          .facts=${this.facts}
          .filtered=${this.view !== 'all'}
        ></cl-sequence-row>`,
      )}
      <input type="file" accept=".bvh,.json" hidden aria-hidden="true" tabindex="-1" @change=${this.handleChosen} />
      <cl-import-dialog .session=${this.session}></cl-import-dialog>
    </div>`;
  }
}

const emptyFacts: BoardFacts = {
  allShots: [],
  drafts: new Map<string, readonly Draft[]>(),
  history: new Map<string, Recorded>(),
  openNotes: new Map<string, number>(),
  people: new Map<string, readonly Other[]>(),
};

function countOpen(notes: readonly { readonly shot: string; readonly state: string }[]) {
  const counts = new Map<string, number>();
  for (const { shot, state } of notes) {
    if (state === 'open') counts.set(shot, (counts.get(shot) ?? 0) + 1);
  }
  return counts;
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-board-page': BoardPage;
  }
}
