import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { footShift, movedBy } from '../../core/compare/index.ts';
import { readDraft } from '../../core/document/index.ts';
import { tellingView } from '../../core/drawing/index.ts';
import type { Extent, View } from '../bench/camera.ts';
import { Looking } from '../bench/looking.ts';
import { extentOf, type Shown, show } from '../bench/shown.ts';
import type { LiveDraft, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import './still.ts';
import { assess } from '../../core/balance/index.ts';
import type { Still } from './still.ts';
import { TwoDrafts } from './two-drafts.ts';

const VIEWS: readonly (readonly [View, string])[] = [
  ['front', 'Front'],
  ['side', 'Side'],
  ['orbit', 'Free'],
];

/**
 * Two drafts side by side, seen through one camera: whoever turns, moves or zooms one drawing turns the
 * other with it. The second is moved so that a foot planted in both stands in the same place.
 */
@customElement('cl-side-by-side')
export class SideBySide extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: flex;
        flex-direction: column;
        height: 100%;
        min-height: 30rem;
      }
      .tools {
        display: flex;
        flex-wrap: wrap;
        gap: 0.3rem 1rem;
        padding: 0.3rem 0.75rem;
      }
      .tools > span {
        display: flex;
        gap: 0.3rem 0.7rem;
      }
      .two {
        flex: 1;
        display: grid;
        grid-template-columns: repeat(2, minmax(0, 1fr));
        min-height: 0;
      }
      cl-still + cl-still {
        border-left: 1px solid var(--ink);
      }
      @media (max-width: 48rem) {
        .two {
          height: 75dvh;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) first = '';
  @property({ attribute: false }) second = '';
  /** Frame shown, counted from 0. */
  @property({ type: Number }) frame = 0;

  @query('cl-still') private still!: Still | null;
  private readonly drafts = new TwoDrafts(this);
  private readonly looking = new Looking(this);
  private opened = '';
  private seen: readonly unknown[] = [];
  private shown: readonly [Shown, Shown] | null = null;
  private readonly resized = new ResizeObserver(() => this.measure());

  protected override updated(): void {
    if (this.still === null) return;
    this.resized.observe(this.still);
    if (!this.looking.ready) void this.still.updateComplete.then(() => this.measure());
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
  }

  private measure(): void {
    if (this.still === null) return;
    const { width, elevation, plan } = this.still.measure();
    this.looking.resize(width, elevation, plan, false);
  }

  protected override willUpdate(): void {
    this.drafts.follow();
    const both = this.drafts.both;
    if (both === null) return;
    const parts = both.flatMap(({ scene, report }) => [scene, report]);
    if (parts.every((part, i) => part === this.seen[i])) return;
    this.seen = parts;
    this.shown = this.showBoth(both);
    const [first, second] = this.shown.map(extentOf);
    const key = `${this.first} ${this.second}`;
    if (this.opened !== key && this.shown[1].report.groups.length > 0) {
      this.opened = key;
      this.looking.open(tellingView(this.shown[1].report));
    }
    if (first !== undefined && second !== undefined) {
      const around = roundBoth(first, second);
      this.looking.setExtent(around, around);
    }
  }

  private showBoth([first, second]: readonly [LiveDraft, LiveDraft]): readonly [Shown, Shown] {
    const shift = footShift([first.scene, first.report], [second.scene, second.report]);
    const scene = shift === null ? second.scene : movedBy(second.scene, shift);
    const report = shift === null ? second.report : assess(scene);
    return [show(first.scene, first.report), show(scene, report)];
  }

  private heading(draft: string): string {
    const found = readDraft(this.session.documents.scenes, draft);
    if (found === null) return 'A draft that is gone';
    return `Draft ${found.number}${found.title === '' ? '' : `: ${found.title}`}`;
  }

  protected override render() {
    const { both } = this.drafts;
    const { looking, shown, session } = this;
    if (both === null || shown === null) return nothing;
    return html`<div class="tools">
        <span role="group" aria-label="View of both">
          ${VIEWS.map(
            ([view, word]) => html`<button aria-pressed=${looking.view === view}
              @click=${() => looking.setView(view)}>${word}</button>`,
          )}
        </span>
        <span>
          <button @click=${() => looking.zoomAt(1.25)}>Nearer</button>
          <button @click=${() => looking.zoomAt(0.8)}>Farther</button>
          <button @click=${() => looking.whole()}>Show all</button>
        </span>
      </div>
      <div class="two">
        ${both.map(
          (live, i) => html`<cl-still .session=${session} .live=${live} .shown=${shown[i]}
            .looking=${looking} .eye=${looking.eye}
            .heading=${this.heading(live.draft)}></cl-still>`,
        )}
      </div>`;
  }
}

function roundBoth(a: Extent, b: Extent): Extent {
  const { min, max } = Math;
  const corner = (pick: (x: number, y: number) => number, p: Extent['min'], q: Extent['min']) =>
    [pick(p[0], q[0]), pick(p[1], q[1]), pick(p[2], q[2])] as const;
  const flat = (
    pick: (x: number, y: number) => number,
    p: Extent['footing']['from'],
    q: Extent['footing']['from'],
  ) => [pick(p[0], q[0]), pick(p[1], q[1])] as const;
  return {
    min: corner(min, a.min, b.min),
    max: corner(max, a.max, b.max),
    footing: {
      from: flat(min, a.footing.from, b.footing.from),
      to: flat(max, a.footing.to, b.footing.to),
    },
    heart: a.heart,
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-side-by-side': SideBySide;
  }
}
