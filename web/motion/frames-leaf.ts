import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PatchName } from '../../core/body/index.ts';
import {
  type FrameSpan,
  gripKey,
  loadKey,
  putShot,
  readKeys,
  readSceneEntries,
  readSpan,
  readTouches,
  setEntries,
} from '../../core/document/index.ts';
import type { Patch } from '../bench/movables.ts';
import { patchWord } from '../bench/words.ts';
import { Follow } from '../controllers/follow.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { touchEntries } from './contact-rows.ts';
import { keyOf, keyRow, withoutKeys } from './keying.ts';
import { readSpans, saySpans } from './spans.ts';
import { weighingOf } from './weighing.ts';

/** Patches whose spans are listed where they carry at all. */
type Touch = { readonly figure: string; readonly patch: PatchName };

/**
 * The leaf of frames: how long the shot is, keys to begin with, when loads and grips are there, and when
 * each patch carries, all to be typed.
 */
@customElement('cl-frames')
export class FramesLeaf extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        gap: 1rem;
      }
      section {
        display: grid;
        gap: 0.4rem;
      }
      h2 {
        font-size: 1rem;
      }
      .fields {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 5rem 5rem;
        gap: 0.3rem 0.5rem;
        align-items: center;
      }
      .fields.two {
        grid-template-columns: minmax(5rem, auto) minmax(0, 1fr) auto;
      }
      input {
        width: 100%;
        min-width: 0;
        min-height: 1.75rem;
        padding: 0.1rem 0.35rem;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  /** Changes whenever the draft does, which stays the same object. */
  @property({ attribute: false }) entries!: LiveDraft['entries'];
  @property({ type: Boolean }) mayEdit = false;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const weighing = weighingOf(this.live);
      weighing.addEventListener('change', update);
      return [() => weighing.removeEventListener('change', update)];
    });
  }

  private get first(): number {
    return this.live.timing.frames[0];
  }

  private write(patch: Patch, done: string): void {
    const { session, draft } = this.live;
    session.edit('scenes', done, (doc, origin) => setEntries(doc, draft, patch, origin));
  }

  private setTiming(
    part: { rate?: number; frames?: readonly [number, number] },
    done: string,
  ): void {
    const { session, shot } = this.live;
    session.edit('scenes', done, (doc, origin) => putShot(doc, { id: shot, ...part }, origin));
  }

  private renderShot() {
    const { live, first, mayEdit } = this;
    const { rate, frames } = live.timing;
    if (live.clip.kind !== 'none') return nothing;
    return html`<section>
      <h2>Length</h2>
      <div class="fields two">
        <label for="last">last frame (first ${first})</label>
        <input id="last" type="number" min=${first} max=${first + 99999} .value=${String(frames[1])} ?disabled=${!mayEdit}
          @change=${(event: Event) => {
            const last = Math.round(Number((event.currentTarget as HTMLInputElement).value));
            if (last >= first)
              this.setTiming({ frames: [first, last] }, `made ${last} the last frame`);
          }} /><span></span>
        <label for="rate">frames a second</label>
        <input id="rate" type="number" min="1" max="240" .value=${String(rate)} ?disabled=${!mayEdit}
          @change=${(event: Event) => {
            const next = Number((event.currentTarget as HTMLInputElement).value);
            if (next > 0 && next <= 1000)
              this.setTiming({ rate: next }, `set ${next} frames a second`);
          }} /><span></span>
      </div>
    </section>`;
  }

  private renderKeys() {
    const { live, entries, mayEdit } = this;
    const keys = readKeys(entries);
    const own = readSceneEntries(entries).figures;
    if (own.length === 0) return nothing;
    return html`<section>
      <h2>Keys</h2>
      ${live.motion === null ? html`<p>This draft is one pose. Set a key, go to another frame and pose the figure there: it moves from key to key, feet that carry stay.</p>` : nothing}
      ${live.scene.figures
        .filter(({ id }) => own.some((figure) => figure.id === id))
        .map((figure) => {
          const set = keys.get(figure.id)?.length ?? 0;
          if (set > 0)
            return html`<p>${figure.name}: ${set} ${set === 1 ? 'key' : 'keys'}
              ${mayEdit ? html`<button type="button" @click=${() => this.write(withoutKeys(entries, figure), `took all keys of ${figure.name} away`)}>take all away, keep this pose</button>` : nothing}</p>`;
          return mayEdit
            ? html`<p><button type="button" class="main" @click=${() => this.begin(figure.id)}>Set a key for ${figure.name}</button></p>`
            : nothing;
        })}
    </section>`;
  }

  /** The first key of a figure; a shot of one frame becomes a second long, so that there is a second frame. */
  private begin(id: string): void {
    const { live } = this;
    const figure = live.scene.figures.find((one) => one.id === id);
    if (figure === undefined) return;
    const { rate, frames } = live.timing;
    const { session, draft, shot } = live;
    const row = keyRow(keyOf(live, figure, readKeys(this.entries)));
    session.edit('scenes', `set a key for ${figure.name}`, (doc, origin) => {
      setEntries(doc, draft, row, origin);
      if (live.motion === null && frames[1] <= frames[0]) {
        putShot(doc, { id: shot, frames: [frames[0], frames[0] + Math.round(rate) - 1] }, origin);
      }
    });
  }

  private renderSpan(label: string, key: string, span: FrameSpan | null) {
    const { first, mayEdit } = this;
    const last = (this.live.motion?.frameCount ?? 1) - 1;
    const [from, to] = span ?? [0, last];
    const set = (next: FrameSpan, done: string): void => {
      const whole = next[0] <= 0 && next[1] >= last;
      this.write({ [key]: whole ? undefined : [...next] }, done);
    };
    const field = (value: number, word: string, change: (frame: number) => FrameSpan) =>
      html`<input type="number" aria-label="${label}: ${word} frame" min=${first} max=${first + last} .value=${String(value + first)}
        ?disabled=${!mayEdit} @change=${(event: Event) => {
          const frame = Math.round(Number((event.currentTarget as HTMLInputElement).value)) - first;
          set(change(Math.max(0, Math.min(last, frame))), `set when ${label} is there`);
        }} />`;
    return html`<span>${label}</span>
      ${field(from, 'first', (frame) => [frame, Math.max(frame, to)])}
      ${field(to, 'last', (frame) => [Math.min(from, frame), frame])}`;
  }

  private renderThere() {
    const { entries } = this;
    const { loads, grips } = readSceneEntries(entries);
    if (this.live.motion === null || loads.length + grips.length === 0) return nothing;
    return html`<section>
      <h2>There from frame, to frame</h2>
      <div class="fields">
        ${loads.map(({ id, name }) => this.renderSpan(name, loadKey(id, 'span'), readSpan(entries.get(loadKey(id, 'span')))))}
        ${grips.map(({ id }, i) => this.renderSpan(`Grip ${i + 1}`, gripKey(id, 'span'), readSpan(entries.get(gripKey(id, 'span')))))}
      </div>
    </section>`;
  }

  private renderTouches() {
    const { live, entries, first, mayEdit } = this;
    const { whole } = weighingOf(live);
    if (live.motion === null || whole === null || whole.atRest) return nothing;
    const edited = readTouches(entries);
    const named = new Map<string, Touch>();
    for (const { figure, patch } of [...whole.contacts, ...edited])
      named.set(`${figure}@${patch}`, { figure, patch });
    const several = new Set([...named.values()].map(({ figure }) => figure)).size > 1;
    const nameOf = (id: string): string =>
      live.scene.figures.find((figure) => figure.id === id)?.name ?? id;
    return html`<section>
      <h2>What carries, when</h2>
      <p class="pencil small">Frames as “1-10, 18-24”; empty: never. What is set by hand takes the place of what is found.</p>
      <div class="fields two">
        ${[...named.values()].map(({ figure, patch }) => {
          const own = edited.find((one) => one.figure === figure && one.patch === patch);
          const spans = whole.contacts.filter(
            (one) => one.figure === figure && one.patch === patch,
          );
          const shown = own?.spans ?? spans.map(({ from, to }) => [from, to] as const);
          const label = `${patchWord(patch)}${several ? ` of ${nameOf(figure)}` : ''}`;
          return html`<span id="t-${figure}-${patch}">${label}</span>
            <input aria-labelledby="t-${figure}-${patch}" data-touch=${patch} .value=${saySpans(shown, first)} ?disabled=${!mayEdit}
              @change=${(event: Event) => {
                const field = event.currentTarget as HTMLInputElement;
                const read = readSpans(field.value, first);
                if (read === null) {
                  live.session.say(`“${field.value}” is no list of frames; it was put back.`);
                  field.value = saySpans(shown, first);
                } else
                  this.write(
                    touchEntries(figure, patch, read),
                    `set when the ${patchWord(patch)} carries`,
                  );
              }} />
            ${own !== undefined && mayEdit ? html`<button type="button" @click=${() => this.write(touchEntries(figure, patch, null), `left the ${patchWord(patch)} as found`)}>as found</button>` : html`<span class="pencil small">${own === undefined ? 'found' : 'by hand'}</span>`}`;
        })}
      </div>
    </section>`;
  }

  protected override render() {
    return html`${this.renderKeys()} ${this.renderShot()} ${this.renderThere()} ${this.renderTouches()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-frames': FramesLeaf;
  }
}
