import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type * as Y from 'yjs';
import { addDraft, readScene } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import { forgetKept, type KeptCopy, keptCopies, openKept } from '../session/kept-apart.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';
import { type KeptDraft, keptDrafts, keptWords } from './differences.ts';

interface Found {
  readonly copy: KeptCopy;
  readonly doc: Y.Doc;
  readonly drafts: readonly KeptDraft[];
  readonly words: readonly string[];
}

/**
 * Work of mine that is kept apart in this browser: what the server refused, and what was done before a
 * restore. Drafts come back as new drafts beside what is there; words can be copied. A button that
 * shows itself only where there is something.
 */
@customElement('cl-kept-work')
export class KeptWork extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      :host {
        display: inline-block;
      }
      section {
        display: grid;
        gap: 0.5rem;
        justify-items: start;
      }
      h3 {
        justify-self: stretch;
      }
      li {
        display: flex;
        flex-wrap: wrap;
        gap: 0.3rem 0.9rem;
        align-items: baseline;
        padding-block: 0.2rem;
      }
      blockquote {
        margin: 0;
        padding-left: 0.7rem;
        border-left: 2px solid var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private found: readonly Found[] = [];
  @query('dialog') private dialog!: HTMLDialogElement;

  override connectedCallback(): void {
    super.connectedCallback();
    void this.look();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    for (const { doc } of this.found) doc.destroy();
    this.found = [];
  }

  private async look(): Promise<void> {
    const { session } = this;
    const { review, me, generation, documents } = session;
    const found: Found[] = [];
    for (const copy of await keptCopies(review, me.id, generation)) {
      const doc = await openKept(copy);
      const drafts = copy.document === 'scenes' ? keptDrafts(doc, documents.scenes) : [];
      const words = copy.document === 'notes' ? keptWords(doc, documents.notes) : [];
      if (drafts.length + words.length > 0) {
        found.push({ copy, doc, drafts, words });
        continue;
      }
      // Nothing in it that the review has not: there is nothing to keep.
      doc.destroy();
      if (copy.refusedAt !== null) await forgetKept(copy);
    }
    if (this.isConnected) this.found = found;
  }

  private handleBack({ doc, copy }: Found, { draft, shot }: KeptDraft): void {
    const { session } = this;
    const title = `kept apart: ${draft.title === '' ? `draft ${draft.number}` : draft.title}`;
    session.edit('scenes', `brought a draft of ${shot.code} back`, (target, origin) => {
      const { clip, words } = draft;
      const made = { id: crypto.randomUUID(), shot: shot.id, from: null, title, words, clip };
      addDraft(target, made, readScene(doc, draft.id), origin);
    });
    session.say(`It is back as a new draft of ${shot.code}; nothing was overwritten.`);
    this.found = this.found.map((each) =>
      each.copy === copy ? { ...each, drafts: each.drafts.filter((d) => d.draft !== draft) } : each,
    );
  }

  private async handleForget({ copy, doc }: Found): Promise<void> {
    doc.destroy();
    await forgetKept(copy);
    this.found = this.found.filter((each) => each.copy !== copy);
    if (this.found.length === 0) this.dialog.close();
  }

  private async handleCopy(words: string): Promise<void> {
    await navigator.clipboard.writeText(words);
    this.session.say('The words are copied.');
  }

  private renderFound(found: Found) {
    const { copy, drafts, words } = found;
    const writes = this.session.mayWrite('scenes');
    return html`<section>
      <h3>
        ${
          copy.refusedAt === null
            ? 'From before the server was put back'
            : `Not taken by the server, ${sayWhen(new Date(copy.refusedAt).toISOString(), new Date())}`
        }
      </h3>
      <ul>
        ${drafts.map(
          (kept) => html`<li>
            <span>${kept.shot.code} ${kept.shot.title}, draft ${kept.draft.number}</span>
            ${
              !kept.hasShot
                ? html`<span class="pencil">its shot is not on the board any more</span>`
                : writes
                  ? html`<button @click=${() => this.handleBack(found, kept)}>Bring back as a new draft</button>`
                  : nothing
            }
          </li>`,
        )}
        ${words.map(
          (text) => html`<li>
            <blockquote>${text}</blockquote>
            <button @click=${() => void this.handleCopy(text)}>Copy the words</button>
          </li>`,
        )}
      </ul>
      <button @click=${() => void this.handleForget(found)}>Forget this copy</button>
    </section>`;
  }

  protected override render() {
    if (this.found.length === 0) return nothing;
    return html`<button @click=${() => this.dialog.showModal()}>Kept work</button>
      <dialog aria-labelledby="title">
        <div class="head">
          <h2 id="title">Kept work</h2>
          <button @click=${() => this.dialog.close()}>Close</button>
        </div>
        <p class="pencil">
          This is in this browser alone. Bring back what you still want; what is in the review stays as
          it is.
        </p>
        ${this.found.map((found) => this.renderFound(found))}
      </dialog>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-kept-work': KeptWork;
  }
}
