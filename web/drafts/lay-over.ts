import { html, LitElement, nothing, svg } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { assess, type BalanceReport } from '../../core/balance/index.ts';
import { type Comparison, compareScenes, movedBy } from '../../core/compare/index.ts';
import { readDraft } from '../../core/document/index.ts';
import {
  drawScene,
  type Extent,
  projectionOf,
  tellingView,
  type ViewName,
} from '../../core/drawing/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import '../badge/badge.ts';
import { centimetres } from '../badge/words.ts';
import { segmentWord } from '../bench/words.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { arrowHead } from './arrow-head.ts';
import { layOverStyles } from './lay-over.styles.ts';
import { marginArrow } from './margin-arrow.ts';
import { blendOf, sheetExtents, type Weighed } from './sheets.ts';
import { TwoDrafts } from './two-drafts.ts';
import { marginChange } from './words.ts';

/** Share of the height that the elevation takes. */
const ELEVATION = 0.68;
/** Below this height there is nothing to be seen, pixels. */
const LEAST = 60;
/** How far over what it tells of an arrow stands, pixels. */
const LIFT = 13;

/**
 * Two drafts laid over each other in one elevation and one plan, in two inks, matched on the planted
 * foot: a slider goes from one to the other, arrows show how the centre went, and a list names the
 * joints that moved.
 */
@customElement('cl-lay-over')
export class LayOver extends LitElement {
  static override styles = [shared, layOverStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) first = '';
  @property({ attribute: false }) second = '';
  /** Frame shown, counted from 0. */
  @property({ type: Number }) frame = 0;

  @query('.sheets') private sheets!: HTMLElement | null;
  @state() private view: 'front' | 'side' | null = null;
  @state() private at = 0.5;
  @state() private size = { width: 0, height: 0 };
  private readonly drafts = new TwoDrafts(this);
  private readonly resized = new ResizeObserver(([entry]) => {
    const { width = 0, height = 0 } = entry?.contentRect ?? {};
    this.size = { width, height };
  });
  /** What was compared last: the four parts it was made from, and the outcome. */
  private made: readonly [Scene, BalanceReport, Scene, BalanceReport] | null = null;
  private laid: { readonly comparison: Comparison; readonly second: Weighed } | null = null;

  protected override firstUpdated(): void {
    if (this.sheets !== null) this.resized.observe(this.sheets);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
  }

  protected override willUpdate(): void {
    this.drafts.follow();
  }

  /** The comparison and the second scene moved onto the first; made anew only when a draft changed. */
  private layOver([scene, report]: Weighed, [other, otherReport]: Weighed) {
    const parts = [scene, report, other, otherReport] as const;
    if (this.laid === null || !parts.every((part, i) => part === this.made?.[i])) {
      const comparison = compareScenes([scene, report], [other, otherReport]);
      const moved = movedBy(other, comparison.shift);
      this.made = parts;
      this.laid = { comparison, second: [moved, assess(moved)] };
    }
    return this.laid;
  }

  private number(draft: string): string {
    const found = readDraft(this.session.documents.scenes, draft);
    return found === null ? 'a draft that is gone' : `draft ${found.number}`;
  }

  private renderSheet(
    layers: readonly [Weighed, Weighed],
    at: { readonly view: ViewName; readonly height: number; readonly extent: Extent },
    arrow: readonly [Vec3, Vec3] | null,
  ) {
    const { width } = this.size;
    const under = this.view ?? 'front';
    const options = { view: at.view, under, width, height: at.height, extent: at.extent };
    const project = projectionOf(options);
    const strength = blendOf(this.at);
    const ends = arrow?.map((point) => {
      const [x, y] = project.at(point);
      return [x, y - LIFT] as const;
    });
    const [from, to] = [ends?.[0], ends?.[1]];
    return html`<div class="sheet" style="height:${at.height}px">
      ${layers.map(
        ([scene, report], layer) => html`<div
          class="layer ${layer === 0 ? 'first' : 'second'}"
          style="opacity:${strength[layer] ?? 1}"
        >${unsafeHTML(drawScene(scene, report, options))}</div>`,
      )}
      <svg class="arrows" width=${width} height=${at.height} aria-hidden="true">
        ${
          from === undefined || to === undefined
            ? nothing
            : svg`<line x1=${from[0]} y1=${from[1]} x2=${to[0]} y2=${to[1]} />
                <path d=${arrowHead(from, to)} />`
        }
      </svg>
    </div>`;
  }

