import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { loadKey } from '../../core/document/index.ts';
import { IDENTITY, type Vec3 } from '../../core/geometry/index.ts';
import type { Load, LoadPlace, LoadShape } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { formStyles } from './forms.styles.ts';
import './number-field.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';

/** Right end of the mass slider, kilograms; the number beside it goes further. */
const SLIDER_KG = 60;
const MOST_KG = 2000;
const AXES = ['left', 'up', 'ahead'] as const;
const SIZES = ['wide', 'high', 'deep'] as const;

const PLACES = {
  both: 'in both hands',
  left: 'in the left hand',
  right: 'in the right hand',
  attached: 'on the chest or back',
  standing: 'standing by itself',
} as const;
type PlaceChoice = keyof typeof PLACES;

const choiceOf = (place: LoadPlace): PlaceChoice =>
  place.kind === 'held' ? place.hands : place.kind;

/** A load's name, mass, shape and place. */
@customElement('cl-load-form')
export class LoadForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) load!: Load;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ type: Boolean }) readonly = false;

  private set(field: string, value: unknown, done: string): void {
    this.posing.set({ [loadKey(this.load.id, field)]: value }, done);
  }

  /** While the slider moves everyone sees the mass; it is stored once, where it stops. */
  private onSlide(event: Event): void {
    const mass = Number((event.target as HTMLInputElement).value);
    const entries = { [loadKey(this.load.id, 'mass')]: mass };
    this.live.session.show({ drag: { draft: this.live.draft, entries } });
  }

  private onSlid(): void {
    this.live.session.commitDrag(`set the mass of ${this.load.name}`);
  }

  private onKnown(event: Event): void {
    const known = (event.target as HTMLInputElement).checked;
    this.set('mass', known ? 5 : null, `set the mass of ${this.load.name}`);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.load.name;
    else this.set('name', name, `named a load ${name}`);
  }

  private onShape(event: Event): void {
    const kind = (event.target as HTMLSelectElement).value;
    const { shape, name } = this.load;
    const across = shape.kind === 'ball' ? shape.radius * 2 : Math.min(...shape.size);
    const next: LoadShape =
      kind === 'ball'
        ? { kind, radius: across / 2 }
        : { kind: 'box', size: [across, across, across] };
    if (kind !== shape.kind) this.set('shape', next, `set the shape of ${name}`);
  }

  private onPlace(event: Event): void {
    const choice = (event.target as HTMLSelectElement).value as PlaceChoice;
    const { place, id, name } = this.load;
    const { placed, scene } = this.shown;
    const figure = place.kind === 'standing' ? scene.figures[0]?.id : place.figure;
    const at = placed.get(id);
    let next: LoadPlace | null = null;
    if (choice === 'standing') {
      next = {
        kind: 'standing',
        position: at?.position ?? [0, 0.2, 0],
        rotation: at?.rotation ?? IDENTITY,
      };
    } else if (figure !== undefined && choice === 'attached') {
      const offset: Vec3 = [0, 0.1, -0.26];
      next = { kind: 'attached', figure, segment: 'chest', offset, rotation: IDENTITY };
    } else if (figure !== undefined && choice !== 'attached') {
      next = { kind: 'held', figure, hands: choice, offset: [0, 0, 0] };
    }
    if (next !== null) this.set('place', next, `set where ${name} is`);
  }

  private onHolder(event: Event): void {
    const { place, name } = this.load;
    if (place.kind === 'standing') return;
    const figure = (event.target as HTMLSelectElement).value;
    this.set('place', { ...place, figure }, `gave ${name} to another figure`);
  }

  private onWhere(axis: number, metres: number): void {
    const { place, name } = this.load;
    const field = place.kind === 'standing' ? 'position' : 'offset';
    const old = place.kind === 'standing' ? place.position : place.offset;
    const moved = old.map((value, i) => (i === axis ? metres : value)) as unknown as Vec3;
    this.set('place', { ...place, [field]: moved }, `moved ${name}`);
  }

  private renderShape() {
    const { load, readonly } = this;
    const { shape, name } = load;
    const size = shape.kind === 'ball' ? [shape.radius * 2] : shape.size;
    const setSize = (axis: number, metres: number): void => {
      const next: LoadShape =
        shape.kind === 'ball'
          ? { kind: 'ball', radius: metres / 2 }
          : {
              kind: 'box',
              size: shape.size.map((v, i) => (i === axis ? metres : v)) as unknown as Vec3,
            };
      this.set('shape', next, `set the size of ${name}`);
    };
    return html`<label class="field"><span>shape</span>
        <select ?disabled=${readonly} @change=${this.onShape}>
          <option value="box" ?selected=${shape.kind === 'box'}>box</option>
          <option value="ball" ?selected=${shape.kind === 'ball'}>ball</option>
        </select></label>
      ${size.map(
        (
          metres,
          axis,
        ) => html`<cl-number label=${shape.kind === 'ball' ? 'across' : (SIZES[axis] ?? '')}
          unit="cm" .value=${metres * 100} .min=${1} .max=${400} ?readonly=${readonly}
          @cl-value=${(event: CustomEvent<number>) => setSize(axis, event.detail / 100)}></cl-number>`,
      )}`;
  }

  private renderPlace() {
    const { load, readonly, shown } = this;
    const { place } = load;
    const where = place.kind === 'standing' ? place.position : place.offset;
    const { figures } = shown.scene;
    return html`<label class="field"><span>where</span>
        <select ?disabled=${readonly} @change=${this.onPlace}>
          ${Object.entries(PLACES).map(([choice, words]) => html`<option value=${choice} ?selected=${choice === choiceOf(place)}>${words}</option>`)}
        </select></label>
      ${
        place.kind === 'standing' || figures.length < 2
          ? nothing
          : html`<label class="field"><span>of</span>
              <select ?disabled=${readonly} @change=${this.onHolder}>
                ${figures.map(({ id, name }) => html`<option value=${id} ?selected=${id === place.figure}>${name}</option>`)}
              </select></label>`
      }
      <p class="remark">${place.kind === 'standing' ? 'Its middle in the scene:' : place.kind === 'held' ? 'Its middle from the palms:' : 'Its middle from the chest’s joint:'}</p>
      ${where.map(
        (metres, axis) => html`<cl-number label=${AXES[axis] ?? ''} unit="cm" .value=${metres * 100}
          ?readonly=${readonly}
          @cl-value=${(event: CustomEvent<number>) => this.onWhere(axis, event.detail / 100)}></cl-number>`,
      )}`;
  }

  protected override render() {
    const { load, readonly } = this;
    const { mass, name } = load;
    return html`<div class="form">
      <label class="field"><span>name</span>
        <input .value=${name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      <label class="row"><input type="checkbox" .checked=${mass !== null} ?disabled=${readonly}
        @change=${this.onKnown} /> its mass is known</label>
      ${
        mass === null
          ? nothing
          : html`<cl-number label="mass" unit="kg" .value=${mass} .min=${0} .max=${MOST_KG}
                ?readonly=${readonly}
                @cl-value=${(event: CustomEvent<number>) => this.set('mass', event.detail, `set the mass of ${name}`)}
              ></cl-number>
              <input type="range" min="0" max=${Math.max(SLIDER_KG, Math.ceil(mass))} step="0.1"
                aria-label="mass of ${name} in kilograms" aria-valuetext="${mass.toFixed(1)} kg"
                .value=${String(mass)} ?disabled=${readonly}
                @input=${this.onSlide} @change=${this.onSlid} />`
      }
      ${this.renderShape()} ${this.renderPlace()}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-load-form': LoadForm;
  }
}
