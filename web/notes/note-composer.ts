import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { BalanceReport } from '../../core/balance/index.ts';
import {
  type Attachment,
  addNote,
  type Draft,
  mentionsIn,
  NOTE_WEIGHTS,
  type NoteWeight,
  noteReading,
  type Person,
  type Pin,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { pinChoices } from '../bench/pin-choices.ts';
import { pinLabel, samePin } from '../bench/words.ts';
import type { SelectDetail, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import './mention-field.ts';
import type { MentionField } from './mention-field.ts';
import { composerStyles } from './notes.styles.ts';
import { WEIGHT_WORDS } from './words.ts';

type FramesPin = Extract<Pin, { kind: 'frames' }>;
type PointPin = Extract<Pin, { kind: 'point' }>;

/**
 * Writing a note: what it is about, its words, how much it weighs, whom it asks and what goes with
 * it. Fires `cl-about` (detail: Pin) when another pin is chosen in the list.
 */
@customElement('cl-note-composer')
export class NoteComposer extends LitElement {
  static override styles = [shared, composerStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shot = '';
  @property({ attribute: false }) draft = '';
  @property({ attribute: false }) drafts: readonly Draft[] = [];
  /** Frame number shown, or null where the shot is one pose. */
  @property({ attribute: false }) frame: number | null = null;
  @property({ attribute: false }) scene: Scene | null = null;
  @property({ attribute: false }) report: BalanceReport | null = null;
  @property({ attribute: false }) selection: SelectDetail = { pin: null, label: '' };
  @property({ attribute: false }) people: readonly Person[] = [];
  /** A way back that is to go with the note; null for none. */
  @property({ attribute: false }) way: Extract<Attachment, { kind: 'way' }> | null = null;

  @query('cl-mention-field') private field!: MentionField;
  @state() private pin: Pin = { kind: 'shot' };
  @state() private weight: NoteWeight = 'should';
  @state() private asked = '';
  /** Draft that goes with the note; empty for none. */
  @state() private withDraft = '';

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('selection')) this.pin = this.selection.pin ?? { kind: 'shot' };
    if (changed.has('draft')) this.withDraft = '';
  }

  /** Puts a text about a pin into the field, to be changed and sent by the person. */
  write(text: string, pin: Pin, weight: NoteWeight): void {
    this.pin = pin;
    this.weight = weight;
    this.field.value = text;
    this.field.focus();
  }

  private choose(pin: Pin): void {
    this.pin = pin;
    this.dispatchEvent(new CustomEvent<Pin>('cl-about', { detail: pin }));
  }

  private send(): void {
    const { session, scene, report, pin, field } = this;
    const text = field.value;
    if (text === '') {
      session.say('Write a few words first.');
      field.focus();
      return;
    }
    const attached: Attachment | null =
      this.way ?? (this.withDraft === '' ? null : { kind: 'draft', draft: this.withDraft });
    const note = {
      id: crypto.randomUUID(),
      shot: this.shot,
      draft: this.draft,
      pin,
      frame: pin.kind === 'frames' ? pin.from : this.frame,
      text,
      weight: this.weight,
      reading: scene === null || report === null ? null : noteReading(pin, scene, report),
      attached,
      asked: this.asked === '' ? null : this.asked,
      mentions: mentionsIn(text, this.people),
    };
    session.edit('notes', 'wrote a note', (doc, origin) => addNote(doc, note, origin));
    field.value = '';
    this.withDraft = '';
    this.dropWay();
  }

  private dropWay(): void {
    if (this.way !== null) this.dispatchEvent(new Event('cl-drop-way'));
  }

  private renderAbout() {
    const { scene, report, pin } = this;
    if (scene === null || report === null) return nothing;
    const choices = pinChoices(scene, report, this.selection.pin, this.frame);
    const known = choices.some(({ pins }) => pins.some((other) => samePin(other, pin)));
    const groups = known ? choices : [{ title: 'Chosen', pins: [pin] }, ...choices];
    return html`<label class="about">
      <span>About</span>
      <select
        @change=${(event: Event) =>
          this.choose(JSON.parse((event.currentTarget as HTMLSelectElement).value) as Pin)}
      >
        ${groups.map(
          ({ title, pins }) => html`<optgroup label=${title}>
            ${pins.map(
              (
                other,
              ) => html`<option value=${JSON.stringify(other)} .selected=${samePin(other, pin)}>
                ${pinLabel(scene, other)}
              </option>`,
            )}
          </optgroup>`,
        )}
      </select>
    </label>`;
  }

  private renderFrames(pin: FramesPin) {
    const set = (end: 'from' | 'to') => (event: Event) => {
      const value = (event.currentTarget as HTMLInputElement).valueAsNumber;
      if (Number.isInteger(value)) this.choose({ ...pin, [end]: value });
    };
    return html`<p>
      <label>from frame <input type="number" step="1" .value=${String(pin.from)} @change=${set('from')} /></label>
      <label>to <input type="number" step="1" .value=${String(pin.to)} @change=${set('to')} /></label>
    </p>`;
  }

  private renderPoint(pin: PointPin) {
    const names = ['to the left', 'up', 'ahead'];
    const set = (axis: number) => (event: Event) => {
      const value = (event.currentTarget as HTMLInputElement).valueAsNumber;
      if (!Number.isFinite(value)) return;
      const point = pin.point.map((c, i) => (i === axis ? value / 100 : c));
      this.choose({ kind: 'point', point: point as unknown as PointPin['point'] });
    };
    return html`<p class="small pencil">Press the point in the elevation or the plan, or type it in cm.</p>
      <p class="point">
        ${names.map(
          (name, axis) => html`<label>${name}
            <input type="number" step="1" .value=${((pin.point[axis] ?? 0) * 100).toFixed(0)} @change=${set(axis)} />
          </label>`,
        )}
      </p>`;
  }

  private renderWith() {
    if (this.way !== null) {
      return html`<p>with the way back: ${this.way.words} <button type="button" @click=${this.dropWay}>Leave it out</button></p>`;
    }
    return html`<label>with
      <select
        aria-label="A draft that goes with the note"
        @change=${(event: Event) => {
          this.withDraft = (event.currentTarget as HTMLSelectElement).value;
        }}
      >
        <option value="" .selected=${this.withDraft === ''}>nothing</option>
        ${this.drafts.map(
          ({ id, number, title }) =>
            html`<option value=${id} .selected=${this.withDraft === id}>draft ${number}${title === '' ? '' : `: ${title}`}</option>`,
        )}
      </select>
    </label>`;
  }

  protected override render() {
    const { scene, pin } = this;
    const about = scene === null ? 'the whole shot' : pinLabel(scene, pin);
    return html`<form
      @submit=${(event: Event) => {
        event.preventDefault();
        this.send();
      }}
    >
      ${this.renderAbout()}
      ${pin.kind === 'frames' ? this.renderFrames(pin) : nothing}
      ${pin.kind === 'point' ? this.renderPoint(pin) : nothing}
      <cl-mention-field
        label="A note about ${about}"
        placeholder="One wish, with its reason. @ speaks to somebody."
        .people=${this.people}
        @cl-send=${this.send}
      ></cl-mention-field>
      <fieldset>
        <legend class="hidden-text">How much it weighs</legend>
        ${NOTE_WEIGHTS.map(
          (weight) => html`<label>
            <input
              type="radio" name="weight" value=${weight} .checked=${this.weight === weight}
              @change=${() => {
                this.weight = weight;
              }}
            />
            ${WEIGHT_WORDS[weight]}
          </label>`,
        )}
      </fieldset>
      <div class="row">
        <label>asks
          <select
            aria-label="Whom the note asks"
            @change=${(event: Event) => {
              this.asked = (event.currentTarget as HTMLSelectElement).value;
            }}
          >
            <option value="" .selected=${this.asked === ''}>nobody by name</option>
            ${this.people.map(
              ({ id, name }) =>
                html`<option value=${id} .selected=${this.asked === id}>${name}</option>`,
            )}
          </select>
        </label>
        ${this.renderWith()}
      </div>
      <p>
        <button class="main" type="submit">Add the note</button>
      </p>
    </form>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-note-composer': NoteComposer;
  }
}
