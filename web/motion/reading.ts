import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SEGMENTS, type SegmentName, TABLES, tableInfo } from '../../core/body/index.ts';
import { asOneOf, type ClipCamera, type ClipLink } from '../../core/document/index.ts';
import { FACINGS, type MovingClip, type PersonSettings } from '../../core/formats/index.ts';
import { segmentWord } from '../bench/words.ts';
import { shared } from '../styles/shared.ts';
import { BASES, chosenBases, patchesOf } from './bases.ts';
import { readingStyles } from './reading.styles.ts';

const FOUND = { name: 'by name', place: 'by place', hand: 'by hand' } as const;
const FACING_WORDS = {
  camera: 'the camera',
  away: 'away from it',
  left: "the picture's left",
  right: "the picture's right",
} as const;
/** Sentences with one of these speak of what was not in the file. */
const GUESS = /guess|assumed|taken|no stature|cannot be told|not sure|by their place/i;
/** Segments that no joint of their own moves. */
const MAPPED = SEGMENTS.filter((segment) => segment !== 'abdomen');

/**
 * How a file with frames was read, and what a person corrects of it: sizes, scale, rate, animation,
 * joints; for pictures with keypoints which way people face and what carries them. Fires `cl-link`
 * (detail: the whole new ClipLink) on every change.
 */
@customElement('cl-reading')
export class ReadingReport extends LitElement {
  static override styles = [shared, readingStyles];

  @property({ attribute: false }) link!: ClipLink;
  /** What was read by this link; null where it could not be. */
  @property({ attribute: false }) clip: MovingClip | null = null;
  /** Why it could not be read; empty when it could. */
  @property() message = '';
  /** The lined-up picture of the draft; null without one. */
  @property({ attribute: false }) camera: ClipCamera | null = null;
  /** Whether this person may correct it. */
  @property({ type: Boolean }) mayEdit = false;

  private change(part: Partial<ClipLink>): void {
    const detail: ClipLink = { ...this.link, ...part };
    this.dispatchEvent(new CustomEvent('cl-link', { detail, bubbles: true, composed: true }));
  }

  private renderNumber(
    label: string,
    name: 'stature' | 'mass' | 'scale' | 'fps' | 'standing',
    { found = '', step = 0.01 }: { found?: string; step?: number } = {},
  ) {
    const value = this.link[name];
    return html`<label>
      ${label}
      <input
        type="number" name=${name} min="0" step=${step} placeholder=${found} ?disabled=${!this.mayEdit}
        ?required=${name === 'mass'} .value=${value === null ? '' : String(value)}
        @change=${(event: Event) => {
          const { value: text } = event.currentTarget as HTMLInputElement;
          const typed = text.trim() === '' ? null : Number(text);
          if (name !== 'mass') this.change({ [name]: typed });
          else if (typed !== null) this.change({ mass: typed });
        }}
      />
    </label>`;
  }

  private renderSizes() {
    const { link, clip } = this;
    const picture = link.format === 'keypoints';
    const stature = clip?.report?.stature.toFixed(2) ?? '1.70';
    const scale = clip?.report?.scale ?? clip?.picture?.people[0]?.scale;
    return html`<div class="fields">
      ${this.renderNumber('Stature, metres', 'stature', { found: stature })}
      ${this.renderNumber('Mass, kilograms', 'mass', { step: 0.5 })}
      <label>
        Segment table
        <select name="table" ?disabled=${!this.mayEdit}
          @change=${(event: Event) => this.change({ table: (event.currentTarget as HTMLSelectElement).value })}>
          ${TABLES.map(
            (table) =>
              html`<option value=${table} .selected=${table === link.table}>${tableInfo(table).name}</option>`,
          )}
        </select>
      </label>
      ${this.renderNumber(picture ? 'Metres a pixel' : 'Metres a unit', 'scale', { found: scale?.toPrecision(3) ?? '', step: 0.00001 })}
      ${this.renderNumber('Frames a second', 'fps', { found: clip?.rate.toFixed(2) ?? '' })}
      ${picture ? this.renderLineUp() : this.renderAnimations()}
    </div>`;
  }

  private renderLineUp() {
    const { tilt } = this.link;
    return html`${this.renderNumber('Standing height, pixels', 'standing', { step: 1 })}
      <label>
        True up leans right, degrees
        <input type="number" name="tilt" min="-45" max="45" step="0.1" placeholder="0" ?disabled=${!this.mayEdit}
          .value=${tilt === null ? '' : String(Math.round((tilt * 1800) / Math.PI) / 10)}
          @change=${(event: Event) => {
            const { value } = event.currentTarget as HTMLInputElement;
            this.change({ tilt: value.trim() === '' ? null : (Number(value) * Math.PI) / 180 });
          }} />
      </label>
      ${this.renderCamera()}`;
  }

  /** The line-up of the picture behind the view, for points of that same picture. */
  private renderCamera() {
    const { camera, link, mayEdit } = this;
    const take = (): void => {
      if (camera === null) return;
      const { horizon, feet, head, stature } = camera;
      this.change({ camera: { horizon, feet, head, stature } });
    };
    if (!mayEdit || (camera === null && link.camera === null)) return nothing;
    return html`<div class="wide">
      <p class="pencil small">${link.camera === null ? 'If these are points of the picture under Reference, its horizon and person tell scale and tilt.' : 'Read by the horizon and the person of the lined-up picture.'}</p>
      ${camera === null ? nothing : html`<button type="button" @click=${take}>${link.camera === null ? 'line up with the picture' : 'line up anew'}</button>`}
      ${link.camera === null ? nothing : html`<button type="button" @click=${() => this.change({ camera: null })}>leave the line-up out</button>`}
    </div>`;
  }

