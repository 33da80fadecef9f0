import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import { loadKey } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import {
  DENSITIES,
  extentsOf,
  type Load,
  MATERIALS,
  type Material,
  volumeOf,
} from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import {
  onSurface,
  PLACES,
  type PlaceChoice,
  placeChoice,
  placeFor,
  reshaped,
  SHAPES,
} from './load-edit.ts';
import './implied-weight.ts';
import { impliedOf } from './implied-words.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import './slide-field.ts';
import { segmentWord } from './words.ts';

const MOST_KG = 2000;
const SLIDER_KG = 60;
const AXES = ['left', 'up', 'ahead'] as const;

/** A load's name, shape, size, mass (known, unknown or by its material), filling and place. */
@customElement('cl-load-form')
export class LoadForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) load!: Load;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  @property({ type: Boolean }) readonly = false;

  private set(fields: Readonly<Record<string, unknown>>, done: string): void {
    const entries = Object.entries(fields).map(([field, value]) => [
      loadKey(this.load.id, field),
      value,
    ]);
    this.posing.set(Object.fromEntries(entries), done);
  }

  /** While a slider moves everyone sees it; it is stored once, where it stops. */
  private slide(field: string, value: unknown): void {
    const entries = { [loadKey(this.load.id, field)]: value };
    this.live.session.show({ drag: { draft: this.live.draft, entries } });
  }

  private slid(field: string, value: unknown, done: string): void {
    this.live.session.cancelDrag();
    this.set({ [field]: value }, done);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.load.name;
    else this.set({ name }, `named a load ${name}`);
  }

  private renderMass() {
    const { load, readonly } = this;
    const { mass, material, name, shape } = load;
    const how = material ?? (mass === null ? 'unknown' : 'known');
    // Of what somebody carries, the pose itself says something about the weight.
    const carried =
      load.place.kind !== 'standing' || impliedOf(this.studied.study, load.id) !== null;
    const choose = (event: Event): void => {
      const choice = (event.target as HTMLSelectElement).value;
      const done = `set the mass of ${name}`;
      if (choice === 'unknown') this.set({ mass: null, material: undefined }, done);
      else if (choice === 'known') this.set({ mass: mass ?? 5, material: undefined }, done);
      else this.set({ material: choice as Material }, done);
    };
    return html`<label class="field"><span>weighs</span>
        <select data-field="weighs" ?disabled=${readonly} @change=${choose}>
          <option value="known" ?selected=${how === 'known'}>as set</option>
          <option value="unknown" ?selected=${how === 'unknown'}>unknown</option>
          ${MATERIALS.map((one) => html`<option value=${one} ?selected=${how === one}>solid ${DENSITIES[one].word}</option>`)}
        </select></label>
      ${
        material !== undefined
          ? html`<p class="remark">${(mass ?? 0).toFixed(1)} kg: ${(volumeOf(shape) * 1000).toFixed(1)} litres at
              ${DENSITIES[material].density} kg/m³ (${DENSITIES[material].source}).</p>`
          : mass === null || carried
            ? nothing
            : html`<cl-slide label="mass" unit="kg" .value=${mass} .min=${0} .step=${1}
                .max=${Math.max(SLIDER_KG, Math.ceil(mass))} .most=${MOST_KG} ?readonly=${readonly}
                @cl-slide=${(event: CustomEvent<number>) => this.slide('mass', event.detail)}
                @cl-value=${(event: CustomEvent<number>) => this.slid('mass', event.detail, `set the mass of ${name}`)}
              ></cl-slide>`
      }
      ${
        carried
          ? html`<cl-implied-weight .load=${load} .live=${this.live} .posing=${this.posing}
              .studied=${this.studied} ?readonly=${readonly || material !== undefined}></cl-implied-weight>`
          : nothing
      }`;
  }

  private renderShape() {
    const { load, readonly } = this;
    const { shape, name } = load;
    return html`<label class="field"><span>shape</span>
        <select data-field="shape" ?disabled=${readonly} @change=${(event: Event) => {
          const kind = (event.target as HTMLSelectElement).value as Load['shape']['kind'];
          if (kind !== shape.kind)
            this.set({ shape: reshaped(shape, kind), look: undefined }, `set the shape of ${name}`);
        }}>
          ${(['box', 'ball', 'cylinder'] as const).map((kind) => html`<option value=${kind} ?selected=${shape.kind === kind}>${kind}</option>`)}
        </select></label>
      ${SHAPES[shape.kind].map(
        ({ word, read, write }) => html`<cl-number .label=${word}
          unit="cm" .value=${read(shape) * 100} .min=${1} .max=${600} ?readonly=${readonly}
          @cl-value=${(event: CustomEvent<number>) => this.set({ shape: write(shape, event.detail / 100) }, `set the size of ${name}`)}></cl-number>`,
      )}`;
  }

  private renderFilling() {
    const { load, readonly } = this;
    const { centre = [0, 0, 0], name, shape } = load;
    const half = extentsOf(shape).map((extent) => extent / 2);
    const to = (axis: number, metres: number): Vec3 | undefined => {
      const moved = centre.map((old, i) => (i === axis ? metres : old)) as unknown as Vec3;
      return moved.every((c) => c === 0) ? undefined : moved;
    };
    const done = `filled ${name} off its middle`;
    return html`<details ?open=${load.centre !== undefined}>
      <summary>Filled off its middle</summary>
      <div class="inner">${AXES.map(
        (
          word,
          axis,
        ) => html`<cl-slide .label=${word} unit="cm" .value=${centre[axis]! * 100} ?readonly=${readonly}
          data-field="filled ${word}" .min=${-100 * half[axis]!} .max=${100 * half[axis]!}
          @cl-slide=${(event: CustomEvent<number>) => this.slide('centre', to(axis, event.detail / 100))}
          @cl-value=${(event: CustomEvent<number>) => this.slid('centre', to(axis, event.detail / 100), done)}></cl-slide>`,
      )}</div>
    </details>`;
  }

  private onWhere(axis: number, metres: number): void {
    const { place, name } = this.load;
    const field = place.kind === 'standing' ? 'position' : 'offset';
    const old = place.kind === 'standing' ? place.position : place.offset;
    const moved = old.map((value, i) => (i === axis ? metres : value)) as unknown as Vec3;
    this.set({ place: { ...place, [field]: moved } }, `moved ${name}`);
  }

  private renderPlace() {
    const { load, readonly, shown } = this;
    const { place, name } = load;
    const { figures, surfaces } = shown.scene;
    const where = place.kind === 'standing' ? place.position : place.offset;
    const move = (next: Load['place'] | null): void => {
      if (next !== null) this.set({ place: next }, `set where ${name} is`);
    };
    return html`<label class="field"><span>where</span>
        <select data-field="where" ?disabled=${readonly} @change=${(event: Event) => move(placeFor(shown, load, (event.target as HTMLSelectElement).value as PlaceChoice))}>
          ${Object.entries(PLACES).map(([choice, words]) => html`<option value=${choice} ?selected=${choice === placeChoice(place)}>${words}</option>`)}
        </select></label>
      ${
        place.kind === 'standing'
          ? html`<label class="field"><span>put it on</span>
              <select data-field="on" ?disabled=${readonly} @change=${(event: Event) => move(onSurface(shown, load, (event.target as HTMLSelectElement).value))}>
                <option value="">choose</option>
                ${surfaces.map(({ id, name: words }) => html`<option value=${id}>${words}</option>`)}
              </select></label>`
          : figures.length < 2
            ? nothing
            : html`<label class="field"><span>of</span>
              <select ?disabled=${readonly} @change=${(event: Event) => this.set({ place: { ...place, figure: (event.target as HTMLSelectElement).value } }, `gave ${name} to another figure`)}>
                ${figures.map(({ id, name: words }) => html`<option value=${id} ?selected=${id === place.figure}>${words}</option>`)}
              </select></label>`
      }
      ${
        place.kind !== 'attached'
          ? nothing
          : html`<label class="field"><span>on the</span>
            <select data-field="segment" ?disabled=${readonly} @change=${(event: Event) => this.set({ place: { ...place, segment: (event.target as HTMLSelectElement).value as SegmentName } }, `set where ${name} is`)}>
              ${SEGMENTS.map((segment) => html`<option value=${segment} ?selected=${segment === place.segment}>${segmentWord(segment)}</option>`)}
            </select></label>`
      }
      <p class="remark">${place.kind === 'standing' ? 'Its middle in the scene:' : place.kind === 'held' ? 'Its middle from the palms:' : `Its middle from the joint of the ${segmentWord(place.segment)}:`}</p>
      ${where.map(
        (metres, axis) => html`<cl-number label=${AXES[axis] ?? ''} unit="cm" .value=${metres * 100}
          ?readonly=${readonly}
          @cl-value=${(event: CustomEvent<number>) => this.onWhere(axis, event.detail / 100)}></cl-number>`,
      )}`;
  }

  protected override render() {
    const { load, readonly } = this;
    return html`<div class="form">
      <label class="field"><span>name</span>
        <input .value=${load.name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      ${this.renderMass()} ${this.renderShape()} ${this.renderFilling()} ${this.renderPlace()}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-load-form': LoadForm;
  }
}
