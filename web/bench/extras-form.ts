import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import {
  type BodySpec,
  EXTRA_RANGES,
  EXTRA_TURNS,
  type ExtraSpec,
  SEGMENTS,
  type SegmentName,
  swungOf,
  turnBy,
  wingOf,
} from '../../core/body/index.ts';
import { extraField, extraTurnField } from '../../core/document/index.ts';
import { IDENTITY } from '../../core/geometry/index.ts';
import { shared } from '../styles/shared.ts';
import {
  addExtras,
  type BodyChange,
  type BodyFields,
  EXTRA_CHOICES,
  EXTRA_WORDS,
  withExtra,
} from './body-edit.ts';
import { formStyles } from './forms.styles.ts';
import './slide-field.ts';
import { segmentWord } from './words.ts';

const DEGREE = Math.PI / 180;
const within = (limit: number): readonly [number, number] => [-limit / DEGREE, limit / DEGREE];

/** Extra parts of a figure: what they are (`cl-body`, detail: BodyChange) and how they are turned. */
@customElement('cl-extras-form')
export class ExtrasForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) body!: BodySpec;
  @property() name = '';
  @property({ type: Boolean }) readonly = false;

  private tell(fields: BodyFields, done: string, live = false): void {
    const detail: BodyChange = { fields, done, live };
    this.dispatchEvent(new CustomEvent('cl-body', { detail, bubbles: true, composed: true }));
  }

  private renderSlide(
    label: string,
    unit: string,
    value: number,
    [min, max]: readonly [number, number],
    fields: (value: number) => BodyFields,
    done: string,
    most = max,
  ) {
    const on = (event: CustomEvent<number>, live: boolean): void => {
      event.stopPropagation();
      this.tell(fields(event.detail), done, live);
    };
    return html`<cl-slide .label=${label} .unit=${unit} .value=${value} .min=${min} .max=${max} .most=${most}
      ?readonly=${this.readonly} data-field=${label}
      @cl-slide=${(event: CustomEvent<number>) => on(event, true)}
      @cl-value=${(event: CustomEvent<number>) => on(event, false)}></cl-slide>`;
  }

  private renderPart(id: string, extra: ExtraSpec) {
    const { body, name, readonly } = this;
    const { stature } = body;
    const word = EXTRA_WORDS[extra.kind];
    const done = `set the ${word} of ${name}`;
    const { swing, lift } = swungOf(extra.kind, extra.turn ?? IDENTITY);
    const curl = extra.curl ?? 0;
    const pose = (next: { swing?: number; lift?: number; curl?: number }): BodyFields => ({
      [extraTurnField(id)]: {
        turn: turnBy(extra.kind, { swing: next.swing ?? swing, lift: next.lift ?? lift }),
        curl: next.curl ?? curl,
      },
    });
    const size = (what: 'length' | 'girth', range: readonly [number, number]) =>
      this.renderSlide(
        what,
        'cm',
        extra[what] * stature * 100,
        [range[0] * stature * 100, range[1] * stature * 100],
        (cm) => withExtra(body, id, { [what]: cm / 100 / stature }),
        done,
        EXTRA_RANGES[what][1] * stature * 100,
      );
    return html`<details open data-extra=${id}>
      <summary>${word}</summary>
      <div class="inner">
        ${size('length', [0.02, extra.kind === 'neck' ? 0.7 : 1.2])}
        ${size('girth', [0.005, 0.2])}
        ${this.renderSlide('share of the mass', '%', extra.mass * 100, [0, 40], (percent) => withExtra(body, id, { mass: percent / 100 }), done, EXTRA_RANGES.mass[1] * 100)}
        ${
          extra.kind === 'hump'
            ? nothing
            : html`${this.renderSlide(wingOf(extra.kind) === 0 ? 'swung left' : 'swung back', '°', swing / DEGREE, within(EXTRA_TURNS.swing), (degrees) => pose({ swing: degrees * DEGREE }), `turned the ${word}`)}
              ${this.renderSlide(extra.kind === 'neck' ? 'leant ahead' : 'raised', '°', lift / DEGREE, within(EXTRA_TURNS.lift), (degrees) => pose({ lift: degrees * DEGREE }), `turned the ${word}`)}
              ${this.renderSlide('curled', '°', curl / DEGREE, [-180, 180], (degrees) => pose({ curl: degrees * DEGREE }), `curled the ${word}`)}`
        }
        ${
          extra.kind === 'neck' || readonly
            ? nothing
            : html`<label class="field"><span>grows on</span>
              <select @change=${(event: Event) => this.tell(withExtra(body, id, { parent: (event.target as HTMLSelectElement).value as SegmentName }), done)}>
                ${SEGMENTS.map((segment) => html`<option value=${segment} ?selected=${segment === extra.parent}>${segmentWord(segment)}</option>`)}
              </select></label>`
        }
        ${
          readonly
            ? nothing
            : html`<p><button type="button" @click=${() => this.tell({ [extraField(id)]: undefined, [extraTurnField(id)]: undefined }, `took the ${word} off ${name}`)}>remove the ${word}</button></p>`
        }
      </div>
    </details>`;
  }

  protected override render() {
    const { body, name, readonly } = this;
    const extras = Object.entries(body.extras ?? {});
    if (readonly && extras.length === 0) return nothing;
    return html`<details ?open=${extras.length > 0}>
      <summary>Tail, wings, hump, long neck</summary>
      <div class="inner">
        ${
          readonly
            ? nothing
            : html`<p class="row" role="group" aria-label="Add a part">${Object.entries(
                EXTRA_CHOICES,
              ).map(
                ([word, kinds]) =>
                  html`<button type="button" data-add=${word} @click=${() => this.tell(addExtras(body, kinds), `gave ${name} a ${word}`)}>${word}</button>`,
              )}</p>`
        }
        ${extras.map(([id, extra]) => this.renderPart(id, extra))}
      </div>
    </details>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-extras-form': ExtrasForm;
  }
}
