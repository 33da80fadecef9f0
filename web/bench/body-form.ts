import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  AGE_RANGE,
  type BodySpec,
  FOOT_FORMS,
  type SegmentOverride,
  TABLES,
  tableInfo,
  USUAL_AGE,
  usualSize,
} from '../../core/body/index.ts';
import { shared } from '../styles/shared.ts';
import {
  BODY_PARTS,
  type BodyChange,
  type BodyFields,
  type BodyPart,
  plainAgain,
  type Side,
  STYLES,
  segmentsOf,
  withFactor,
} from './body-edit.ts';
import { formStyles } from './forms.styles.ts';
import './slide-field.ts';

const STATURE_CM = { min: 40, max: 350, least: 20, most: 2000 } as const;
const MASS_KG = { min: 2, max: 300, least: 0.5, most: 10_000 } as const;
/** Ends of the sliders of factors; core/body takes 0.05 to 20. */
const FACTOR = { min: 0.25, max: 4, least: 0.05, most: 20 } as const;

const FACTORS: readonly (readonly [keyof SegmentOverride, string])[] = [
  ['length', 'length'],
  ['girth', 'girth'],
  ['mass', 'mass'],
  ['width', 'width'],
];

/**
 * Size, table, age, feet and parts of a body. Fires `cl-body` (detail: BodyChange): live while a slider
 * moves, then once where it stops.
 */
