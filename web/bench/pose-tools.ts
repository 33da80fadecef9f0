import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { SegmentName } from '../../core/body/index.ts';
import {
  blendPoses,
  limbOf,
  mirrorHalf,
  type Pose,
  poseText,
  restPose,
} from '../../core/pose/index.ts';
import { bodyOf, type Figure, poseAt, START_POSES } from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import { poseEntries } from './movables.ts';
import { copiedPose, copyPose, keptPose, pasted } from './pose-clipboard.ts';
import type { Posing } from './posing.ts';
import { groundSpot } from './starting.ts';
import { mirrorFigure, standFigure } from './turns.ts';

const REST = 'rest';
const COPIED = 'copied';

/** Copying, pasting, mirroring and blending the pose of one figure; each an undo step. */
@customElement('cl-pose-tools')
export class PoseTools extends LitElement {
  static override styles = [
    shared,
    formStyles,
    css`
      .row {
        margin-bottom: 0.3rem;
      }
      .blend {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        gap: 0.2rem 0.6rem;
        align-items: center;
      }
      .blend input {
        grid-column: 1 / -1;
      }
      select {
        width: 100%;
      }
    `,
  ];

  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) figure!: Figure;
  /** The part that is chosen: its limb is what is copied beside the whole. */
  @property() segment: SegmentName = 'pelvis';
  /** What a blend goes towards. */
  @state() private towards = REST;
  @state() private share = 0;
  /** The pose before the blend that is under way, and where it leads. */
  private blend: { readonly from: Pose; readonly to: Pose } | null = null;

  private get say(): (text: string) => void {
    return (text) => this.posing.say(text);
  }

  private fresh(): Figure {
    const { figures } = this.posing.now().scene;
    return figures.find(({ id }) => id === this.figure.id) ?? this.figure;
  }

  private set(pose: Pose, done: string): void {
    const figure = this.fresh();
    this.posing.set(poseEntries(figure.id, figure.pose, pose), done);
  }

  private get limb() {
    return limbOf(this.segment);
  }

  private limbWord(): string {
    const side = this.segment.endsWith('L') ? 'left' : 'right';
    return /^(upperArm|forearm|hand)/.test(this.segment) ? `${side} arm` : `${side} leg`;
  }

  private async copy(limb: boolean): Promise<void> {
    const { pose, name } = this.fresh();
    await copyPose(limb && this.limb ? poseText(pose, this.limb) : poseText(pose));
    this.say(limb ? `Copied the ${this.limbWord()} of ${name}.` : `Copied the pose of ${name}.`);
    this.requestUpdate();
  }

  private async paste(): Promise<void> {
    const part = await copiedPose();
    if (part === null) {
      this.say('No pose has been copied yet. Copy one here or in another shot.');
      return;
    }
    const figure = this.fresh();
    this.set(pasted(figure.pose, part, this.segment), `pasted a pose onto ${figure.name}`);
  }

  private target(figure: Figure): Pose | null {
    if (this.towards === COPIED) {
      const part = keptPose();
      return part === null ? null : pasted(figure.pose, part, this.segment);
    }
    const body = bodyOf(figure.body);
    const spot = groundSpot(this.posing.now(), figure);
    const start = START_POSES.find(({ id }) => id === this.towards);
    const made = start?.make(body) ?? {
      pose: restPose(body),
      surfaces: [],
      loads: [],
      contacts: {},
    };
    return poseAt(made, spot);
  }

  private onBlend(event: Event): void {
    const figure = this.fresh();
    if (this.blend === null) {
      const to = this.target(figure);
      if (to === null) return;
      this.blend = { from: figure.pose, to };
    }
    const { from, to } = this.blend;
    this.share = Number((event.target as HTMLInputElement).value) / 100;
    const pose = blendPoses(from, to, this.share);
    this.posing.preview(poseEntries(figure.id, from, pose));
  }

  private onBlended(): void {
    if (this.blend === null) return;
    this.blend = null;
    this.posing.keep(
      `blended the pose of ${this.figure.name} by ${Math.round(this.share * 100)} %`,
    );
    this.share = 0;
  }

  private renderBlend() {
    return html`<div class="blend">
      <label for="towards">Blend towards</label>
      <select id="towards" @change=${(event: Event) => {
        this.towards = (event.target as HTMLSelectElement).value;
      }}>
        <option value=${REST}>rest</option>
        ${keptPose() === null ? nothing : html`<option value=${COPIED}>the copied pose</option>`}
        ${START_POSES.map(({ id, name }) => html`<option value=${id}>${name}</option>`)}
      </select>
      <input type="range" min="0" max="100" step="1" aria-label="Share of the blend"
        aria-valuetext="${Math.round(this.share * 100)} %" .value=${String(this.share * 100)}
        @input=${this.onBlend} @change=${this.onBlended} />
    </div>`;
  }

  protected override render() {
    const { figure } = this;
    const half = (from: 'L' | 'R', words: string) => html`<button type="button"
      @click=${() => this.set(mirrorHalf(this.fresh().pose, from), `mirrored half of ${figure.name}`)}
      >${words}</button>`;
    return html`
      <div class="row">
        <button type="button" @click=${() => this.copy(false)}>copy the pose</button>
        ${this.limb === null ? nothing : html`<button type="button" @click=${() => this.copy(true)}>copy the ${this.limbWord()}</button>`}
        <button type="button" @click=${this.paste}>paste</button>
      </div>
      <div class="row">
        <button type="button" @click=${() => this.posing.set(mirrorFigure(this.fresh()), `mirrored ${figure.name}`)}>mirror</button>
        ${half('L', 'left side to the right')} ${half('R', 'right side to the left')}
      </div>
      <div class="row">
        <button type="button" @click=${() => {
          const now = this.fresh();
          const made = { pose: restPose(bodyOf(now.body)), surfaces: [], loads: [], contacts: {} };
          this.set(poseAt(made, groundSpot(this.posing.now(), now)), `relaxed ${figure.name}`);
        }}>relax to rest</button>
        <button type="button" @click=${() => this.posing.set(standFigure(this.fresh()), `stood ${figure.name} on the floor`)}>stand on the floor</button>
      </div>
      ${this.renderBlend()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-pose-tools': PoseTools;
  }
}