  private renderAnimations() {
    const names = this.clip?.animations ?? [];
    if (names.length < 2) return nothing;
    return html`<label>
      Animation
      <select name="animation" ?disabled=${!this.mayEdit}
        @change=${(event: Event) => this.change({ animation: (event.currentTarget as HTMLSelectElement).value || null })}>
        <option value="" .selected=${this.link.animation === null}>the first that moves it</option>
        ${names.map((name) => html`<option value=${name} .selected=${name === this.link.animation}>${name}</option>`)}
      </select>
    </label>`;
  }

  private setJoint(segment: SegmentName, value: string): void {
    const { [segment]: _, ...others } = this.link.joints;
    if (value === 'found') this.change({ joints: others });
    else this.change({ joints: { ...others, [segment]: value === '' ? null : value.slice(1) } });
  }

  private renderJoints() {
    const { clip, link } = this;
    const corrected = Object.keys(link.joints).length;
    // A mapping that cannot be is mended here too, so the names of an earlier reading stay.
    const joints = clip?.joints ?? this.known;
    if (joints.length === 0) return nothing;
    const mapped = new Map(clip?.report?.mapping.map((one) => [one.segment, one] as const));
    return html`<details ?open=${this.message !== '' && corrected > 0}>
      <summary>Joints${corrected === 0 ? nothing : html` <span class="pencil">${corrected} set by hand</span>`}</summary>
      <div class="joints">
        ${MAPPED.map((segment) => {
          const set = link.joints[segment];
          const found = mapped.get(segment);
          const shown = set === undefined ? 'found' : set === null ? '' : `=${set}`;
          return html`<span id="of-${segment}">${segmentWord(segment)}</span>
            <select aria-labelledby="of-${segment}" data-segment=${segment} ?disabled=${!this.mayEdit}
              @change=${(event: Event) => this.setJoint(segment, (event.currentTarget as HTMLSelectElement).value)}>
              <option value="found" .selected=${shown === 'found'}>${set === undefined ? (found?.joint ?? 'none') : 'as found'}</option>
              <option value="" .selected=${shown === ''}>no joint</option>
              ${joints.map((joint) => html`<option value="=${joint}" .selected=${shown === `=${joint}`}>${joint}</option>`)}
            </select>
            <span class="pencil small">${found === undefined ? '' : FOUND[found.how]}</span>`;
        })}
      </div>
    </details>`;
  }

  private known: readonly string[] = [];

  protected override willUpdate(): void {
    if (this.clip !== null) this.known = this.clip.joints;
  }

  private setPerson(id: string, part: Partial<PersonSettings>): void {
    const before = this.link.people[id] ?? {};
    const entries = Object.entries({ ...before, ...part }).filter(
      ([, value]) => value !== undefined,
    );
    this.change({ people: { ...this.link.people, [id]: Object.fromEntries(entries) } });
  }

  private renderPerson(id: string) {
    const settings = this.link.people[id] ?? {};
    const bases = chosenBases(settings.base ?? []);
    const disabled = !this.mayEdit;
    return html`<fieldset ?disabled=${disabled} data-person=${id}>
      <legend>${id.replace('person-', 'Person ')}</legend>
      <label>
        Faces
        <select @change=${(event: Event) => {
          const { value } = event.currentTarget as HTMLSelectElement;
          this.setPerson(id, { facing: asOneOf(value, FACINGS) ?? undefined } as PersonSettings);
        }}>
          <option value="" .selected=${settings.facing === undefined}>as the points show</option>
          ${FACINGS.map((facing) => html`<option value=${facing} .selected=${facing === settings.facing}>${FACING_WORDS[facing]}</option>`)}
        </select>
      </label>
      <span class="pencil">What carries${settings.base === undefined ? ' (a guess: set it)' : ''}</span>
      <div class="checks">
        ${BASES.map(
          ({ word }) => html`<label><input type="checkbox" .checked=${bases.includes(word)}
            @change=${(event: Event) => {
              const on = (event.currentTarget as HTMLInputElement).checked;
              const next = on ? [...bases, word] : bases.filter((other) => other !== word);
              this.setPerson(id, { base: patchesOf(next) });
            }} />${word}</label>`,
        )}
      </div>
    </fieldset>`;
  }

  private renderTold() {
    if (this.message !== '')
      return html`<p role="alert">This file cannot be read so. ${this.message}</p>`;
    const sentences = this.clip?.sentences ?? [];
    return html`<ul class="told" aria-label="How the file was read">
      ${sentences.map((text) => html`<li class=${GUESS.test(text) ? 'guess' : ''}>${text}</li>`)}
    </ul>`;
  }

  protected override render() {
    const { clip, link } = this;
    const people = clip?.picture?.people.map(({ id }) => id) ?? Object.keys(link.people);
    return html`${this.renderSizes()}
      ${link.format === 'keypoints' ? people.map((id) => this.renderPerson(id)) : this.renderJoints()}
      ${this.renderTold()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-reading': ReadingReport;
  }
}
