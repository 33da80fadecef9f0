import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import type { Handle } from '../../core/balance/index.ts';
import { SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import { figureKey, type Pin } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Figure } from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import { handleOf, type Movable, movableAt } from './movables.ts';
import './number-field.ts';
import { isLocked, withLock } from './pose-settings.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import { angleWord, freeAngles, relaxJoint, setAngle } from './turns.ts';
import { handleWord, segmentWord } from './words.ts';

const DEGREE = Math.PI / 180;
const AXES = ['left', 'up', 'ahead'] as const;
/** What of a part its place is told of, where that is not the part's own word. */
const PLACE_WORDS: Readonly<Partial<Record<Handle, string>>> = {
  handL: 'left palm',
  handR: 'right palm',
  footL: 'left ankle',
  footR: 'right ankle',
  head: 'middle of the head',
  chest: 'middle of the chest',
};

/**
 * The typed twin of every drag on a figure: where its hands, feet, hips and head are, the angles of
 * each joint, and the place of the whole figure. Fires `cl-pick` (detail: Pin).
 */
@customElement('cl-turn')
export class TurnPanel extends LitElement {
  static override styles = [
    shared,
    formStyles,
    css`
      .choose {
        display: grid;
        grid-auto-flow: column;
        grid-auto-columns: minmax(0, 1fr);
        gap: 0.5rem;
        margin-bottom: 0.5rem;
      }
      .body {
        display: grid;
        gap: 0.35rem;
      }
      h3 {
        font-size: 0.875rem;
        color: var(--pencil);
        margin-top: 0.3rem;
      }
    `,
  ];

  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  /** Changes when `posing` does, which stays the same object. */
  @property({ attribute: false }) settings!: Posing['settings'];
  @property({ attribute: false }) selection: Pin | null = null;
  /** Figures that follow a clip. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  @state() private last: { figure: string; segment: SegmentName } | null = null;

  protected override willUpdate(): void {
    const { selection } = this;
    if (selection?.kind === 'joint') {
      this.last = { figure: selection.figure, segment: selection.segment };
    }
  }

  private pick(figure: string, segment: SegmentName): void {
    const detail: Pin = { kind: 'joint', figure, segment };
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  private place(movable: Movable, axis: number, metres: number): void {
    const at = movableAt(this.posing.now(), movable);
    if (at === null) return;
    const target = at.map((old, i) => (i === axis ? metres : old)) as unknown as Vec3;
    this.posing.moveTyped(movable, target);
  }

  private lock(figure: Figure, segment: SegmentName, locked: boolean): void {
    this.posing.use(withLock(this.settings, figure.id, segment, locked));
    this.posing.say(
      locked
        ? `The ${segmentWord(segment)} of ${figure.name} keeps its turn in drags.`
        : `The ${segmentWord(segment)} of ${figure.name} turns in drags again.`,
    );
  }

  /** The figure at this moment: what is shown may be a frame older. */
  private fresh(figure: Figure): Figure {
    return this.posing.now().scene.figures.find(({ id }) => id === figure.id) ?? figure;
  }

  private renderPlace(figure: Figure, part: Handle) {
    const movable: Movable = { kind: 'part', figure: figure.id, part };
    const at = movableAt(this.shown, movable);
    if (at === null) return nothing;
    const where = part === 'pelvis' ? 'hips are' : `${PLACE_WORDS[part] ?? handleWord(part)} is`;
    return html`<h3>Where the ${where}; what is planted stays</h3>
      ${at.map(
        (metres, axis) => html`<cl-number label=${AXES[axis] ?? ''} unit="cm" .value=${metres * 100}
          @cl-value=${(event: CustomEvent<number>) => this.place(movable, axis, event.detail / 100)}
        ></cl-number>`,
      )}`;
  }

  private renderAngles(figure: Figure, segment: SegmentName) {
    return freeAngles(figure, segment).map(
      ({ name, value, from, to }) => html`<cl-number label=${angleWord(segment, name)} unit="°"
        data-angle=${name}
        .value=${value / DEGREE}
        .min=${Math.ceil((from / DEGREE) * 10) / 10}
        .max=${Math.floor((to / DEGREE) * 10) / 10}
        @cl-value=${(event: CustomEvent<number>) =>
          this.posing.set(
            setAngle(this.fresh(figure), segment, name, event.detail * DEGREE),
            `turned the ${segmentWord(segment)}`,
          )}
      ></cl-number>`,
    );
  }

  private renderWhole(figure: Figure) {
    const { position } = figure.pose;
    const set = (axis: number, metres: number): void => {
      const next = this.fresh(figure).pose.position.map((old, i) => (i === axis ? metres : old));
      this.posing.set({ [figureKey(figure.id, 'position')]: next }, `moved ${figure.name}`);
    };
    return html`<details>
      <summary>The whole of ${figure.name}</summary>
      <div class="body">
        ${position.map(
          (
            metres,
            axis,
          ) => html`<cl-number label=${AXES[axis] ?? ''} unit="cm" .value=${metres * 100}
            data-root=${axis}
            @cl-value=${(event: CustomEvent<number>) => set(axis, event.detail / 100)}></cl-number>`,
        )}
        ${this.renderAngles(figure, 'pelvis')}
      </div>
    </details>`;
  }

  protected override render() {
    const figures = this.shown.scene.figures.filter(({ id }) => !this.fixed.has(id));
    const figure = figures.find(({ id }) => id === this.last?.figure) ?? figures[0];
    if (figure === undefined) return nothing;
    const segment = this.last?.segment ?? 'pelvis';
    const part = handleOf(segment);
    const locked = isLocked(this.settings, figure.id, segment);
    return html`
      <div class="choose">
        ${
          figures.length < 2
            ? nothing
            : html`<label><span class="hidden-text">Figure</span>
          <select style="width:100%" @change=${(event: Event) => this.pick((event.target as HTMLSelectElement).value, segment)}>
            ${figures.map(({ id, name }) => html`<option value=${id} ?selected=${id === figure.id}>${name}</option>`)}
          </select></label>`
        }
        <label><span class="hidden-text">Part</span>
          <select style="width:100%" @change=${(event: Event) => this.pick(figure.id, (event.target as HTMLSelectElement).value as SegmentName)}>
            ${SEGMENTS.map((name) => html`<option value=${name} ?selected=${name === segment}>${segmentWord(name)}</option>`)}
          </select></label>
      </div>
      <div class="body">
        ${keyed(
          // Fields of another part are other fields: what is half typed must not go over to it.
          `${figure.id}/${segment}`,
          html`${segment === 'pelvis' ? nothing : this.renderAngles(figure, segment)}
          ${part === undefined ? nothing : this.renderPlace(figure, part)}`,
        )}
        ${keyed(figure.id, this.renderWhole(figure))}
        <div class="row">
          ${
            segment === 'pelvis'
              ? nothing
              : html`<button type="button" @click=${() =>
                  this.posing.set(
                    relaxJoint(this.fresh(figure), segment),
                    `relaxed the ${segmentWord(segment)}`,
                  )}>relax the ${segmentWord(segment)}</button>`
          }
          <button type="button" aria-pressed=${locked} @click=${() => this.lock(figure, segment, !locked)}
            >${locked ? 'locked' : 'lock'}<span class="hidden-text"> the ${segmentWord(segment)} in drags</span></button>
        </div>
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-turn': TurnPanel;
  }
}
