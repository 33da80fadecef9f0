import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { SegmentName } from '../../core/body/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { inscribedCircle } from '../../core/geometry/index.ts';
import type { Figure } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import { movableAt } from './movables.ts';
import './number-field.ts';
import { type DragWay, WAY_WORDS, WAYS } from './pose-settings.ts';
import './pose-tools.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import './start-row.ts';
import './turn-panel.ts';

/**
 * The leaf of posing: start poses, how drags go, the plumb line in numbers, every joint and place in
 * numbers, and changes of a whole pose. Its parts fire `cl-pick` (detail: Pin).
 */
@customElement('cl-pose-leaf')
export class PoseLeaf extends LitElement {
  static override styles = [
    shared,
    formStyles,
    css`
      section {
        margin-top: 0.9rem;
      }
      h2 {
        font-size: 1rem;
        margin-bottom: 0.3rem;
      }
      .fields {
        display: grid;
        gap: 0.35rem;
        margin-bottom: 0.3rem;
      }
      .check {
        display: flex;
        gap: 0.4rem;
        align-items: center;
        min-height: 24px;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  /** Changes when `posing` does, which stays the same object. */
  @property({ attribute: false }) settings!: Posing['settings'];
  @property({ attribute: false }) selection: Pin | null = null;
  /** Figures that follow a clip. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();

  private last: { figure: string; segment: SegmentName } | null = null;

  protected override willUpdate(): void {
    const { selection } = this;
    if (selection?.kind === 'joint')
      this.last = { figure: selection.figure, segment: selection.segment };
    else if (selection?.kind === 'plumb')
      this.last = { figure: selection.figure, segment: this.last?.segment ?? 'pelvis' };
  }

  private renderDragging() {
    const { posing, settings } = this;
    return html`<section>
      <h2>Dragging</h2>
      <label class="field"><span>goes</span>
        <select @change=${(event: Event) => posing.use({ way: (event.target as HTMLSelectElement).value as DragWay })}>
          ${WAYS.map((way) => html`<option value=${way} ?selected=${way === settings.way}>${WAY_WORDS[way]}</option>`)}
        </select></label>
      <label class="check"><input type="checkbox" .checked=${settings.keepPlumb}
        @change=${(event: Event) => posing.use({ keepPlumb: (event.target as HTMLInputElement).checked })}
        />keep the plumb line: the body moves against a dragged hand</label>
      <p class="remark">Hold X, Y or Z in a drag for left and right, up and down, ahead and back.</p>
    </section>`;
  }

  private moveFoot(figure: Figure, axis: 0 | 2, metres: number): void {
    const movable = { kind: 'centre', figure: figure.id } as const;
    const at = movableAt(this.posing.now(), movable);
    if (at === null) return;
    this.posing.moveTyped(movable, axis === 0 ? [metres, at[1], at[2]] : [at[0], at[1], metres]);
  }

  /** Pulls the centre over the place in the support that is farthest from every edge. */
  private overMiddle(figure: Figure): void {
    const movable = { kind: 'centre', figure: figure.id } as const;
    const now = this.posing.now();
    const at = movableAt(now, movable);
    const own = now.report.figures.find((one) => one.figure === figure.id);
    const polygon = own?.support.functional.length ? own.support.functional : own?.support.polygon;
    const circle = polygon === undefined ? null : inscribedCircle(polygon);
    if (at === null || circle === null) {
      this.posing.say(`${figure.name} has no support with a middle.`);
      return;
    }
    this.posing.moveTyped(movable, [circle.centre[0], at[1], circle.centre[1]]);
  }

  private renderFoot(figure: Figure) {
    const at = movableAt(this.shown, { kind: 'centre', figure: figure.id });
    if (at === null) return nothing;
    const field = (label: string, axis: 0 | 2) => html`<cl-number label=${label} unit="cm"
      data-foot=${label} .value=${at[axis] * 100}
      @cl-value=${(event: CustomEvent<number>) => this.moveFoot(figure, axis, event.detail / 100)}></cl-number>`;
    return html`<section>
      <h2>Foot of the line</h2>
      <div class="fields">${field('left', 0)} ${field('ahead', 2)}</div>
      <div class="row"><button type="button" @click=${() => this.overMiddle(figure)}>over the middle of the support</button></div>
    </section>`;
  }

  protected override render() {
    const { posing, shown, selection, fixed, settings, live } = this;
    const figures = shown.scene.figures.filter(({ id }) => !fixed.has(id));
    const figure = figures.find(({ id }) => id === this.last?.figure) ?? figures[0];
    if (figure === undefined) return nothing;
    return html`
      <section>
        <h2>Start poses${figures.length > 1 ? ` for ${figure.name}` : ''}</h2>
        <cl-start-row .live=${live} .posing=${posing} .figure=${figure}></cl-start-row>
      </section>
      <section>
        <h2>Joints and places</h2>
        <cl-turn .shown=${shown} .posing=${posing} .settings=${settings} .selection=${selection} .fixed=${fixed}></cl-turn>
      </section>
      ${this.renderFoot(figure)} ${this.renderDragging()}
      <section>
        <h2>The whole pose</h2>
        <cl-pose-tools .posing=${posing} .figure=${figure} .segment=${this.last?.segment ?? 'pelvis'}></cl-pose-tools>
      </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-pose-leaf': PoseLeaf;
  }
}