  private renderSheets(layers: readonly [Weighed, Weighed], { centre, plumb }: Comparison) {
    const { width, height } = this.size;
    if (width < 1 || height < LEAST) return nothing;
    const under = this.view ?? 'front';
    const elevation = Math.round(height * ELEVATION);
    const plan = height - elevation;
    const extents = sheetExtents(layers, under, { width, elevation, plan });
    return html`${this.renderSheet(
      layers,
      { view: under, height: elevation, extent: extents.elevation },
      centre === null ? null : [centre.before, centre.after],
    )}
    ${this.renderSheet(
      layers,
      { view: 'plan', height: plan, extent: extents.plan },
      plumb === null
        ? null
        : [
            [plumb.before[0], 0, plumb.before[1]],
            [plumb.after[0], 0, plumb.after[1]],
          ],
    )}`;
  }

  private renderMoves({ joints, loads, onlyFirst, onlySecond }: Comparison) {
    const several = new Set(joints.map(({ figure }) => figure)).size > 1;
    const degrees = (angle: number): string => `${((angle * 180) / Math.PI).toFixed(0)}°`;
    if (joints.length + loads.length + onlyFirst.length + onlySecond.length === 0) {
      return html`<p>Nothing has moved.</p>`;
    }
    return html`<table>
        <caption class="hidden-text">What moved</caption>
        <thead>
          <tr><th scope="col">moved</th><th scope="col">turned</th><th scope="col">by</th></tr>
        </thead>
        <tbody>
          ${joints.map(
            ({ segment, name, turned, moved }) => html`<tr>
              <th scope="row">${segmentWord(segment)}${several ? ` of ${name}` : ''}</th>
              <td>${degrees(turned)}</td>
              <td>${centimetres(moved)}</td>
            </tr>`,
          )}
          ${loads.map(
            ({ name, moved, mass: [before, after] }) => html`<tr>
              <th scope="row">${name}${before === after ? '' : `, ${before ?? 'no mass'} to ${after ?? 'no'} kg`}</th>
              <td></td>
              <td>${centimetres(moved)}</td>
            </tr>`,
          )}
        </tbody>
      </table>
      ${onlyFirst.length > 0 ? html`<p class="small">Only in ${this.number(this.first)}: ${onlyFirst.join(', ')}</p>` : nothing}
      ${onlySecond.length > 0 ? html`<p class="small">Only in ${this.number(this.second)}: ${onlySecond.join(', ')}</p>` : nothing}`;
  }

  private renderFacts(comparison: Comparison) {
    const { matched, centre, margin, verdict } = comparison;
    const [one, two] = [this.number(this.first), this.number(this.second)];
    return html`<aside aria-label="What changed">
      <p class="key"><span class="first">${one}</span> <span class="second">${two}</span></p>
      <p>${marginChange(margin, verdict)}</p>
      ${marginArrow(margin)}
      ${centre === null ? nothing : html`<p>The centre moved ${centimetres(centre.moved)}.</p>`}
      <p class="small pencil">${
        matched === null
          ? 'No foot stands in both, so they lie as they were posed.'
          : `Matched on the ${matched.foot === 'L' ? 'left' : 'right'} foot.`
      }</p>
      ${this.renderMoves(comparison)}
    </aside>`;
  }

  private renderTools() {
    const [one, two] = [this.number(this.first), this.number(this.second)];
    const [a, b] = blendOf(this.at).map((part) => Math.round(part * 100));
    return html`<div class="tools">
      <span role="group" aria-label="View">
        ${(['front', 'side'] as const).map(
          (view) => html`<button
            aria-pressed=${this.view === view}
            @click=${() => {
              this.view = view;
            }}
          >${view === 'front' ? 'Front' : 'Side'}</button>`,
        )}
      </span>
      <label class="blend">
        <span>${one}</span>
        <input
          type="range" min="0" max="100" .value=${String(Math.round(this.at * 100))}
          aria-label="From ${one} to ${two}"
          aria-valuetext="${one} ${a} %, ${two} ${b} %"
          @input=${(event: Event) => {
            this.at = (event.currentTarget as HTMLInputElement).valueAsNumber / 100;
          }}
        />
        <span>${two}</span>
      </label>
    </div>`;
  }

  protected override render() {
    const { both } = this.drafts;
    if (both === null) return nothing;
    const [first, second] = both.map(({ scene, report }): Weighed => [scene, report]);
    if (first === undefined || second === undefined) return nothing;
    this.view ??= tellingView(second[1]);
    const laid = this.layOver(first, second);
    return html`${this.renderTools()}
      <div class="body">
        <div class="sheets" role="img" aria-label="${this.number(this.first)} and ${this.number(this.second)} over each other">
          ${this.renderSheets([first, laid.second], laid.comparison)}
        </div>
        ${this.renderFacts(laid.comparison)}
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-lay-over': LayOver;
  }
}
