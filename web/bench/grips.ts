import { html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { SEGMENTS } from '../../core/body/index.ts';
import { gripKey } from '../../core/document/index.ts';
import { shared } from '../styles/shared.ts';
import { CARRIES, type Carry, carryEntries } from './carrying.ts';
import {
  GRIP_PARTS,
  type GripTarget,
  type Hand,
  holdEntries,
  letPalmGo,
  mayHold,
  plantedPalms,
  targetName,
} from './grip-edit.ts';
import { ledgerStyles } from './ledger.styles.ts';
import { type Desk, dropThing } from './thing-form.ts';
import { asStored } from './what-if.ts';
import { nameOf, segmentWord } from './words.ts';

/**
 * Grips: hands on partners, loads and surfaces. Each opens and closes by one press; new ones are made
 * by dragging a hand onto something in the elevation, or by choosing both ends here.
 */
@customElement('cl-grips')
export class Grips extends LitElement {
  static override styles = [shared, ledgerStyles];

  @property({ attribute: false }) desk!: Desk;

  private renderList() {
    const { desk } = this;
    const { scene } = desk.shown;
    const palms = plantedPalms(desk.shown).filter(({ on }) => on !== null);
    if (scene.grips.length + palms.length === 0)
      return desk.mayEdit
        ? html`<p class="pencil">Drag a hand onto a partner, a load or a rail to take hold of it.</p>`
        : nothing;
    return html`<ul class="list">
      ${asStored(desk.live).grips.map(
        (grip) => html`<li class="wide" data-grip=${grip.id}>
          <span>${targetName(scene, grip.a)} holds ${targetName(scene, grip.b)}</span>
          ${
            desk.mayEdit
              ? html`<span class="row">
                  <button type="button" aria-pressed=${grip.open}
                    @click=${() => desk.posing.set({ [gripKey(grip.id, 'open')]: !grip.open }, grip.open ? 'closed a grip' : 'let a grip go')}
                    >${grip.open ? 'let go' : 'holds'}</button>
                  <button type="button" @click=${() => dropThing(desk, 'grip', grip.id)}>remove</button></span>`
              : html`<span class="pencil">${grip.open ? 'let go' : 'holds'}</span>`
          }
        </li>`,
      )}
      ${palms.map(
        (palm) => html`<li class="wide">
          <span>${segmentWord(palm.segment)} of ${nameOf(scene, palm.figure)} on ${nameOf(scene, palm.on ?? '')}</span>
          ${
            desk.mayEdit
              ? html`<span class="row"><button type="button" aria-pressed="false"
                  @click=${() => desk.posing.set(letPalmGo(palm), 'let a hand go')}>${palm.how}</button></span>`
              : nothing
          }
        </li>`,
      )}
    </ul>`;
  }

  private hands(): { value: string; words: string }[] {
    const { scene } = this.desk.shown;
    return scene.figures.flatMap(({ id, name }) =>
      (['handL', 'handR'] as const).map((segment) => ({
        value: `${id}/${segment}`,
        words: `${segmentWord(segment)} of ${name}`,
      })),
    );
  }

  private targets(): { value: string; words: string }[] {
    const { figures, loads, surfaces } = this.desk.shown.scene;
    return [
      ...figures.flatMap(({ id, name }) =>
        GRIP_PARTS.map((segment) => ({
          value: `figure/${id}/${segment}`,
          words: `${segmentWord(segment)} of ${name}`,
        })),
      ),
      ...loads.map(({ id, name }) => ({ value: `load/${id}`, words: name })),
      ...surfaces.map(({ id, name }) => ({ value: `surface/${id}`, words: name })),
    ];
  }

  private onAdd(event: SubmitEvent): void {
    event.preventDefault();
    const { desk } = this;
    const data = new FormData(event.target as HTMLFormElement);
    const [figure = '', part = ''] = String(data.get('a')).split('/');
    const hand: Hand = { figure, segment: part === 'handL' ? 'handL' : 'handR' };
    const [kind, id = '', name = ''] = String(data.get('b')).split('/');
    const segment = SEGMENTS.find((one) => one === name) ?? 'handR';
    const target: GripTarget =
      kind === 'load'
        ? { kind, load: id }
        : kind === 'surface'
          ? { kind, surface: id }
          : { kind: 'figure', figure: id, segment };
    if (!mayHold(desk.shown, hand, target)) {
      desk.live.session.say('That hand cannot take hold of this: choose two different ends.');
      return;
    }
    desk.posing.set(holdEntries(hand, target, desk.shown.scene), 'made a grip');
    desk.live.session.say(
      `The ${segmentWord(hand.segment)} of ${nameOf(desk.shown.scene, figure)} holds ${targetName(desk.shown.scene, target)}.`,
    );
  }

  private onCarry(event: SubmitEvent): void {
    event.preventDefault();
    const { desk } = this;
    const data = new FormData(event.target as HTMLFormElement);
    const figure = (field: string) =>
      desk.shown.scene.figures.find(({ id }) => id === data.get(field));
    const [carrier, carried] = [figure('carrier'), figure('carried')];
    if (carrier === undefined || carried === undefined || carrier === carried) {
      desk.live.session.say('Choose two different figures.');
      return;
    }
    const how = data.get('how') as Carry;
    desk.posing.set(
      carryEntries(carrier, carried, how),
      `let ${carrier.name} carry ${carried.name}`,
    );
    desk.live.session.say(`${carrier.name} carries ${carried.name} ${CARRIES[how]}.`);
  }

  private renderNew() {
    const { desk } = this;
    if (!desk.mayEdit) return nothing;
    const { figures } = desk.shown.scene;
    const [hands, targets] = [this.hands(), this.targets()];
    if (hands.length === 0) return nothing;
    const movable = figures.filter(({ id }) => !desk.fixed.has(id));
    const options = (list: readonly { id: string; name: string }[], chosen: number) =>
      list.map(
        ({ id, name }, i) => html`<option value=${id} ?selected=${i === chosen}>${name}</option>`,
      );
    return html`<details data-new-grip><summary>grip\u2026</summary>
        <form @submit=${this.onAdd}>
          <select name="a" aria-label="Who holds">${hands.map(({ value, words }) => html`<option value=${value}>${words}</option>`)}</select>
          <select name="b" aria-label="What is held">${[...targets].reverse().map(({ value, words }) => html`<option value=${value}>${words}</option>`)}</select>
          <button>take hold</button>
        </form></details>
      ${
        movable.length < 2
          ? nothing
          : html`<details data-carry><summary>carry another figure\u2026</summary>
            <form @submit=${this.onCarry}>
              <select name="carrier" aria-label="Who carries">${options(movable, 0)}</select>
              <select name="carried" aria-label="Who is carried">${options(movable, 1)}</select>
              <select name="how" aria-label="How">${Object.entries(CARRIES).map(([how, words]) => html`<option value=${how}>${words}</option>`)}</select>
              <button>carry</button>
            </form></details>`
      }`;
  }

  protected override render() {
    const list = this.renderList();
    const fresh = this.renderNew();
    if (list === nothing && fresh === nothing) return nothing;
    return html`<section><h2>Grips</h2>${list} ${fresh}</section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-grips': Grips;
  }
}
