import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  FOCAL_RANGE,
  PICTURE_VIEWS,
  type Picture,
  type PictureView,
  STATURE_RANGE,
} from '../../../core/document/index.ts';
import { flatPlace, horizonAt, lineUp, type Vec3 } from '../../../core/geometry/index.ts';
import { faultWords } from '../../controllers/fault-words.ts';
import { PICTURE_CAUTION } from '../../parts/caution.ts';
import { shared } from '../../styles/shared.ts';
import { formStyles } from '../forms.styles.ts';
import type { Looking } from '../looking.ts';
import '../number-field.ts';
import { type LineUpMark, marksOf } from './mark-names.ts';
import { type Marks, type Pictures, picturesAmong, pictureViewOf } from './pictures.ts';

const DEGREE = Math.PI / 180;

const VIEW_WORDS: Readonly<Record<PictureView, string>> = {
  front: 'behind the front view',
  side: 'behind the side view',
  camera: 'in perspective',
};

/** The Reference leaf: pictures behind the drawing, and how they are lined up with the scene. */
@customElement('cl-reference')
export class Reference extends LitElement {
  static override styles = [
    shared,
    formStyles,
    css`
      .put {
        display: grid;
        gap: 0.5rem;
        border: 1px dashed var(--edge);
        padding: 0.6rem 0.7rem;
      }
      .put.near {
        background: var(--wash);
        border-style: solid;
      }
      section {
        display: grid;
        gap: 0.45rem;
        margin-top: 1rem;
      }
      h3 {
        font-size: 1rem;
        border-bottom: 1px solid var(--rule);
        padding-bottom: 0.2rem;
      }
      input[type='file'] {
        width: 100%;
        border: 0;
        background: none;
        padding: 0;
      }
      dl {
        display: grid;
        grid-template-columns: 1fr auto;
        gap: 0.1rem 0.6rem;
      }
      dt {
        color: var(--pencil);
      }
      dd {
        text-align: right;
      }
      label.check {
        display: flex;
        gap: 0.4rem;
        align-items: center;
      }
    `,
  ];

  @property({ attribute: false }) pictures!: Pictures;
  @property({ attribute: false }) looking!: Looking;
  /** Changes with every change of the draft, so that this element follows. */
  @property({ attribute: false }) entries: ReadonlyMap<string, unknown> = new Map();
  @property({ type: Boolean }) mayEdit = false;
  @state() private view: PictureView | null = null;
  @state() private working = false;
  @state() private fault = '';
  @state() private near = false;

  private get target(): PictureView {
    return this.view ?? pictureViewOf(this.looking.view) ?? 'camera';
  }

  private async put(files: readonly File[]): Promise<void> {
    if (files.length === 0) {
      this.fault = 'That is no PNG, JPEG or WebP picture; nothing was changed.';
      return;
    }
    const view = this.target;
    this.working = true;
    this.fault = '';
    try {
      await this.pictures.put(files, view);
      this.looking.setView(view === 'camera' ? 'picture' : view);
    } catch (cause) {
      this.fault = faultWords(cause);
    } finally {
      this.working = false;
    }
  }

  private onFiles(event: Event): void {
    const input = event.target as HTMLInputElement;
    void this.put(picturesAmong(input.files)).then(() => {
      input.value = '';
    });
  }

  private onDrop(event: DragEvent): void {
    event.preventDefault();
    event.stopPropagation();
    this.near = false;
    void this.put(picturesAmong(event.dataTransfer?.files));
  }

  private onNear(event: DragEvent, near: boolean): void {
    event.preventDefault();
    this.near = near;
  }

