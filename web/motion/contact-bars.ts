import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { type FrameSpan, readTouches, setEntries } from '../../core/document/index.ts';
import type { ContactSpan } from '../../core/motion/index.ts';
import type { Patch } from '../bench/movables.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import {
  type ContactRow,
  contactRows,
  type End,
  roomOf,
  withEnd,
  withoutBar,
} from './contact-rows.ts';
import type { StripChart } from './strip-chart.ts';

/** Bars narrower than this have no ends to take hold of, CSS pixels: go nearer first. */
const GRASP = 20;
/** Frames that an arrow key goes with Shift. */
const LEAP = 10;
const HIGH = 24;

interface Held {
  readonly row: ContactRow;
  /** Index of the bar in its row; it stays the same in a drag. */
  readonly at: number;
  readonly bar: FrameSpan;
  readonly end: End;
  /** From the end's edge to the pointer, CSS pixels. */
  readonly off: number;
  frame: number;
}

/**
 * When each part carries, as bars under the margin strip: outlined as found, full as set by hand, their
 * ends to be dragged, or moved by arrow keys. The leaf Frames has the same to be typed.
 */
@customElement('cl-contact-bars')
export class ContactBars extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .row {
        position: relative;
        height: ${HIGH}px;
        border-bottom: 1px solid var(--rule);
      }
      .name {
        position: absolute;
        left: 0;
        max-width: 60px;
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
        line-height: ${HIGH}px;
        font-size: 0.875rem;
      }
      svg {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
        pointer-events: none;
      }
      path {
        fill: var(--sheet);
        stroke: var(--pencil);
        stroke-width: 1.5;
      }
      .by-hand path {
        fill: var(--ink);
        stroke: var(--ink);
      }
      [role='slider'] {
        position: absolute;
        top: 0;
        width: 24px;
        height: ${HIGH}px;
        touch-action: none;
        cursor: ew-resize;
      }
      [role='slider']::before {
        content: '';
        position: absolute;
        top: 4px;
        bottom: 4px;
        width: 3px;
        background: var(--ink);
      }
      .from {
        margin-left: -16px;
      }
      .from::before {
        left: 15px;
      }
      .to {
        margin-left: -8px;
      }
      .to::before {
        left: 6px;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  /** Changes whenever the draft does, which stays the same object. */
  @property({ attribute: false }) entries!: LiveDraft['entries'];
  /** When patches carry, as the weighing has it. */
  @property({ attribute: false }) contacts: readonly ContactSpan[] = [];
  @property({ attribute: false }) chart!: StripChart;
  /** Changes whenever the chart shows other frames, or itself in another width. */
  @property() seen = '';
  @property({ type: Number }) first = 1;
  @property({ type: Number }) last = 0;
  @property({ type: Boolean }) mayEdit = false;

  private held: Held | null = null;

  private write(patch: Patch, done: string): void {
    const { session, draft } = this.live;
    session.edit('scenes', done, (doc, origin) => setEntries(doc, draft, patch, origin));
    session.say(`${done.charAt(0).toUpperCase()}${done.slice(1)}.`);
  }

  private says({ word }: ContactRow, end: End, frame: number): string {
    return `let the ${word} carry ${end === 'from' ? 'from' : 'to'} frame ${frame + this.first}`;
  }

  private set(row: ContactRow, bar: FrameSpan, end: End, wanted: number): void {
    const [low, high] = roomOf(row, bar, end, this.last);
    const frame = Math.max(low, Math.min(high, wanted));
    if (frame === bar[end === 'from' ? 0 : 1]) return;
    this.write(withEnd(row, bar, end, frame), this.says(row, end, frame));
  }

  private edge(bar: FrameSpan, end: End): number {
    return end === 'from' ? this.chart.x(bar[0] - 0.5) : this.chart.x(bar[1] + 0.5);
  }

  private onDown(event: PointerEvent, row: ContactRow, bar: FrameSpan, end: End): void {
    if (event.button !== 0) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const off = event.clientX - this.getBoundingClientRect().left - this.edge(bar, end);
    const at = row.bars.indexOf(bar);
    this.held = { row, at, bar, end, off, frame: bar[end === 'from' ? 0 : 1] };
  }

  private onMove(event: PointerEvent): void {
    const { held, live, chart } = this;
    if (held === null) return;
    const { row, bar, end } = held;
    const half = (chart.x(1) - chart.x(0)) / 2;
    const at = event.clientX - this.getBoundingClientRect().left - held.off;
    const [low, high] = roomOf(row, bar, end, this.last);
    const frame = chart.frameAt(at + (end === 'from' ? half : -half));
    const next = Math.max(low, Math.min(high, frame));
    if (next === held.frame) return;
    held.frame = next;
    live.session.show({ drag: { draft: live.draft, entries: withEnd(row, bar, end, next) } });
  }

  private onUp(): void {
    const { held, live } = this;
    this.held = null;
    if (held === null || live.session.drag === null) return;
    const { row, bar, end, frame } = held;
    if (frame === bar[end === 'from' ? 0 : 1]) live.session.cancelDrag();
    else live.session.commitDrag(this.says(row, end, frame));
  }

  private onCancel(): void {
    if (this.held !== null && this.live.session.drag !== null) this.live.session.cancelDrag();
    this.held = null;
  }

  private onKey(event: KeyboardEvent, row: ContactRow, bar: FrameSpan, end: End): void {
    const leap = event.shiftKey ? LEAP : 1;
    const frame = bar[end === 'from' ? 0 : 1];
    if (event.key === 'ArrowRight' || event.key === 'ArrowUp')
      this.set(row, bar, end, frame + leap);
    else if (event.key === 'ArrowLeft' || event.key === 'ArrowDown')
      this.set(row, bar, end, frame - leap);
    else if (event.key === 'Delete' || event.key === 'Backspace')
      this.write(withoutBar(row, bar), `took a span of the ${row.word} away`);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  private renderEnd(row: ContactRow, bar: FrameSpan, end: End, name: string) {
    const { first } = this;
    const [low, high] = roomOf(row, bar, end, this.last);
    const frame = bar[end === 'from' ? 0 : 1];
    return html`<div role="slider" tabindex="0" class=${end} style="left:${this.edge(bar, end)}px"
      data-end=${end} aria-label="${name} carries ${end === 'from' ? 'from' : 'to'} frame"
      aria-valuemin=${low + first} aria-valuemax=${high + first} aria-valuenow=${frame + first}
      title="${name} carries ${end === 'from' ? 'from' : 'to'} frame ${frame + first}: drag, or arrow keys; Delete takes the span away"
      @pointerdown=${(event: PointerEvent) => this.onDown(event, row, bar, end)}
      @pointermove=${this.onMove} @pointerup=${this.onUp} @pointercancel=${this.onCancel}
      @keydown=${(event: KeyboardEvent) => this.onKey(event, row, bar, end)}></div>`;
  }

  private renderRow(row: ContactRow, several: boolean) {
    const { left, width } = this.chart.room;
    const owner = this.live.scene.figures.find(({ id }) => id === row.figure)?.name ?? row.figure;
    const name = several ? `${row.word} of ${owner}` : row.word;
    const ends = row.bars.map((bar) => [this.edge(bar, 'from'), this.edge(bar, 'to')] as const);
    const within = (x: number): number => Math.max(left, Math.min(left + width, x));
    const drawn = ends
      .filter(([from, to]) => to > left && from < left + width)
      .map(([from, to]) => `M${within(from)},8H${within(to)}V16H${within(from)}Z`);
    // What is held stays: taken out of the page it would lose the pointer.
    const { held } = this;
    const isHeld = (i: number): boolean =>
      held?.row.figure === row.figure && held.row.word === row.word && held.at === i;
    const isSeen = (x: number): boolean => x >= left - 1 && x <= left + width + 1;
    return html`<div class="row ${row.byHand ? 'by-hand' : ''}" role="group" data-part=${row.word}
      aria-label="When the ${name} carries, ${row.byHand ? 'set by hand' : 'as found'}">
      <span class="name" title=${name}>${name}</span>
      <svg aria-hidden="true">${svg`<path d=${drawn.join('')} />`}</svg>
      ${
        this.mayEdit
          ? row.bars.map((bar, i) => {
              const [from = 0, to = 0] = ends[i] ?? [];
              if (to - from < GRASP && !isHeld(i)) return nothing;
              return html`${isSeen(from) || isHeld(i) ? this.renderEnd(row, bar, 'from', name) : nothing}
                ${isSeen(to) || isHeld(i) ? this.renderEnd(row, bar, 'to', name) : nothing}`;
            })
          : nothing
      }
    </div>`;
  }

  protected override render() {
    const rows = contactRows(this.contacts, readTouches(this.entries));
    const several = new Set(rows.map(({ figure }) => figure)).size > 1;
    return rows.map((row) => this.renderRow(row, several));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-contact-bars': ContactBars;
  }
}
