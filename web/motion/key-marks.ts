import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import {
  asOneOf,
  draftEntries,
  keyKey,
  readKeys,
  type StoredKey,
  setEntries,
} from '../../core/document/index.ts';
import { EASES } from '../../core/motion/index.ts';
import type { Patch } from '../bench/movables.ts';
import type { LiveDraft } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { copiedKey, keyAt, keyOf, keyRow, movedKey, withoutKey } from './keying.ts';

/** Pixels that a pointer moves before a press becomes a drag. */
const SLOP = 3;

/**
 * The keys of a shot under its strip: a row of tabs for each figure that has keys, to go to, to drag to
 * another frame, and by words what else is done with them. Fires `cl-frame` (detail: from 0).
 */
@customElement('cl-key-marks')
export class KeyMarks extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .row {
        position: relative;
        height: 26px;
        border-bottom: 1px solid var(--rule);
      }
      .row > .name {
        position: absolute;
        left: 0;
        max-width: 58px;
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
        line-height: 26px;
        font-size: 0.875rem;
      }
      .row button {
        position: absolute;
        top: 0;
        width: 24px;
        height: 25px;
        min-height: 0;
        margin-left: -12px;
        padding: 0;
        border: 0;
        box-shadow: none;
        touch-action: none;
        cursor: ew-resize;
      }
      .row button::before {
        content: '';
        position: absolute;
        left: 8px;
        right: 8px;
        top: 4px;
        bottom: 0;
        background: var(--sheet);
        border: 1.5px solid var(--ink);
        border-bottom-width: 4px;
      }
      .row button.linear::before {
        border-top-left-radius: 8px;
      }
      .row button.eased::before {
        border-radius: 8px 8px 0 0;
      }
      .row button[aria-current='true']::before {
        background: var(--ink);
      }
      .words {
        display: flex;
        flex-wrap: wrap;
        gap: 0.1rem 1rem;
        align-items: baseline;
      }
      .words label {
        display: flex;
        gap: 0.35rem;
        align-items: baseline;
      }
      .words select,
      .words input {
        min-height: 1.75rem;
        padding: 0 0.3rem;
      }
      .words input {
        width: 4.6rem;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  /** Changes whenever the draft does, which stays the same object. */
  @property({ attribute: false }) entries!: LiveDraft['entries'];
  @property({ type: Number }) frame = 0;
  @property({ type: Number }) first = 1;
  @property({ type: Boolean }) mayEdit = false;
  /** Where a frame is, CSS pixels from the left; null where it is not seen. */
  @property({ attribute: false }) place!: (frame: number) => number | null;
  /** The frame at CSS pixels from the left. */
  @property({ attribute: false }) frameAt!: (x: number) => number;

  private held: { readonly key: StoredKey; readonly x: number; moved: boolean } | null = null;

  private go(frame: number): void {
    this.dispatchEvent(
      new CustomEvent<number>('cl-frame', { detail: frame, bubbles: true, composed: true }),
    );
  }

  private write(patch: Patch, done: string): void {
    const { session, draft } = this.live;
    session.edit('scenes', done, (doc, origin) => setEntries(doc, draft, patch, origin));
    session.say(`${done.charAt(0).toUpperCase()}${done.slice(1)}.`);
  }

  private number(frame: number): string {
    return `frame ${frame + this.first}`;
  }

  private within(frame: number): number {
    return Math.max(0, Math.min((this.live.motion?.frameCount ?? 1) - 1, Math.round(frame)));
  }

  /** What is stored at this moment: what is shown is up to a frame older, and has drags laid over it. */
  private get stored(): LiveDraft['entries'] {
    const { session, draft } = this.live;
    return draftEntries(session.documents.scenes, draft);
  }

  /** A key as it is stored now; undefined when it is gone. */
  private fresh({ id, figure }: StoredKey): StoredKey | undefined {
    return readKeys(this.stored)
      .get(figure)
      ?.find((key) => key.id === id);
  }

  private moveTo(key: StoredKey, frame: number): void {
    const to = this.within(frame);
    if (to === key.frame) return;
    this.write(movedKey(this.stored, key, to), `moved the key to ${this.number(to)}`);
    this.go(to);
  }

  private drop(key: StoredKey): void {
    this.write(withoutKey(this.stored, key), `removed the key on ${this.number(key.frame)}`);
  }

  private onDown(event: PointerEvent, key: StoredKey): void {
    if (!this.mayEdit || event.button !== 0) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.held = { key, x: event.clientX, moved: false };
  }

  private onMove(event: PointerEvent): void {
    const { held, live } = this;
    if (held === null) return;
    if (!held.moved && Math.abs(event.clientX - held.x) < SLOP) return;
    held.moved = true;
    const frame = this.frameAt(event.clientX - this.getBoundingClientRect().left);
    const entries = movedKey(this.stored, held.key, this.within(frame));
    live.session.show({ drag: { draft: live.draft, entries } });
  }

  private onUp(event: PointerEvent): void {
    const { held, live } = this;
    this.held = null;
    if (held === null || !held.moved) return;
    const frame = this.within(this.frameAt(event.clientX - this.getBoundingClientRect().left));
    live.session.commitDrag(`moved the key to ${this.number(frame)}`);
    this.go(frame);
  }

  private onCancel(): void {
    if (this.held?.moved) this.live.session.cancelDrag();
    this.held = null;
  }

  private onKey(event: KeyboardEvent, seen: StoredKey): void {
    if (!this.mayEdit) return;
    const key = this.fresh(seen);
    if (key === undefined) return;
    if (event.key === 'Delete' || event.key === 'Backspace') this.drop(key);
    else if (event.altKey && event.key === 'ArrowRight') this.moveTo(key, key.frame + 1);
    else if (event.altKey && event.key === 'ArrowLeft') this.moveTo(key, key.frame - 1);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  private renderRow(figure: string, keys: readonly StoredKey[]) {
    const name = this.live.scene.figures.find(({ id }) => id === figure)?.name ?? figure;
    return html`<div class="row" role="group" aria-label="Keys of ${name}">
      <span class="name" title=${name}>${name}</span>
      ${keys.map((key) => {
        const x = this.place(key.frame);
        if (x === null) return nothing;
        const help = this.mayEdit ? '. Drag, or Alt and arrow keys, to another frame' : '';
        return html`<button type="button" class=${key.ease} style="left:${x}px" data-key=${key.frame}
          aria-current=${key.frame === this.frame}
          aria-label="Key of ${name} on ${this.number(key.frame)}, ${key.ease}${help}"
          @click=${() => this.go(key.frame)}
          @pointerdown=${(event: PointerEvent) => this.onDown(event, key)}
          @pointermove=${this.onMove} @pointerup=${this.onUp} @pointercancel=${this.onCancel}
          @keydown=${(event: KeyboardEvent) => this.onKey(event, key)}></button>`;
      })}
    </div>`;
  }

  private renderNumber(label: string, key: StoredKey, act: (frame: number) => void) {
    return html`<label>${label}
      <input type="number" min=${this.first} .value=${String(key.frame + this.first)}
        @change=${(event: Event) =>
          act(this.within(Number((event.currentTarget as HTMLInputElement).value) - this.first))} />
    </label>`;
  }

  private renderWords(figure: string, keys: ReadonlyMap<string, readonly StoredKey[]>) {
    const { frame, live } = this;
    const shown = live.scene.figures.find(({ id }) => id === figure);
    if (shown === undefined) return nothing;
    const several = keys.size > 1;
    const name = several ? `${shown.name}: ` : '';
    const key = keyAt(keys, figure, frame);
    if (key === undefined) {
      return html`<span class="words"><button type="button"
        @click=${() =>
          this.write(
            keyRow(keyOf(live, shown, keys)),
            `set a key on ${this.number(frame)}`,
          )}>${name}set a key here</button></span>`;
    }
    return html`<span class="words">
      <label>${name}to the next key
        <select @change=${(event: Event) => {
          const { value } = event.currentTarget as HTMLSelectElement;
          const ease = asOneOf(value, EASES) ?? key.ease;
          this.write({ [keyKey(key.id, 'ease')]: ease }, `made the way to the next key ${ease}`);
        }}>${EASES.map((ease) => html`<option .selected=${ease === key.ease}>${ease}</option>`)}</select>
      </label>
      ${this.renderNumber('move to', key, (to) => this.moveTo(key, to))}
      ${this.renderNumber('copy to', key, (to) => {
        if (to === key.frame) return;
        this.write(copiedKey(this.stored, key, to), `copied the key to ${this.number(to)}`);
        this.go(to);
      })}
      <button type="button" @click=${() => this.drop(key)}>remove the key</button>
    </span>`;
  }

  protected override render() {
    const keys = readKeys(this.entries);
    const figures = [...keys.keys()].filter((id) =>
      this.live.scene.figures.some((figure) => figure.id === id),
    );
    if (figures.length === 0) return nothing;
    return html`${figures.map((figure) => this.renderRow(figure, keys.get(figure) ?? []))}
      ${this.mayEdit ? html`<div class="words">${figures.map((figure) => this.renderWords(figure, keys))}</div>` : nothing}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-key-marks': KeyMarks;
  }
}
