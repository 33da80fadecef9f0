import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { surfaceKey } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import {
  FRICTION_PAIRS,
  frictionPair,
  SURFACE_KINDS,
  type Surface,
  type SurfaceParts,
  USUAL_STEPS,
} from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';
import { type Lie, lieOf, turnFor } from './surface-lie.ts';

const DEGREE = Math.PI / 180;
const AXES = ['left', 'up', 'ahead'] as const;
const SIZES = ['wide', 'high', 'deep'] as const;

/** A surface's kind, size, place, turn and slope, and friction by pair of materials or as set. */
@customElement('cl-surface-form')
export class SurfaceForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) surface!: Surface;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) readonly = false;

  private set(fields: Readonly<Record<string, unknown>>, done: string): void {
    const entries = Object.entries(fields).map(([field, value]) => [
      surfaceKey(this.surface.id, field),
      value,
    ]);
    this.posing.set(Object.fromEntries(entries), done);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.surface.name;
    else this.set({ name }, `named a surface ${name}`);
  }

  private renderVector(
    field: 'position' | 'size',
    words: readonly string[],
    value: Vec3,
    range: readonly [number, number],
  ) {
    const set = (axis: number, metres: number): void => {
      const next = value.map((old, i) => (i === axis ? metres : old));
      const done = field === 'size' ? 'set the size of' : 'moved';
      this.set({ [field]: next }, `${done} ${this.surface.name}`);
    };
    return value.map(
      (metres, axis) => html`<cl-number label=${words[axis] ?? ''} unit="cm" .value=${metres * 100}
        .min=${range[0]} .max=${range[1]} ?readonly=${this.readonly} data-field="${field} ${axis}"
        @cl-value=${(event: CustomEvent<number>) => set(axis, event.detail / 100)}></cl-number>`,
    );
  }

  private renderParts() {
    const { surface, readonly } = this;
    const { kind, parts = {}, name } = surface;
    const set = (change: SurfaceParts): void =>
      this.set({ parts: { ...parts, ...change } }, `set the parts of ${name}`);
    const height = (what: 'back' | 'arms', label: string) =>
      html`<cl-number .label=${label} unit="cm" .value=${(parts[what] ?? 0) * 100} .min=${0} .max=${200}
        data-field=${what} ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => set({ [what]: event.detail / 100 })}></cl-number>`;
    if (kind === 'chair')
      return html`${height('back', 'back above the seat')} ${height('arms', 'arms above the seat')}`;
    if (kind !== 'stair') return nothing;
    return html`<cl-number label="steps" .value=${parts.steps ?? USUAL_STEPS} .digits=${0} .min=${1} .max=${40}
      data-field="steps" ?readonly=${readonly}
      @cl-value=${(event: CustomEvent<number>) => set({ steps: Math.round(event.detail) })}></cl-number>`;
  }

  private renderLie() {
    const { surface, readonly } = this;
    const lie = lieOf(surface.rotation);
    const field = (what: keyof Lie, label: string, most: number) =>
      html`<cl-number .label=${label} unit="°" .value=${lie[what] / DEGREE} .min=${-most} .max=${most}
        data-field=${what} ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) =>
          this.set(
            { rotation: turnFor({ ...lie, [what]: event.detail * DEGREE }) },
            `turned ${surface.name}`,
          )}></cl-number>`;
    return html`${field('turn', 'turned left', 180)} ${field('slope', 'slopes down ahead', 90)}
      ${field('tilt', 'tilts down right', 90)}`;
  }

  private renderFriction() {
    const { surface, readonly } = this;
    const { name, friction } = surface;
    const pair = frictionPair(surface.pair);
    const choose = (event: Event): void => {
      const next = frictionPair((event.target as HTMLSelectElement).value);
      this.set(
        next === null ? { pair: undefined } : { pair: next.id, friction: next.friction },
        `set the friction of ${name}`,
      );
    };
    return html`<label class="field"><span>friction</span>
        <select data-field="pair" ?disabled=${readonly} @change=${choose}>
          <option value="" ?selected=${pair === null}>as set</option>
          ${FRICTION_PAIRS.map(({ id, word, friction: value }) => html`<option value=${id} ?selected=${id === pair?.id}>${word}, ${value.toFixed(2)}</option>`)}
        </select></label>
      <cl-number label="coefficient" .value=${friction} .step=${0.05} .digits=${2} .min=${0} .max=${3}
        data-field="friction" ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => this.set({ friction: event.detail, pair: undefined }, `set the friction of ${name}`)}
      ></cl-number>
      ${pair === null ? nothing : html`<p class="remark">Static, ${pair.word}: ${pair.source}.</p>`}`;
  }

  protected override render() {
    const { surface, readonly } = this;
    const { name, kind, size, position } = surface;
    return html`<div class="form">
      <label class="field"><span>name</span>
        <input .value=${name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      <label class="field"><span>kind</span>
        <select ?disabled=${readonly}
          @change=${(event: Event) => this.set({ kind: (event.target as HTMLSelectElement).value }, `set the kind of ${name}`)}>
          ${SURFACE_KINDS.map((other) => html`<option value=${other} ?selected=${other === kind}>${other}</option>`)}
        </select></label>
      ${size === null ? html`<p class="remark">It has no end.</p>` : this.renderVector('size', SIZES, size, [0.5, 4000])}
      ${this.renderParts()}
      <p class="remark">${size === null ? 'A point on it:' : 'Its middle:'}</p>
      ${this.renderVector('position', AXES, position, [-5000, 5000])}
      ${this.renderLie()} ${this.renderFriction()}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-surface-form': SurfaceForm;
  }
}
