import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { type BalanceReport, isRepair, type Repair } from '../../core/balance/index.ts';
import {
  type Attachment,
  addNote,
  type Draft,
  draftEntries,
  mentionsIn,
  NOTE_WEIGHTS,
  type NoteWeight,
  noteReading,
  type Person,
  type Pin,
  pinnedThings,
  readPictures,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { pinChoices } from '../bench/pin-choices.ts';
import { pinLabel, samePin } from '../bench/words.ts';
import { faultWords } from '../controllers/fault-words.ts';
import type { SelectDetail, Session } from '../session/index.ts';
import { askWays } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import './mention-field.ts';
import type { MentionField } from './mention-field.ts';
import { composerStyles } from './notes.styles.ts';
import { wayEntries } from './way-entries.ts';
import { WEIGHT_WORDS } from './words.ts';

type FramesPin = Extract<Pin, { kind: 'frames' }>;
/** In the list of what goes with a note: a way back, to be looked for. */
const WAYS = 'ways';

type ReferencePin = Extract<Pin, { kind: 'reference' }>;
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
  @query('cl-mention-field') private field!: MentionField;
  @state() private pin: Pin = { kind: 'shot' };
  @state() private weight: NoteWeight = 'should';
  @state() private asked = '';
  /** Draft that goes with the note, or WAYS; empty for nothing. */
  @state() private with = '';
  /** Ways back that were found for what the note is about; null until they are. */
  @state() private ways: readonly Repair[] | null = null;
  @state() private way = 0;
  private looking: AbortController | null = null;

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (changed.has('selection')) this.pin = this.selection.pin ?? { kind: 'shot' };
    // Ways back belong to the very scene that they were found in.
    if (this.with === WAYS && !this.mayLookForWays()) this.dropWays();
    if (changed.has('draft') || (changed.has('scene') && this.with === WAYS)) this.dropWays();
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
    const note = {
      id: crypto.randomUUID(),
      shot: this.shot,
      draft: this.draft,
      pin,
      frame: pin.kind === 'frames' ? pin.from : this.frame,
      text,
      weight: this.weight,
      reading:
        this.session.hides(this.shot) || scene === null || report === null
          ? null
          : noteReading(pin, scene, report),
      attached: this.attachment(),
      asked: this.asked === '' ? null : this.asked,
      mentions: mentionsIn(text, this.people),
    };
    session.edit('notes', 'wrote a note', (doc, origin) => addNote(doc, note, origin));
    field.value = '';
    this.dropWays();
  }

  private attachment(): Attachment | null {
    if (this.with === '') return null;
    if (this.with !== WAYS) return { kind: 'draft', draft: this.with };
    const way = this.ways?.[this.way];
    if (way === undefined || this.scene === null) return null;
    const { draft } = this;
    return {
      kind: 'way',
      draft,
      words: way.sentence,
      entries: wayEntries(this.scene, way.changes),
    };
  }

  private dropWays(): void {
    this.looking?.abort();
    this.looking = null;
    this.with = '';
    this.ways = null;
    this.way = 0;
  }

  private chooseWith(value: string): void {
    this.dropWays();
    this.with = value;
    if (value === WAYS) void this.lookForWays();
  }

  /** The figure that a way back would mend: the one that the note is about, else the first. */
  private figure(): string | undefined {
    const { scene, pin } = this;
    if (scene === null) return undefined;
    const things = pinnedThings(pin, scene);
    return (scene.figures.find(({ id }) => things.includes(id)) ?? scene.figures[0])?.id;
  }

  /** A way back tells how the pose balances: none is looked for while that is hidden. */
  private mayLookForWays(): boolean {
    return this.frame === null && !this.session.hides(this.shot) && this.figure() !== undefined;
  }

  private async lookForWays(): Promise<void> {
    const { scene } = this;
    const figure = this.figure();
    if (scene === null || figure === undefined) return;
    const looking = new AbortController();
    this.looking = looking;
    try {
      const { ways, sentence } = await askWays(scene, figure, { signal: looking.signal });
      this.ways = ways.filter(isRepair);
      if (this.ways.length === 0) this.session.say(sentence);
    } catch (cause) {
      if (!looking.signal.aborted) {
        this.session.say(faultWords(cause));
      }
    }
  }

  private renderAbout() {
    const { scene, report, pin } = this;
    if (scene === null || report === null) return nothing;
    const choices = pinChoices(
      scene,
      report,
      this.selection.pin,
      this.frame,
      readPictures(draftEntries(this.session.documents.scenes, this.draft)).keys(),
    );
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

  private renderReference(pin: ReferencePin) {
    const set = (axis: 0 | 1) => (event: Event) => {
      const percent = (event.currentTarget as HTMLInputElement).valueAsNumber;
      if (!Number.isFinite(percent)) return;
      const share = Math.max(0, Math.min(1, percent / 100));
      this.choose({ ...pin, at: axis === 0 ? [share, pin.at[1]] : [pin.at[0], share] });
    };
    const percent = (axis: 0 | 1): string => (pin.at[axis] * 100).toFixed(0);
    return html`<p class="small pencil">Press the point on the reference, or type it in % of its width and height.</p>
      <p class="point">
        <label>from its left
          <input type="number" min="0" max="100" step="1" .value=${percent(0)} @change=${set(0)} /></label>
        <label>from its top
          <input type="number" min="0" max="100" step="1" .value=${percent(1)} @change=${set(1)} /></label>
      </p>`;
  }

  private renderWith() {
    return html`<label>with
      <select
        aria-label="What goes with the note"
        @change=${(event: Event) =>
          this.chooseWith((event.currentTarget as HTMLSelectElement).value)}
      >
        <option value="" .selected=${this.with === ''}>nothing</option>
        ${
          this.mayLookForWays()
            ? html`<option value=${WAYS} .selected=${this.with === WAYS}>a way back</option>`
            : nothing
        }
        ${this.drafts.map(
          ({ id, number, title }) =>
            html`<option value=${id} .selected=${this.with === id}>draft ${number}${title === '' ? '' : `: ${title}`}</option>`,
        )}
      </select>
    </label>`;
  }

  private renderWays() {
    if (this.with !== WAYS) return nothing;
    if (this.ways === null) return html`<p class="small pencil">Looking for ways back\u2026</p>`;
    if (this.ways.length === 0) return html`<p class="small pencil">No way back was found.</p>`;
    return html`<label class="ways"><span class="hidden-text">Which way back</span>
      <select
        aria-label="Which way back"
        @change=${(event: Event) => {
          this.way = (event.currentTarget as HTMLSelectElement).selectedIndex;
        }}
      >
        ${this.ways.map(
          ({ sentence }, at) => html`<option .selected=${at === this.way}>${sentence}</option>`,
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
      ${pin.kind === 'reference' ? this.renderReference(pin) : nothing}
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
            <option value="" .selected=${this.asked === ''}>nobody</option>
            ${this.people.map(
              ({ id, name }) =>
                html`<option value=${id} .selected=${this.asked === id}>${name}</option>`,
            )}
          </select>
        </label>
        ${this.renderWith()} ${this.renderWays()}
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
