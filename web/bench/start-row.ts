import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { putThing, setEntries } from '../../core/document/index.ts';
import { type Figure, START_POSES, type StartPose } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import type { Posing } from './posing.ts';
import { drawAll, isDrawn, startDrawing, TILE } from './start-drawings.ts';
import { needWords, startOn } from './starting.ts';

/**
 * Start poses as a row of small drawings. Pressing one puts the figure into it, as one undo step; it
 * keeps its place and body. Arrow keys go along the row.
 */
@customElement('cl-start-row')
export class StartRow extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .tiles {
        display: grid;
        grid-template-rows: repeat(2, auto);
        grid-auto-flow: column;
        grid-auto-columns: ${TILE.width + 8}px;
        gap: 2px;
        overflow-x: auto;
        padding: 3px;
        margin: 0 -3px;
      }
      .tiles button {
        display: grid;
        grid-template-rows: ${TILE.height}px auto;
        justify-items: center;
        align-items: start;
        padding: 2px;
        border: 1px solid transparent;
        text-align: center;
        min-width: 0;
      }
      .tiles button:hover {
        border-color: var(--ink);
      }
      .tiles span {
        font-size: 0.8125rem;
        line-height: 1.05;
      }
      .tiles svg {
        pointer-events: none;
      }
      label {
        display: flex;
        gap: 0.4rem;
        align-items: center;
        min-height: 24px;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) figure!: Figure;
  @state() private withNeeds = true;
  /** The tile that the Tab key comes to. */
  @state() private at = 0;
  private stop: (() => void) | null = null;

  override connectedCallback(): void {
    super.connectedCallback();
    this.stop = drawAll(() => this.requestUpdate());
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.stop?.();
  }

  private take(start: StartPose): void {
    const { live, posing } = this;
    const now = posing.now();
    const figure = now.scene.figures.find(({ id }) => id === this.figure.id);
    if (figure === undefined) return;
    const { patch, things } = startOn(now, figure, start);
    const needs = needWords(start, figure);
    live.session.edit('scenes', `put ${figure.name} into: ${start.name}`, (doc, origin) => {
      setEntries(doc, live.draft, patch, origin);
      if (this.withNeeds) for (const thing of things) putThing(doc, live.draft, thing, origin);
    });
    const more =
      needs === '' ? '' : this.withNeeds ? `, with ${needs}` : `; it is made for ${needs}`;
    live.session.say(`${figure.name}: ${start.name}${more}.`);
  }

  private onKey(event: KeyboardEvent): void {
    const last = START_POSES.length - 1;
    const ways: Readonly<Record<string, number>> = {
      ArrowRight: Math.min(last, this.at + 2),
      ArrowLeft: Math.max(0, this.at - 2),
      ArrowDown: Math.min(last, this.at + 1),
      ArrowUp: Math.max(0, this.at - 1),
      Home: 0,
      End: last,
    };
    const next = ways[event.key];
    if (next === undefined) return;
    event.preventDefault();
    this.at = next;
    void this.updateComplete.then(() =>
      this.renderRoot.querySelectorAll<HTMLElement>('.tiles button')[next]?.focus(),
    );
  }

  protected override render() {
    return html`<div class="tiles" role="toolbar" aria-label="Start poses" @keydown=${this.onKey}>
        ${START_POSES.map(
          (start, index) => html`<button type="button" data-start=${start.id}
            tabindex=${index === this.at ? 0 : -1}
            aria-label="${start.name}: ${start.verdict}"
            @focus=${() => {
              this.at = index;
            }}
            @click=${() => this.take(start)}>
            <div aria-hidden="true">${isDrawn(start.id) ? unsafeHTML(startDrawing(start)) : nothing}</div>
            <span aria-hidden="true">${start.name}</span>
          </button>`,
        )}
      </div>
      <label><input type="checkbox" .checked=${this.withNeeds}
        @change=${(event: Event) => {
          this.withNeeds = (event.target as HTMLInputElement).checked;
        }} />bring what a pose is made for (a chair, a load)</label>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-start-row': StartRow;
  }
}
