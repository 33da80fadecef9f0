import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  castMap,
  draftEntries,
  figureKey,
  isBodyField,
  putCast,
  readCast,
  readDrafts,
  removeCast,
  setCastFields,
  setEntries,
} from '../../core/document/index.ts';
import { bodyOf, type Figure } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { freshId } from './adding.ts';
import type { BodyChange, BodyFields } from './body-edit.ts';
import './body-form.ts';
import './extras-form.ts';
import { formStyles } from './forms.styles.ts';
import { massesTold } from './masses-told.ts';
import type { Posing } from './posing.ts';

/**
 * What a person sets about a figure: name, its body (its own, or one of the review's cast that it shares
 * with other shots), and where the numbers come from.
 */
@customElement('cl-figure-form')
export class FigureForm extends LitElement {
  static override styles = [shared, formStyles];

  @property({ attribute: false }) figure!: Figure;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ type: Boolean }) readonly = false;
  /** Changes go to this figure alone, though its body is of the cast. */
  @state() private alone = false;

  private set(field: string, value: unknown, done: string): void {
    this.posing.set({ [figureKey(this.figure.id, field)]: value }, done);
  }

  private onName(event: Event): void {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    if (name === '') input.value = this.figure.name;
    else this.set('name', name, `named a figure ${name}`);
  }

  /** Fields as entries of the figure's row. A field of the cast is hidden by null, not by leaving it out. */
  private entriesOf(fields: BodyFields): Record<string, unknown> {
    const { id, cast } = this.figure;
    return Object.fromEntries(
      Object.entries(fields).map(([field, value]) => [
        figureKey(id, field),
        value === undefined && cast !== undefined && isBodyField(field) ? null : value,
      ]),
    );
  }

  private onBody({ detail }: CustomEvent<BodyChange>): void {
    const { figure, live } = this;
    const { fields, done } = detail;
    const { session, draft } = live;
    if (detail.live) {
      session.show({ drag: { draft, entries: this.entriesOf(fields) } });
      return;
    }
    session.cancelDrag();
    const { cast } = figure;
    if (cast === undefined || this.alone) {
      this.posing.set(this.entriesOf(fields), done);
      return;
    }
    // What a body is like goes to the cast, how its tail is turned stays with the figure.
    const [shared_, own] = [true, false].map((isBody) =>
      Object.fromEntries(Object.entries(fields).filter(([field]) => isBodyField(field) === isBody)),
    ) as [BodyFields, BodyFields];
    session.edit('scenes', `${done} in the cast`, (doc, origin) => {
      doc.transact(() => {
        setCastFields(doc, cast.body, shared_, origin);
        setEntries(doc, draft, this.entriesOf(own), origin);
      }, origin);
    });
  }

  /** Own body fields taken away, so that all of the body follows the cast. */
  private follow(body: string): Record<string, unknown> {
    const { figure, live } = this;
    const prefix = figureKey(figure.id, '');
    const own = [...live.entries.keys()].filter(
      (key) => key.startsWith(prefix) && isBodyField(key.slice(prefix.length)),
    );
    return {
      ...Object.fromEntries(own.map((key) => [key, undefined])),
      [figureKey(figure.id, 'cast')]: body,
    };
  }

  private keep(): void {
    const { figure, live } = this;
    const id = freshId();
    live.session.edit('scenes', `kept the body of ${figure.name} in the cast`, (doc, origin) => {
      doc.transact(() => {
        putCast(doc, { id, name: figure.name, body: figure.body }, origin);
        setEntries(doc, live.draft, this.follow(id), origin);
      }, origin);
    });
    live.session.say(`${figure.name} is in the cast now: other shots can use the same body.`);
  }

  private onCast(event: Event): void {
    const body = (event.target as HTMLSelectElement).value;
    const { figure, live } = this;
    const { session } = live;
    this.alone = false;
    if (body !== '') {
      this.posing.set(this.follow(body), `gave ${figure.name} a body of the cast`);
      return;
    }
    const { scenes } = session.documents;
    const name = readCast(castMap(scenes)).find(({ id }) => id === figure.cast?.body)?.name;
    this.posing.set(this.detached(), `gave ${figure.name} a body of its own`);
    session.say(`${figure.name} no longer follows ${name ?? 'the cast'}.`);
  }

  private detached(): Record<string, unknown> {
    const { figure, live } = this;
    const body = figure.cast?.body ?? '';
    const entries: Record<string, unknown> = { [figureKey(figure.id, 'cast')]: undefined };
    for (const [key, value] of castMap(live.session.documents.scenes)) {
      const field = key.startsWith(`${body}/`) ? key.slice(body.length + 1) : '';
      const own = figureKey(figure.id, field);
      if (isBodyField(field) && !live.entries.has(own)) entries[own] = value;
    }
    return entries;
  }

  private removeFromCast(): void {
    const { figure, live } = this;
    const body = figure.cast?.body;
    if (body === undefined) return;
    live.session.edit('scenes', 'took a body out of the cast', (doc, origin) => {
      const drafts = readDrafts(doc).filter(({ sealed }) => !sealed);
      removeCast(
        doc,
        body,
        drafts.map(({ id }) => draftEntries(doc, id)),
        origin,
      );
    });
    live.session.say('Out of the cast; every figure keeps that body as its own.');
  }

  private onCastName(event: Event, body: string): void {
    const name = (event.target as HTMLInputElement).value.trim();
    if (name === '') return;
    this.live.session.edit('scenes', `named a body of the cast ${name}`, (doc, origin) =>
      setCastFields(doc, body, { name }, origin),
    );
  }

  private renderCast() {
    const { figure, live, readonly } = this;
    const cast = readCast(castMap(live.session.documents.scenes));
    const mine = cast.find(({ id }) => id === figure.cast?.body);
    if (readonly) {
      return mine === undefined
        ? nothing
        : html`<p class="remark">Body of the cast: ${mine.name}.</p>`;
    }
    const { own = [] } = figure.cast ?? {};
    return html`<div class="inner" data-cast>
      ${
        cast.length === 0
          ? nothing
          : html`<label class="field"><span>body</span>
            <select data-field="cast" @change=${this.onCast}>
              <option value="" ?selected=${figure.cast === undefined}>its own</option>
              ${cast.map(({ id, name }) => html`<option value=${id} ?selected=${id === figure.cast?.body}>cast: ${name}</option>`)}
            </select></label>`
      }
      ${
        figure.cast === undefined
          ? html`<p><button type="button" data-keep @click=${this.keep}>keep this body in the cast</button></p>`
          : html`${
              mine === undefined
                ? html`<p class="remark">Its body is no longer in the cast; this one stands in. Choose another, or its own.</p>`
                : html`<label class="field"><span>cast name</span>
                  <input .value=${mine.name} maxlength="64" @change=${(event: Event) => this.onCastName(event, mine.id)} /></label>`
            }
            <label class="field"><span>changes go</span>
              <select data-field="changes" @change=${(event: Event) => {
                this.alone = (event.target as HTMLSelectElement).value === 'alone';
              }}>
                <option value="cast" ?selected=${!this.alone}>to the cast, in every shot</option>
                <option value="alone" ?selected=${this.alone}>to this figure alone</option>
              </select></label>
            <p class="row">${
              own.length === 0
                ? nothing
                : html`<button type="button" @click=${() => this.posing.set(this.follow(figure.cast?.body ?? ''), `let ${figure.name} follow the cast again`)}>follow the cast again (${own.length} set here)</button>`
            }
            <button type="button" @click=${this.removeFromCast}>take it out of the cast</button></p>`
      }
    </div>`;
  }

  protected override render() {
    const { figure, readonly } = this;
    const { body, name } = figure;
    return html`<div class="form" @cl-body=${this.onBody}>
      <label class="field"><span>name</span>
        <input .value=${name} maxlength="64" ?readonly=${readonly} @change=${this.onName} /></label>
      ${this.renderCast()}
      <cl-body-form .body=${body} .name=${name} ?readonly=${readonly}></cl-body-form>
      <cl-extras-form .body=${body} .name=${name} ?readonly=${readonly}></cl-extras-form>
      ${massesTold(bodyOf(body))}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-figure-form': FigureForm;
  }
}
