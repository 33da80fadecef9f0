import { html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { surfaceKey } from '../../core/document/index.ts';
import { fromAxisAngle, multiply, type Vec3 } from '../../core/geometry/index.ts';
import { anglesOf } from '../../core/pose/index.ts';
import { SURFACE_KINDS, type Surface } from '../../core/scene/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';

const DEGREE = Math.PI / 180;
const AXES = ['left', 'up', 'ahead'] as const;
const SIZES = ['wide', 'high', 'deep'] as const;

/** A surface's kind, size, place, slope and friction. */
@customElement('cl-surface-form')
export class SurfaceForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) surface!: Surface;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) readonly = false;

  private set(field: string, value: unknown, done: string): void {
    this.posing.set({ [surfaceKey(this.surface.id, field)]: value }, done);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.surface.name;
    else this.set('name', name, `named a surface ${name}`);
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
      this.set(field, next, `${done} ${this.surface.name}`);
    };
    return value.map(
      (metres, axis) => html`<cl-number label=${words[axis] ?? ''} unit="cm" .value=${metres * 100}
        .min=${range[0]} .max=${range[1]} ?readonly=${this.readonly}
        @cl-value=${(event: CustomEvent<number>) => set(axis, event.detail / 100)}></cl-number>`,
    );
  }

  protected override render() {
    const { surface, readonly } = this;
    const { name, kind, size, position, rotation, friction } = surface;
    const { flexion, rotation: heading } = anglesOf('pelvis', rotation);
    const turn = (headingDegrees: number, slopeDegrees: number): void => {
      const about = fromAxisAngle([0, 1, 0], headingDegrees * DEGREE);
      const slope = fromAxisAngle([1, 0, 0], slopeDegrees * DEGREE);
      this.set('rotation', multiply(slope, about), `turned ${name}`);
    };
    return html`<div class="form">
      <label class="field"><span>name</span>
        <input .value=${name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      <label class="field"><span>kind</span>
        <select ?disabled=${readonly}
          @change=${(event: Event) => this.set('kind', (event.target as HTMLSelectElement).value, `set the kind of ${name}`)}>
          ${SURFACE_KINDS.map((other) => html`<option value=${other} ?selected=${other === kind}>${other}</option>`)}
        </select></label>
      ${size === null ? html`<p class="remark">It has no end.</p>` : this.renderVector('size', SIZES, size, [0.5, 4000])}
      <p class="remark">${size === null ? 'A point on it:' : 'Its middle:'}</p>
      ${this.renderVector('position', AXES, position, [-5000, 5000])}
      <cl-number label="turned" unit="°" .value=${heading / DEGREE} ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => turn(event.detail, flexion / DEGREE)}></cl-number>
      <cl-number label="slopes down ahead" unit="°" .value=${flexion / DEGREE} .min=${-90} .max=${90}
        ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => turn(heading / DEGREE, event.detail)}></cl-number>
      <cl-number label="friction" .value=${friction} .step=${0.05} .digits=${2} .min=${0} .max=${3}
        ?readonly=${readonly}
        @cl-value=${(event: CustomEvent<number>) => this.set('friction', event.detail, `set the friction of ${name}`)}
      ></cl-number>
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-surface-form': SurfaceForm;
  }
}
