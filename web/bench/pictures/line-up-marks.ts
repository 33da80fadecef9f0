import { css, html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Picture } from '../../../core/document/index.ts';
import type { Vec2 } from '../../../core/geometry/index.ts';
import { shared } from '../../styles/shared.ts';
import type { Eye } from '../camera.ts';
import type { Looking } from '../looking.ts';
import { type LineUpMark, marksOf } from './mark-names.ts';
import { onPicture, onSheet, type PicturePlace, pictureAt } from './picture-place.ts';
import type { Pictures } from './pictures.ts';

const KEYS: Readonly<Record<string, Vec2>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The marks of a line-up over the elevation: feet and head of one upright figure, and the horizon. */
@customElement('cl-line-up-marks')
export class LineUpMarksLayer extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        position: absolute;
        inset: 0;
        pointer-events: none;
      }
      svg {
        width: 100%;
        height: 100%;
      }
      line {
        stroke: var(--ink);
        stroke-width: 1.5;
      }
      line.under {
        stroke: var(--sheet);
        stroke-width: 4;
      }
      .horizon {
        stroke-dasharray: 10 5;
      }
      button {
        position: absolute;
        width: 28px;
        height: 28px;
        min-width: 0;
        min-height: 0;
        margin: -14px 0 0 -14px;
        padding: 0;
        border: 0;
        pointer-events: auto;
        cursor: grab;
        touch-action: none;
      }
      button::before {
        content: '';
        position: absolute;
        inset: 5px;
        border: 2px solid var(--ink);
        background: color-mix(in srgb, var(--sheet) 70%, transparent);
        transform: rotate(45deg);
      }
      button:hover {
        box-shadow: none;
      }
      button:is(:hover, :focus-visible, .held)::before {
        background: var(--ink);
      }
      span {
        position: absolute;
        left: 26px;
        top: 3px;
        padding: 0 0.35rem;
        background: var(--sheet);
        white-space: nowrap;
        font-size: 0.875rem;
        line-height: 1.3rem;
      }
      button.right span {
        left: auto;
        right: 26px;
      }
      @media (pointer: coarse) {
        button {
          width: 44px;
          height: 44px;
          margin: -22px 0 0 -22px;
        }
        button::before {
          inset: 13px;
        }
      }
    `,
  ];

  @property({ attribute: false }) pictures!: Pictures;
  @property({ attribute: false }) picture!: Picture;
  @property({ attribute: false }) looking!: Looking;
  @property({ attribute: false }) eye!: Eye;
  /** The mark in the hand, and where the picture lay when it was taken: it stays there till the end. */
  @state() private held: { readonly mark: LineUpMark; readonly place: PicturePlace } | null = null;

  /** Where the picture is drawn now; the bench draws it there too. */
  get place(): PicturePlace {
    return this.held?.place ?? pictureAt(this.picture, this.looking, this.eye);
  }

  private onDown(event: PointerEvent, mark: LineUpMark): void {
    if (event.button !== 0) return;
    event.stopPropagation();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.hold({ mark, place: this.place });
  }

  private onMove(event: PointerEvent): void {
    if (this.held === null) return;
    event.stopPropagation();
    const box = this.getBoundingClientRect();
    const sheet: Vec2 = [event.clientX - box.left, event.clientY - box.top];
    const { mark, place } = this.held;
    this.pictures.slide(this.picture.view, mark.write(onPicture(place, sheet), this.picture));
  }

  private onUp(event: PointerEvent): void {
    if (this.held === null) return;
    event.stopPropagation();
    const { word } = this.held.mark;
    this.hold(null);
    this.pictures.commit(`moved the mark "${word}"`);
  }

  private onLost(): void {
    if (this.held === null) return;
    this.hold(null);
    this.pictures.cancel();
  }

  private hold(held: typeof this.held): void {
    this.held = held;
    this.dispatchEvent(new CustomEvent('cl-held-picture', { detail: held?.place ?? null }));
  }

  private onKey(event: KeyboardEvent, { word, read, write }: LineUpMark): void {
    if (event.key === 'Escape') this.onLost();
    const way = KEYS[event.key];
    if (way === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    // A pixel of the screen a press, ten with Shift.
    const by = (event.shiftKey ? 10 : 1) / this.place.scale;
    const change = (now: Picture) => {
      const [x, y] = read(now);
      return write([x + way[0] * by, y + way[1] * by], now);
    };
    this.pictures.set(this.picture.view, change, `moved the mark "${word}"`);
  }

  protected override render() {
    const { picture, place, held } = this;
    const line = (a: Vec2, b: Vec2, kind: string) =>
      [`under ${kind}`, kind].map(
        (look) => svg`<line class=${look} x1=${a[0]} y1=${a[1]} x2=${b[0]} y2=${b[1]} />`,
      );
    const [left, right] = picture.horizon.map((pixel) => onSheet(place, pixel)) as [Vec2, Vec2];
    return html`<svg aria-hidden="true">
        ${line(onSheet(place, picture.feet), onSheet(place, picture.head), 'tall')}
        ${picture.view === 'camera' ? line(...whole(left, right), 'horizon') : nothing}
      </svg>
      <div role="group" aria-label="Marks of the line-up">
        ${marksOf(picture).map(([name, mark]) => {
          const [x, y] = onSheet(place, mark.read(picture));
          return html`<button type="button" data-mark=${name}
            class="${held?.mark === mark ? 'held' : ''} ${name === 'right' ? 'right' : ''}"
            style="left:${x}px;top:${y}px" aria-label="${mark.word}: drag, or arrow keys"
            @pointerdown=${(event: PointerEvent) => this.onDown(event, mark)}
            @pointermove=${this.onMove} @pointerup=${this.onUp} @pointercancel=${this.onLost}
            @keydown=${(event: KeyboardEvent) => this.onKey(event, mark)}
          ><span aria-hidden="true">${mark.word}</span></button>`;
        })}
      </div>`;
  }
}

/** A line drawn on beyond its two points. */
function whole(a: Vec2, b: Vec2): [Vec2, Vec2] {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  return [
    [a[0] - dx, a[1] - dy],
    [b[0] + dx, b[1] + dy],
  ];
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-line-up-marks': LineUpMarksLayer;
  }
}