  private renderPut() {
    const { target, working, fault } = this;
    return html`<div class="put ${this.near ? 'near' : ''}" @drop=${this.onDrop}
        @dragover=${(event: DragEvent) => this.onNear(event, true)}
        @dragleave=${(event: DragEvent) => this.onNear(event, false)}>
        <label class="field"><span>put it</span>
          <select data-field="view" @change=${(event: Event) => {
            this.view = (event.target as HTMLSelectElement).value as PictureView;
          }}>
            ${PICTURE_VIEWS.map((view) => html`<option value=${view} .selected=${view === target}>${VIEW_WORDS[view]}</option>`)}
          </select></label>
        <label>Choose, drop or paste pictures
          <input type="file" accept="image/png,image/jpeg,image/webp" multiple ?disabled=${working}
            @change=${this.onFiles} /></label>
        <p class="remark">PNG, JPEG or WebP, at most 20 MB and 40 megapixels. Several are the frames of the shot, in the order of their names.</p>
        <p class="remark">${PICTURE_CAUTION}</p>
      </div>
      ${working ? html`<p role="status">Keeping the pictures\u2026</p>` : nothing}
      ${fault === '' ? nothing : html`<p role="alert">${fault}</p>`}`;
  }

  private renderNumber(
    picture: Picture,
    field: 'stature' | 'focal',
    label: string,
    unit: string,
    [min, max]: readonly [number, number],
    step: number,
  ) {
    const perUnit = unit === 'cm' ? 100 : 1;
    return html`<cl-number data-field=${field} label=${label} unit=${unit} .value=${picture[field] * perUnit}
      .step=${step} .min=${min * perUnit} .max=${max * perUnit} ?readonly=${!this.mayEdit || picture.locked}
      @cl-value=${(event: CustomEvent<number>) => this.pictures.set(picture.view, { [field]: event.detail / perUnit }, `set the ${label}`)}
    ></cl-number>`;
  }

  private renderMark(picture: Picture, { word, read, write }: LineUpMark) {
    const at = read(picture);
    const set = (axis: 0 | 1, value: number): void => {
      const change = (now: Picture): Marks => {
        const [x, y] = read(now);
        return write(axis === 0 ? [value, y] : [x, value], now);
      };
      this.pictures.set(picture.view, change, `moved the mark "${word}"`);
    };
    return ([0, 1] as const).map(
      (axis) => html`<cl-number label="${word}, ${axis === 0 ? 'across' : 'down'}" unit="px"
        .value=${at[axis]} .digits=${0} ?readonly=${!this.mayEdit || picture.locked}
        @cl-value=${(event: CustomEvent<number>) => set(axis, event.detail)}></cl-number>`,
    );
  }

  private renderMarks(picture: Picture) {
    const { view, at } = picture;
    const where = (axis: 0 | 1 | 2, metres: number): void =>
      this.pictures.set(
        view,
        (now) => ({
          at: now.at.map((value, i) => (i === axis ? metres : value)) as unknown as Vec3,
        }),
        'moved where the marked feet stand',
      );
    return html`<details>
      <summary>Marks in numbers</summary>
      <div class="form">
        ${marksOf(picture).map(([, mark]) => this.renderMark(picture, mark))}
        <p class="remark">Where those feet stand in the scene:</p>
        ${(['left', 'up', 'ahead'] as const).map(
          (
            word,
            axis,
          ) => html`<cl-number label=${word} unit="cm" .value=${at[axis as 0 | 1 | 2] * 100}
            ?readonly=${!this.mayEdit || picture.locked}
            @cl-value=${(event: CustomEvent<number>) => where(axis as 0 | 1 | 2, event.detail / 100)}></cl-number>`,
        )}
      </div>
    </details>`;
  }

  private renderCamera(picture: Picture) {
    const found = lineUp(picture);
    if (!found.ok) return html`<p role="alert">${found.message}</p>`;
    const { height, tilt, roll, distance } = found.value;
    const degrees = (angle: number): string => `${(angle / DEGREE).toFixed(1)}\u00b0`;
    return html`${this.renderNumber(picture, 'focal', 'focal length', 'mm', FOCAL_RANGE, 5)}
      <cl-number data-field="tilt" label="camera tilts down" unit="\u00b0" .value=${tilt / DEGREE} .min=${-60} .max=${60}
        ?readonly=${!this.mayEdit || picture.locked}
        @cl-value=${(event: CustomEvent<number>) => this.pictures.set('camera', (now) => ({ horizon: horizonAt(now, event.detail * DEGREE) }), 'tilted the camera of the reference')}
      ></cl-number>
      <cl-number data-field="turn" label="seen from" unit="\u00b0" .value=${picture.turn / DEGREE} .step=${5} .min=${-180} .max=${180}
        ?readonly=${!this.mayEdit || picture.locked}
        @cl-value=${(event: CustomEvent<number>) => this.pictures.set('camera', { turn: event.detail * DEGREE }, 'turned the camera of the reference')}
      ></cl-number>
      <p class="remark">0\u00b0 sees a figure that faces ahead from the front, \u221290\u00b0 from its right side. The focal length is for a frame 36 mm wide.</p>
      <dl data-camera>
        <dt>camera above the feet</dt><dd>${(height * 100).toFixed(0)} cm</dd>
        <dt>distance</dt><dd>${(distance * 100).toFixed(0)} cm</dd>
        <dt>horizon falls to the right</dt><dd>${degrees(roll)}</dd>
      </dl>`;
  }

