import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Draft, Shot } from '../../core/document/index.ts';
import '../calls/calls-panel.ts';
import type { Calling } from '../calls/calling.ts';
import '../drafts/drafts-leaf.ts';
import '../notes/notes-panel.ts';
import { NotesReader } from '../notes/notes-reader.ts';
import '../parts/leaves.ts';
import { rememberedLeaf } from '../parts/leaves.ts';
import type { LiveDraft, SelectDetail, Session } from '../session/index.ts';

const LEAVES = ['notes', 'drafts', 'calls'] as const;
export type Leaf = (typeof LEAVES)[number];

/**
 * The column beside the drawing in leaves: notes, the drafts of the shot, and making the call. Passes on the events of
 * both: `cl-choose-note`, `cl-about`, `cl-hold`.
 */
@customElement('cl-beside')
export class Beside extends LitElement {
  static override styles = css`
    :host {
      display: block;
    }
    /* Under a drawing that takes the whole width lines would be too long to read. */
    cl-leaves > * {
      max-width: 44rem;
    }
  `;

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot!: Shot;
  @property({ attribute: false }) calling!: Calling;
  @property({ attribute: false }) drafts: readonly Draft[] = [];
  /** Id of the draft shown. */
  @property({ attribute: false }) draft = '';
  @property({ attribute: false }) live: LiveDraft | null = null;
  /** Frame number shown, or null where the shot is one pose. */
  @property({ attribute: false }) frame: number | null = null;
  @property({ attribute: false }) selection: SelectDetail = { pin: null, label: '' };
  /** The note that is open. */
  @property({ attribute: false }) chosen: string | null = null;

  /** The leaf that is shown. */
  @state() leaf: Leaf = LEAVES.find((id) => id === rememberedLeaf('beside', LEAVES)) ?? 'notes';
  private readonly reader = new NotesReader(this, () => this.session);

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    // A note that was pressed in the drawing or came by its address is to be read.
    if (changed.has('chosen') && this.chosen !== null) this.leaf = 'notes';
  }

  protected override render() {
    const { session, shot, live } = this;
    const open = this.reader.notes(shot.id).filter(({ state }) => state === 'open').length;
    const called = this.calling.open;
    const leaves = [
      { id: 'notes', word: 'Notes', mark: `${open} open` },
      { id: 'drafts', word: 'Drafts', mark: String(this.drafts.length) },
      { id: 'calls', word: 'Calls', ...(called === null ? {} : { mark: `${called.count} made` }) },
    ];
    // The notes stay in the page behind another leaf: what somebody is writing stays with them.
    return html`<cl-leaves
      name="beside" label="Beside the drawing" .leaves=${leaves} .chosen=${this.leaf}
      @cl-leaf=${({ detail }: CustomEvent<Leaf>) => {
        this.leaf = detail;
      }}
    >
      <cl-notes-panel
        slot="notes"
        .session=${session}
        .shot=${shot.id}
        .draft=${this.draft}
        .frame=${this.frame}
        .scene=${live?.scene ?? null}
        .report=${live === null || live.hidden ? null : live.report}
        .selection=${this.selection}
        .chosen=${this.chosen}
      ></cl-notes-panel>
      ${
        this.leaf === 'drafts'
          ? html`<cl-drafts-leaf slot="drafts" .session=${session} .shot=${shot} .draft=${this.draft}></cl-drafts-leaf>`
          : nothing
      }
      ${
        this.leaf === 'calls'
          ? html`<cl-calls slot="calls" .session=${session} .calling=${this.calling} .live=${live}></cl-calls>`
          : nothing
      }
    </cl-leaves>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-beside': Beside;
  }
}
