import { html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { GivenAnswer, Person, ShownCall } from '../../core/document/index.ts';
import { add, scale, type Vec3 } from '../../core/geometry/index.ts';
import { axisMetres, axisX, type Eye, planAcross, planDown, type View } from '../bench/camera.ts';
import type { Looking } from '../bench/looking.ts';
import { Follow } from '../controllers/follow.ts';
import { inkColour } from '../styles/inks.ts';
import { shared } from '../styles/shared.ts';
import { callSheetStyles } from './call-sheet.styles.ts';
import type { Calling } from './calling.ts';

/** Step of an arrow key, metres; a tenth of it with Shift. */
const STEP = 0.01;

interface Place {
  readonly x: number;
  readonly y: number;
}

/**
 * A sheet over one of the drawings: my own cross to drag while a call is open, and everybody's crosses
 * when a shown call is laid over it. The plumb point hangs under the centre in both drawings.
 */
@customElement('cl-call-sheet')
export class CallSheet extends LitElement {
  static override styles = [shared, callSheetStyles];

  @property() drawing: 'elevation' | 'plan' = 'elevation';
  @property({ attribute: false }) calling!: Calling;
  @property({ attribute: false }) draft = '';
  @property({ attribute: false }) looking!: Looking;
  /** Changes when `looking` does, which stays the same object. */
  @property({ attribute: false }) eye!: Eye;
  @property({ attribute: false }) people: ReadonlyMap<string, Person> = new Map();

  private held: { readonly pointer: number; readonly dx: number; readonly dy: number } | null =
    null;

  constructor() {
    super();
    new Follow(this, () => {
      const update = (): void => this.requestUpdate();
      this.calling.addEventListener('change', update);
      return [() => this.calling.removeEventListener('change', update)];
    });
  }

  private get planView(): View {
    return this.looking.view === 'side' ? 'side' : 'front';
  }

  private at(point: Vec3): Place {
    if (this.drawing === 'elevation') return this.eye.project(point);
    const { axis, planHeight } = this.looking;
    const down = planDown(this.planView, [point[0], point[2]]) - axis.planCentre;
    return {
      x: axisX(axis, planAcross(this.planView, [point[0], point[2]])),
      y: planHeight / 2 + down * axis.scale,
    };
  }

  /** The point of the scene under (x, y) CSS pixels, as far from the viewer as `from`; in plan as high. */
  private pointAt({ x, y }: Place, from: Vec3): Vec3 {
    if (this.drawing === 'elevation') return this.eye.unproject(x, y, from);
    const { axis, planHeight } = this.looking;
    const along = axisMetres(axis, x);
    const down = axis.planCentre + (y - planHeight / 2) / axis.scale;
    return this.planView === 'side' ? [-down, from[1], along] : [along, from[1], down];
  }

  private place(event: PointerEvent): Place {
    const box = this.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  private onDown(event: PointerEvent, centre: Vec3): void {
    if (event.button !== 0) return;
    event.preventDefault();
    (event.currentTarget as HTMLElement).focus();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const [at, drawn] = [this.place(event), this.at(centre)];
    this.held = { pointer: event.pointerId, dx: drawn.x - at.x, dy: drawn.y - at.y };
  }

  private onMove(event: PointerEvent, centre: Vec3): void {
    if (this.held?.pointer !== event.pointerId) return;
    const { x, y } = this.place(event);
    this.put(this.pointAt({ x: x + this.held.dx, y: y + this.held.dy }, centre));
  }

  private onUp(): void {
    this.held = null;
  }

  private put([x, y, z]: Vec3): void {
    this.calling.set({ centre: [x, Math.max(0, y), z] });
  }

  private onKey(event: KeyboardEvent, centre: Vec3): void {
    const { eye, planView } = this;
    const isPlan = this.drawing === 'plan';
    const right: Vec3 = isPlan ? (planView === 'side' ? [0, 0, 1] : [1, 0, 0]) : eye.right;
    const up: Vec3 = isPlan ? (planView === 'side' ? [1, 0, 0] : [0, 0, -1]) : eye.up;
    const ways: Readonly<Record<string, Vec3>> = {
      ArrowLeft: scale(right, -1),
      ArrowRight: right,
      ArrowUp: up,
      ArrowDown: scale(up, -1),
      PageUp: isPlan ? [0, 1, 0] : scale(eye.towards, -1),
      PageDown: isPlan ? [0, -1, 0] : eye.towards,
    };
    const way = ways[event.key];
    if (way === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    this.put(add(centre, scale(way, STEP * (event.shiftKey ? 0.1 : 1))));
  }

  /** The line that drops from a centre: to the floor in the elevation, from the upper edge in plan. */
  private line(centre: Vec3): { readonly from: Place; readonly to: Place } {
    const at = this.at(centre);
    if (this.drawing === 'elevation') return { from: at, to: this.at([centre[0], 0, centre[2]]) };
    return { from: this.looking.view === 'orbit' ? at : { x: at.x, y: 0 }, to: at };
  }

  private renderMine() {
    const { calling } = this;
    const { centre, open } = calling;
    if (centre === null || open?.draft !== this.draft || !calling.mayCall) return nothing;
    const { from, to } = this.line(centre);
    const { x, y } = this.at(centre);
    const [across, height, ahead] = centre.map((metres) => (metres * 100).toFixed(0));
    const what = this.drawing === 'elevation' ? 'Your centre' : 'Your plumb point';
    return html`<svg class="lines" aria-hidden="true">
        <line class="mine" x1=${from.x} y1=${from.y} x2=${to.x} y2=${to.y} />
      </svg>
      <button
        type="button"
        class="cross ${calling.placed ? '' : 'new'}"
        style="left:${x}px;top:${y}px"
        aria-label="${what}: ${height} cm high, ${across} cm to the left, ${ahead} cm ahead. Drag, or arrow keys"
        @pointerdown=${(event: PointerEvent) => this.onDown(event, centre)}
        @pointermove=${(event: PointerEvent) => this.onMove(event, centre)}
        @pointerup=${this.onUp}
        @pointercancel=${this.onUp}
        @keydown=${(event: KeyboardEvent) => this.onKey(event, centre)}
      ><svg viewBox="-14 -14 28 28" aria-hidden="true"><path d="M-13 0H13M0-13V13" /><circle r="7" /></svg>${
        calling.placed
          ? nothing
          : html`<span>${this.drawing === 'elevation' ? 'drag to the centre' : 'plumb point'}</span>`
      }</button>`;
  }

  private renderAnswer({ person, centre }: GivenAnswer): TemplateResult {
    const { x, y } = this.at(centre);
    const known = this.people.get(person);
    const ink = known?.ink ?? 0;
    const isMarked = this.calling.marked === person;
    const arm = isMarked ? 11 : 6;
    return svg`<g class="given ${isMarked ? 'marked' : ''}" style="stroke:${inkColour(ink)}" data-person=${person}>
      <path d="M${x - arm} ${y - arm}L${x + arm} ${y + arm}M${x - arm} ${y + arm}L${x + arm} ${y - arm}" />
      ${isMarked ? svg`<text x=${x + 15} y=${y + 5}>${known?.name ?? 'Someone'}</text>` : nothing}
    </g>`;
  }

  private renderLaid(call: ShownCall) {
    // The marked one last, so that it lies on top.
    const rank = ({ person }: GivenAnswer): number => (person === this.calling.marked ? 1 : 0);
    const answers = [...call.answers].sort((a, b) => rank(a) - rank(b));
    return html`<svg class="lines" role="img" aria-label="${answers.length} calls laid over the drawing">
      ${answers.map((answer) => this.renderAnswer(answer))}
    </svg>`;
  }

  protected override render() {
    if (!this.looking.ready) return nothing;
    const laid = this.calling.laidOver(this.draft);
    return html`${laid === null ? nothing : this.renderLaid(laid)}${this.renderMine()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-call-sheet': CallSheet;
  }
}
