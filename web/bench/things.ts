import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { PATCHES, type PatchName } from '../../core/body/index.ts';
import { contactKey, type Pin, putThing, type Thing } from '../../core/document/index.ts';
import { bodyOf, type ContactSetting, type Figure } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { addThings } from './add-things.ts';
import './grips.ts';
import { ledgerStyles } from './ledger.styles.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import './surface-form.ts';
import { settingsOf } from './movables.ts';
import { type Desk, removeWord, thingForm } from './thing-form.ts';
import { nameOf, patchWord, restsOn } from './words.ts';

/** The areas of a figure that may carry. */
const patchesOf = ({ body }: Figure): readonly PatchName[] =>
  PATCHES.filter((patch) => bodyOf(body).patches[patch].outline.length > 0);

/**
 * The leaf of things: figures and loads with their forms, contacts, surfaces, grips, and what can be
 * added. Fires `cl-pick` (detail: Pin).
 */
@customElement('cl-things')
export class Things extends LitElement implements Desk {
  static override styles = [shared, ledgerStyles];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) selection: Pin | null = null;
  @property({ type: Boolean }) mayEdit = false;
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  /** The thing whose form is open: its id. */
  @state() private open: string | null = null;

  private toggle(id: string): void {
    this.open = this.open === id ? null : id;
    const surface = this.shown.scene.surfaces.some((one) => one.id === this.open);
    this.posing.size(surface ? this.open : null);
    if (this.shown.scene.loads.some((load) => load.id === id))
      this.pick({ kind: 'load', load: id });
  }

  private pick(detail: Pin): void {
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  private add(thing: Thing): void {
    const { live } = this;
    const what = 'name' in thing.value ? thing.value.name : 'a grip';
    live.session.edit('scenes', `added ${what}`, (doc, origin) => {
      putThing(doc, live.draft, thing, origin);
    });
    this.open = thing.value.id;
    if (thing.kind === 'surface' && thing.value.size !== null) this.posing.size(thing.value.id);
  }

  private renderBodies() {
    const { figures, loads } = this.shown.scene;
    const things = [...figures, ...loads];
    if (things.length === 0)
      return this.mayEdit ? html`<p>Add a figure below, then drag its hips.</p>` : nothing;
    return html`<section>
      <h2>Figures and loads</h2>
      <ul class="list">
        ${things.map(
          ({ id, name }) => html`<li class="wide" data-thing=${id}>
            <button type="button" class="name" aria-expanded=${this.open === id}
              @click=${() => this.toggle(id)}>${name}</button>
            ${this.open === id ? thingForm(this, id) : nothing}
          </li>`,
        )}
      </ul>
    </section>`;
  }

  private renderContacts() {
    const { scene, report, hidden } = this.shown;
    const row = (figure: Figure, patch: PatchName) => {
      const contact = report.contacts.find(({ id }) => id === `${figure.id}/${patch}`);
      const setting = figure.contacts[patch] ?? 'auto';
      const found = contact === undefined ? 'no contact' : `on ${restsOn(scene, contact)}`;
      const where = hidden ? '' : found;
      return html`<li>
        <span><button type="button" class="name" @click=${() => this.pick({ kind: 'contact', contact: `${figure.id}/${patch}` })}
          >${patchWord(patch)}</button> <span class="pencil small">${where}</span></span>
        <select aria-label="${patchWord(patch)} of ${figure.name}"
          ?disabled=${!this.mayEdit || this.fixed.has(figure.id)}
          @change=${(event: Event) => this.setContact(figure, patch, (event.target as HTMLSelectElement).value as ContactSetting)}>
          ${settingsOf(patch).map((choice) => html`<option value=${choice} ?selected=${choice === setting}>${choice}</option>`)}
        </select>
      </li>`;
    };
    const speaks = (figure: Figure, patch: PatchName): boolean =>
      figure.contacts[patch] !== undefined ||
      report.contacts.some(({ id }) => id === `${figure.id}/${patch}`);
    const loads = report.contacts.filter(({ patch }) => patch === 'underside');
    return html`<section>
      <h2>Contacts</h2>
      ${hidden ? html`<p class="pencil">What touches is hidden for the call.</p>` : nothing}
      ${report.contacts.length === 0 && !hidden ? html`<p class="pencil">Nothing touches.</p>` : nothing}
      ${scene.figures.map((figure) => {
        const [told, rest] = [true, false].map((says) =>
          patchesOf(figure).filter((patch) => speaks(figure, patch) === says),
        );
        return html`
          ${scene.figures.length > 1 ? html`<h3>${figure.name}</h3>` : nothing}
          <ul class="list">${told?.map((patch) => row(figure, patch))}</ul>
          <details>
            <summary>Other parts<span class="hidden-text"> of ${figure.name}</span></summary>
            <ul class="list">${rest?.map((patch) => row(figure, patch))}</ul>
          </details>`;
      })}
      <ul class="list">
        ${loads.map((contact) => html`<li><span>${nameOf(scene, contact.owner)} <span class="pencil small">on ${restsOn(scene, contact)}</span></span></li>`)}
      </ul>
    </section>`;
  }

  private setContact(figure: Figure, patch: PatchName, setting: ContactSetting): void {
    const value = setting === 'auto' ? undefined : setting;
    this.posing.set(
      { [contactKey(figure.id, patch)]: value },
      `set the ${patchWord(patch)} to ${setting}`,
    );
  }

  private renderSurfaces() {
    const { surfaces } = this.shown.scene;
    return html`<section>
      <h2>Surfaces</h2>
      ${surfaces.length === 0 ? html`<p class="pencil">There is no floor: everything is in the air.</p>` : nothing}
      <ul class="list">
        ${surfaces.map(
          (surface) => html`<li>
            <button type="button" class="name" aria-expanded=${this.open === surface.id}
              @click=${() => this.toggle(surface.id)}>${surface.name}</button>
            <span class="pencil">friction ${surface.friction.toFixed(2)}</span>
          </li>
          ${
            this.open === surface.id
              ? html`<li class="open"><cl-surface-form .surface=${surface} .posing=${this.posing} ?readonly=${!this.mayEdit}></cl-surface-form>
                  ${removeWord(this, 'surface', surface.id)}</li>`
              : nothing
          }`,
        )}
      </ul>
    </section>`;
  }

  /** A new object each time, so that the grips follow every change. */
  private get desk(): Desk {
    const { live, shown, posing, mayEdit, fixed } = this;
    return { live, shown, posing, mayEdit, fixed };
  }

  private renderAdd() {
    if (!this.mayEdit) return nothing;
    const { figures } = this.shown.scene;
    const holder =
      figures.find(({ id }) => this.selection?.kind === 'joint' && id === this.selection.figure) ??
      figures[0];
    return addThings(this, holder?.id, (thing) => this.add(thing));
  }

  protected override render() {
    return html`${this.renderBodies()} ${this.renderContacts()} ${this.renderSurfaces()}
      <cl-grips .desk=${this.desk}></cl-grips> ${this.renderAdd()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-things': Things;
  }
}