@customElement('cl-body-form')
export class BodyForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) body!: BodySpec;
  /** Whose body it is, in sentences of what was done. */
  @property() name = '';
  @property({ type: Boolean }) readonly = false;
  @state() private chosen: BodyPart = 'head';
  @state() private side: Side = 'both';

  private tell(fields: BodyFields, done: string, live = false): void {
    const detail: BodyChange = { fields, done, live };
    this.dispatchEvent(new CustomEvent('cl-body', { detail, bubbles: true, composed: true }));
  }

  private renderSlide(
    label: string,
    unit: string,
    value: number,
    range: { min: number; max: number; least: number; most: number },
    fields: (value: number) => BodyFields,
    done: string,
    { step = 1, digits = 1, even = false } = {},
  ) {
    const on = (event: CustomEvent<number>, live: boolean): void => {
      event.stopPropagation();
      this.tell(fields(event.detail), done, live);
    };
    return html`<cl-slide .label=${label} .unit=${unit} .value=${value} .min=${range.min} .max=${range.max}
      .least=${range.least} .most=${range.most} .step=${step} .digits=${digits} .even=${even}
      ?readonly=${this.readonly} data-field=${label}
      @cl-slide=${(event: CustomEvent<number>) => on(event, true)}
      @cl-value=${(event: CustomEvent<number>) => on(event, false)}></cl-slide>`;
  }

  private onTable(event: Event): void {
    const table = (event.target as HTMLSelectElement).value;
    const child = table === 'jensen-child' && this.body.age === undefined;
    const fields = child
      ? { table, age: USUAL_AGE, ...usualSize(USUAL_AGE) }
      : { table, ...(table === 'jensen-child' ? {} : { age: undefined }) };
    this.tell(fields, `set the table of ${this.name}`);
  }

  private renderAge() {
    const { body, name, readonly } = this;
    if (body.table !== 'jensen-child') return nothing;
    const age = body.age ?? USUAL_AGE;
    const usual = usualSize(age);
    const fits =
      Math.abs(usual.stature - body.stature) < 0.005 && Math.abs(usual.mass - body.mass) < 0.05;
    return html`${this.renderSlide(
      'age',
      'years',
      age,
      { min: AGE_RANGE[0], max: AGE_RANGE[1], least: AGE_RANGE[0], most: AGE_RANGE[1] },
      (years) => ({ age: years }),
      `set the age of ${name}`,
    )}
    ${
      fits || readonly
        ? nothing
        : html`<p><button type="button" data-usual
          @click=${() => this.tell({ ...usual }, `gave ${name} the usual size of its age`)}
          >usual at ${age.toFixed(1).replace('.0', '')} years: ${(usual.stature * 100).toFixed(0)} cm, ${usual.mass.toFixed(1)} kg</button></p>`
    }`;
  }

  private renderParts() {
    const { body, chosen: part, side, name, readonly } = this;
    const segments = segmentsOf(part, side);
    const { word, segments: all } = BODY_PARTS[part];
    const first = body.overrides?.[segments[0]!] ?? {};
    const wide = part === 'chest' || part === 'pelvis';
    return html`<details>
      <summary>Parts: longer, thicker, heavier</summary>
      <div class="inner">
        ${
          readonly
            ? nothing
            : html`<p class="row" role="group" aria-label="Stylised starts">${Object.entries(
                STYLES,
              ).map(
                ([style, fields]) =>
                  html`<button type="button" @click=${() => this.tell(fields, `gave ${name} ${style}`)}>${style}</button>`,
              )}
          ${
            body.overrides === undefined
              ? nothing
              : html`<button type="button" @click=${() => this.tell(plainAgain(), `made ${name} plain again`)}>plain again</button>`
          }</p>`
        }
        <label class="field"><span>part</span>
          <select data-field="part" @change=${(event: Event) => {
            this.chosen = (event.target as HTMLSelectElement).value as BodyPart;
          }}>${Object.entries(BODY_PARTS).map(
            ([id, { word: words }]) =>
              html`<option value=${id} ?selected=${id === part}>${words}${this.changed(id as BodyPart) ? ' *' : ''}</option>`,
          )}</select></label>
        ${
          all.length === 1
            ? nothing
            : html`<label class="field"><span>side</span>
              <select @change=${(event: Event) => {
                this.side = (event.target as HTMLSelectElement).value as Side;
              }}>${(['both', 'L', 'R'] as const).map(
                (one) =>
                  html`<option value=${one} ?selected=${one === side}>${{ both: 'both', L: 'left', R: 'right' }[one]}</option>`,
              )}</select></label>`
        }
        ${FACTORS.filter(([what]) =>
          what === 'width' ? wide : part !== 'toes' || what === 'length',
        ).map(([what, label]) =>
          this.renderSlide(
            label,
            '×',
            first[what] ?? (what === 'width' ? first.length : undefined) ?? 1,
            FACTOR,
            (factor) => withFactor(body, segments, what, factor),
            `set the ${label} of ${name}'s ${word}`,
            { step: 0.1, digits: 2, even: true },
          ),
        )}
        <p class="remark">Times what the table gives. The body still stands ${(body.stature * 100).toFixed(0)} cm and weighs ${body.mass.toFixed(1)} kg.</p>
      </div>
    </details>`;
  }

  private changed(part: BodyPart): boolean {
    return BODY_PARTS[part].segments.some((name) => this.body.overrides?.[name] !== undefined);
  }

  protected override render() {
    const { body, name, readonly } = this;
    return html`<div class="inner">
      ${this.renderSlide('stature', 'cm', body.stature * 100, STATURE_CM, (cm) => ({ stature: cm / 100 }), `set the stature of ${name}`)}
      ${this.renderSlide('mass', 'kg', body.mass, MASS_KG, (kg) => ({ mass: kg }), `set the mass of ${name}`)}
      <label class="field"><span>table</span>
        <select data-field="table" ?disabled=${readonly} .value=${body.table} @change=${this.onTable}>
          ${TABLES.map((table) => html`<option value=${table} ?selected=${table === body.table}>${tableInfo(table).name}</option>`)}
        </select></label>
      ${this.renderAge()}
      <label class="field"><span>stands on</span>
        <select data-field="feet" ?disabled=${readonly}
          @change=${(event: Event) => {
            const form = (event.target as HTMLSelectElement).value;
            this.tell({ feet: form === 'foot' ? undefined : form }, `set what ${name} stands on`);
          }}>
          ${FOOT_FORMS.map((form) => html`<option value=${form} ?selected=${form === (body.feet ?? 'foot')}>${{ foot: 'feet', paw: 'paws', hoof: 'hooves' }[form]}</option>`)}
        </select></label>
      ${this.renderParts()}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-body-form': BodyForm;
  }
}