  private renderFlat(picture: Picture) {
    const found = flatPlace(picture);
    if (!found.ok) return html`<p role="alert">${found.message}</p>`;
    return html`<p class="remark">${(found.value.scale * 1000).toFixed(2)} mm a pixel, turned upright by ${Math.abs(found.value.roll / DEGREE).toFixed(1)}\u00b0. It lies flat: put it in perspective where depth matters.</p>`;
  }

  private renderPicture(picture: Picture) {
    const { pictures, mayEdit } = this;
    const { view, files, opacity, hidden, locked, name } = picture;
    const step = pictures.stepOf(picture);
    return html`<section data-picture=${view}>
      <h3>${name} <span class="pencil small">${VIEW_WORDS[view]}</span></h3>
      <label class="field"><span>opacity</span>
        <input type="range" min="5" max="100" step="5" .value=${String(opacity * 100)} ?disabled=${!mayEdit}
          aria-valuetext="${Math.round(opacity * 100)} %"
          @input=${(event: Event) => pictures.slide(view, { opacity: Number((event.target as HTMLInputElement).value) / 100 })}
          @change=${() => pictures.commit('set the opacity of the reference')} /></label>
      ${
        files.length > 1
          ? html`<cl-number label="picture" unit="of ${files.length}" .value=${step + 1} .digits=${0} .min=${1} .max=${files.length}
              @cl-value=${(event: CustomEvent<number>) => pictures.stepTo(Math.round(event.detail) - 1)}></cl-number>`
          : nothing
      }
      <label class="check"><input type="checkbox" .checked=${pictures.over}
        @change=${(event: Event) => pictures.show({ over: (event.target as HTMLInputElement).checked })} /> over the drawing, on this screen</label>
      ${
        mayEdit
          ? html`<div class="row">
              <button type="button" aria-pressed=${pictures.lining && !locked} ?disabled=${locked}
                @click=${() => pictures.show({ lining: !pictures.lining })}>Line up</button>
              <button type="button" aria-pressed=${locked}
                @click=${() => pictures.set(view, { locked: !locked }, locked ? 'unlocked the line-up' : 'locked the line-up')}>Lock</button>
              <button type="button" aria-pressed=${hidden}
                @click=${() => pictures.set(view, { hidden: !hidden }, hidden ? 'showed the reference' : 'hid the reference')}>Hide</button>
              <button type="button" @click=${() => pictures.remove(view)}>Take away</button>
            </div>`
          : nothing
      }
      ${pictures.lining && !locked ? html`<p class="remark">Drag the marks onto the feet and the top of the head of one upright figure${view === 'camera' ? ', and the dashed line onto the horizon' : ''}.</p>` : nothing}
      ${this.renderNumber(picture, 'stature', 'height of that figure', 'cm', STATURE_RANGE, 1)}
      ${view === 'camera' ? this.renderCamera(picture) : this.renderFlat(picture)}
      ${this.renderMarks(picture)}
    </section>`;
  }

  protected override render() {
    const pictures = [...this.pictures.all.values()];
    return html`${this.mayEdit ? this.renderPut() : nothing}
      ${!this.mayEdit && pictures.length === 0 ? html`<p class="pencil">This draft has no reference picture.</p>` : nothing}
      ${pictures.map((picture) => this.renderPicture(picture))}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-reference': Reference;
  }
}
