import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { ImpliedAnswer } from '../../core/balance/index.ts';
import { loadKey } from '../../core/document/index.ts';
import type { Load } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import { answerOf, bandOn, impliedOf, scaleEnd, standsAt } from './implied-words.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';

const MOST_KG = 2000;
const HIGH = 22;

/**
 * What a load weighs, as the pose tells it: the masses with which it holds and with which it teeters as
 * intervals over a slider, the one that centres it as a mark. Moving the slider shows everyone what
 * comes of it; where it stops is one step of undo.
 */
@customElement('cl-implied-weight')
export class ImpliedWeightField extends LitElement {
  static override styles = [
    shared,
    formStyles,
    css`
      .scale {
        position: relative;
        /* Half a thumb, so that the intervals lie where the thumb would stand. */
        padding-inline: 8px;
      }
      svg {
        display: block;
        width: 100%;
        height: 22px;
        overflow: visible;
      }
      .teeters {
        fill: var(--teeters, var(--pencil));
        opacity: 0.35;
      }
      .holds {
        fill: var(--holds, var(--ink));
        opacity: 0.75;
      }
      .mark {
        stroke: var(--ink);
        stroke-width: 2;
      }
      .base {
        stroke: var(--rule);
      }
      input[type='range'] {
        margin: 0;
        display: block;
      }
      .said {
        padding: 0.3rem 0;
      }
      .ends {
        display: flex;
        justify-content: space-between;
        color: var(--pencil);
        font-size: 0.875rem;
      }
    `,
  ];

  @property({ attribute: false }) load!: Load;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  @property({ type: Boolean }) readonly = false;
  /** Right end of the scale, kept while the slider moves. */
  private end = 0;

  protected override willUpdate(): void {
    const { mass } = this.load;
    if (!this.live.movers.some(({ mine }) => mine) || this.end === 0)
      this.end = scaleEnd(mass, answerOf(impliedOf(this.studied.study, this.load.id)));
  }

  private onSlide(event: Event): void {
    const entries = {
      [loadKey(this.load.id, 'mass')]: Number((event.target as HTMLInputElement).value),
    };
    this.live.session.show({ drag: { draft: this.live.draft, entries } });
  }

  private set(mass: number): void {
    this.posing.set({ [loadKey(this.load.id, 'mass')]: mass }, `set the mass of ${this.load.name}`);
  }

  private renderScale(answer: ImpliedAnswer | null) {
    const { end } = this;
    const bar = (cls: string, from: number, to: number, high: number) =>
      svg`<rect class=${cls} x="${from * 100}%" y=${HIGH - high} width="${Math.max(0, to - from) * 100}%" height=${high}></rect>`;
    const teeters = answer && bandOn(answer.teeters, end);
    const holds = answer && bandOn(answer.holds, end);
    const centre =
      answer?.centring.kind === 'mass' && answer.centring.mass_kg <= end
        ? answer.centring.mass_kg / end
        : null;
    return html`<div class="scale" aria-hidden="true"><svg>
      ${teeters ? bar('teeters', teeters.from, teeters.to, 8) : nothing}
      ${holds ? bar('holds', holds.from, holds.to, 14) : nothing}
      ${centre === null ? nothing : svg`<line class="mark" x1="${centre * 100}%" x2="${centre * 100}%" y1="0" y2=${HIGH}></line>`}
      <line class="base" x1="0" x2="100%" y1=${HIGH} y2=${HIGH}></line>
    </svg></div>`;
  }

  protected override render() {
    const { load, end, readonly, studied } = this;
    const implied = impliedOf(studied.study, load.id);
    const answer = answerOf(implied);
    const mass = load.mass ?? 0;
    const set = load.mass !== null;
    const stands = standsAt(mass, answer);
    const said = set ? `${mass.toFixed(1)} kg${stands === '' ? '' : `, ${stands}`}` : 'not set';
    return html`<div data-implied=${load.id}>
      ${
        set
          ? html`<cl-number label="mass" unit="kg" .value=${mass} .min=${0} .max=${MOST_KG} ?readonly=${readonly}
              @cl-value=${(event: CustomEvent<number>) => this.set(event.detail)}></cl-number>`
          : nothing
      }
      ${implied === null ? nothing : html`<p class="said">${implied.answer.sentence}</p>`}
      ${implied === null ? nothing : this.renderScale(answer)}
      <input type="range" min="0" max=${end} step="0.5" aria-label="mass of ${load.name} in kilograms"
        aria-valuetext=${said} .value=${String(mass)} ?disabled=${readonly}
        @input=${this.onSlide} @change=${() => this.live.session.commitDrag(`set the mass of ${load.name}`)} />
      <p class="ends" aria-hidden="true"><span>0</span><span>${set ? said : 'not set'}</span><span>${end} kg</span></p>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-implied-weight': ImpliedWeightField;
  }
}
