import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { PATCHES, type PatchName, SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import { contactKey, gripKey, type Pin, putThing, type Thing } from '../../core/document/index.ts';
import type { ContactSetting, Figure, GripEnd } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import {
  freshId,
  LOAD_CHOICES,
  newFigure,
  newFloor,
  newLoad,
  newSurface,
  SURFACE_CHOICES,
} from './adding.ts';
import { ledgerStyles } from './ledger.styles.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import './surface-form.ts';
import { type Desk, dropThing, removeWord, thingForm } from './thing-form.ts';
import { nameOf, patchWord, restsOn, segmentWord } from './words.ts';

const SETTINGS = ['auto', 'planted', 'lifted'] as const satisfies readonly ContactSetting[];

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
  /** The thing whose form is open: its id. */
  @state() private open: string | null = null;

  private toggle(id: string): void {
    this.open = this.open === id ? null : id;
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
    const { scene, report } = this.shown;
    const row = (figure: Figure, patch: PatchName) => {
      const contact = report.contacts.find(({ id }) => id === `${figure.id}/${patch}`);
      const setting = figure.contacts[patch] ?? 'auto';
      const where = contact === undefined ? 'no contact' : `on ${restsOn(scene, contact)}`;
      return html`<li>
        <span><button type="button" class="name" @click=${() => this.pick({ kind: 'contact', contact: `${figure.id}/${patch}` })}
          >${patchWord(patch)}</button> <span class="pencil small">${where}</span></span>
        <select aria-label="${patchWord(patch)} of ${figure.name}"
          ?disabled=${!this.mayEdit || this.fixed.has(figure.id)}
          @change=${(event: Event) => this.setContact(figure, patch, (event.target as HTMLSelectElement).value as ContactSetting)}>
          ${SETTINGS.map((choice) => html`<option value=${choice} ?selected=${choice === setting}>${choice}</option>`)}
        </select>
      </li>`;
    };
    const speaks = (figure: Figure, patch: PatchName): boolean =>
      figure.contacts[patch] !== undefined ||
      report.contacts.some(({ id }) => id === `${figure.id}/${patch}`);
    const loads = report.contacts.filter(({ patch }) => patch === 'underside');
    return html`<section>
      <h2>Contacts</h2>
      ${report.contacts.length === 0 ? html`<p class="pencil">Nothing touches.</p>` : nothing}
      ${scene.figures.map((figure) => {
        const [told, rest] = [true, false].map((says) =>
          PATCHES.filter((patch) => speaks(figure, patch) === says),
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

  private endName(end: GripEnd): string {
    const { scene } = this.shown;
    return end.kind === 'load'
      ? nameOf(scene, end.load)
      : `${segmentWord(end.segment)} of ${nameOf(scene, end.figure)}`;
  }

  private renderGrips() {
    const { grips } = this.shown.scene;
    if (grips.length === 0) return nothing;
    return html`<section>
      <h2>Grips</h2>
      <ul class="list">
        ${grips.map(
          (grip) => html`<li class="wide">
            <span>${this.endName(grip.a)} holds ${this.endName(grip.b)}</span>
            ${
              this.mayEdit
                ? html`<span class="row">
                    <button type="button" aria-pressed=${grip.open}
                      @click=${() => this.posing.set({ [gripKey(grip.id, 'open')]: !grip.open }, grip.open ? 'closed a grip' : 'let a grip go')}
                      >${grip.open ? 'let go' : 'holds'}</button>
                    <button type="button" @click=${() => dropThing(this, 'grip', grip.id)}>remove</button></span>`
                : html`<span class="pencil">${grip.open ? 'let go' : 'holds'}</span>`
            }
          </li>`,
        )}
      </ul>
    </section>`;
  }

  private onAddGrip(event: SubmitEvent): void {
    event.preventDefault();
    const data = new FormData(event.target as HTMLFormElement);
    const [a, b] = [String(data.get('a')), String(data.get('b'))];
    if (a === b) {
      this.live.session.say('A grip needs two different ends.');
      return;
    }
    const end = (text: string): GripEnd => {
      const [kind, id = '', part = ''] = text.split('/');
      if (kind === 'load') return { kind: 'load', load: id };
      const segment = SEGMENTS.find((name) => name === part) ?? 'handR';
      return { kind: 'figure', figure: id, segment };
    };
    this.add({ kind: 'grip', value: { id: freshId(), a: end(a), b: end(b), open: false } });
  }

  private renderAdd() {
    if (!this.mayEdit) return nothing;
    const { shown } = this;
    const { figures, loads, surfaces } = shown.scene;
    const holder =
      figures.find(({ id }) => this.selection?.kind === 'joint' && id === this.selection.figure) ??
      figures[0];
    const held: readonly SegmentName[] = [
      'handL',
      'handR',
      'forearmL',
      'forearmR',
      'chest',
      'pelvis',
    ];
    const ends = [
      ...figures.flatMap(({ id, name }) =>
        held.map((segment) => ({
          value: `figure/${id}/${segment}`,
          words: `${segmentWord(segment)} of ${name}`,
        })),
      ),
      ...loads.map(({ id, name }) => ({ value: `load/${id}`, words: name })),
    ];
    return html`<section class="add">
      <h2>Add</h2>
      <div class="row">
        <button type="button" @click=${() => this.add(newFigure(shown, freshId()))}>figure</button>
        ${Object.entries(LOAD_CHOICES).map(
          ([
            choice,
            words,
          ]) => html`<button type="button" ?disabled=${holder === undefined && choice !== 'crate'}
            @click=${() => this.add(newLoad(shown, freshId(), choice as keyof typeof LOAD_CHOICES, holder?.id ?? ''))}
            >${words}</button>`,
        )}
      </div>
      <div class="row">
        ${
          surfaces.some(({ size }) => size === null)
            ? nothing
            : html`<button type="button" @click=${() => this.add(newFloor(freshId()))}>floor</button>`
        }
        ${Object.entries(SURFACE_CHOICES).map(
          ([choice, words]) => html`<button type="button"
            @click=${() => this.add(newSurface(shown, freshId(), choice as keyof typeof SURFACE_CHOICES))}>${words}</button>`,
        )}
      </div>
      ${
        ends.length < 2 || figures.length + loads.length < 2
          ? nothing
          : html`<details><summary>grip between two hands or things</summary>
              <form @submit=${this.onAddGrip}>
                <select name="a" aria-label="Who holds">${ends.map(({ value, words }) => html`<option value=${value}>${words}</option>`)}</select>
                <select name="b" aria-label="What is held">${[...ends].reverse().map(({ value, words }) => html`<option value=${value}>${words}</option>`)}</select>
                <button>add grip</button>
              </form></details>`
      }
    </section>`;
  }

  protected override render() {
    return html`${this.renderBodies()} ${this.renderContacts()} ${this.renderSurfaces()}
      ${this.renderGrips()} ${this.renderAdd()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-things': Things;
  }
}
