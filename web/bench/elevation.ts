import { html, LitElement, nothing, type PropertyValues, svg } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { mainGroup } from '../../core/balance/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { type ForceArrow, spokenReport } from '../../core/drawing/index.ts';
import type { DoubtfulPoint } from '../../core/formats/index.ts';
import type { CharacterMesh } from '../motion/character-mesh.ts';
import { doubtMarks, doubtStyles } from '../motion/doubts.ts';
import { type Ghost, ghostShapes, ghostStyles } from '../motion/ghosts.ts';
import type { Other, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import type { Pointed, SeenPing } from '../together/pings.ts';
import type { Eye } from './camera.ts';
import { Depth } from './drawing/depth.ts';
import type { ModelView, Picked } from './drawing/model-view.ts';
import { elevationStyles } from './elevation.styles.ts';
import { flatDrawing } from './elevation-flat.ts';
import { forceLines } from './elevation-forces.ts';
import {
  centreMark,
  gripLinks,
  gripOffer,
  groundLines,
  lineReadings,
  plumbLine,
  supportLines,
} from './elevation-lines.ts';
import { markStyles } from './elevation-marks.styles.ts';
import { noteFlags, peopleMarks, pingMarks, selectionCross } from './elevation-marks.ts';
import { Gestures, lookByKey } from './gestures.ts';
import { ghostLines } from './ghost-lines.ts';
import type { Hand } from './grip-edit.ts';
import { offerFor } from './grip-offer.ts';
import { handleStyles } from './handles.styles.ts';
import { inksOf } from './inks.ts';
import type { Looking } from './looking.ts';
import { type Movable, movableAt, movableId, movableLabel, movablesOf } from './movables.ts';
import type { SeenPicture } from './pictures/seen-picture.ts';
import type { PinnedNote } from './pins.ts';
import type { Held, Posing } from './posing.ts';
import { type RingHost, rings } from './rings.ts';
import { handleClass, movableOf, pickedPin, pinOf } from './selecting.ts';
import type { Point } from './sheet.ts';
import type { Shown } from './shown.ts';
import { samePin } from './words.ts';

/** Properties that the model is drawn from. */
const MODELLED = ['shown', 'mesh', 'eye'];

/**
 * The elevation: the posed scene with its plumb line, drawn when something changed.
 * Fires `cl-pick` (detail: Pin or null), `cl-note` (detail { note }), and
 * `cl-forces` when the key that shows forces is pressed.
 */
@customElement('cl-elevation')
export class Elevation extends LitElement implements RingHost {
  static override styles = [
    shared,
    elevationStyles,
    handleStyles,
    markStyles,
    ghostStyles,
    doubtStyles,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) looking!: Looking;
  @property({ attribute: false }) posing!: Posing;
  /** These two change when `looking` and `posing` do, which stay the same objects. */
  @property({ attribute: false }) eye!: Eye;
  @property({ attribute: false }) held: Held | null = null;
  @property({ attribute: false }) selection: Pin | null = null;
  @property({ attribute: false }) notes: readonly PinnedNote[] = [];
  @property() note: string | null = null;
  @property({ attribute: false }) others: readonly Other[] = [];
  @property({ attribute: false }) pings: readonly SeenPing[] = [];
  /** Nobody else sees where one points here: what is drawn is not in the place that it has in its draft. */
  @property({ type: Boolean }) alone = false;
  @property({ type: Boolean }) mayPose = false;
  /** Figures that follow a clip. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  /** Forces to be drawn; null: none are asked for. */
  @property({ attribute: false }) forces: readonly ForceArrow[] | null = null;
  /** The character's own mesh, at the frame shown. */
  @property({ attribute: false }) mesh: CharacterMesh | null = null;
  /** Points that a picture shows badly or not at all. */
  @property({ attribute: false }) doubts: readonly DoubtfulPoint[] = [];
  /** Contact poses before and after, drawn faintly. */
  @property({ attribute: false }) ghosts: readonly Ghost[] = [];
  /** A sentence under the drawing, e.g. why there is nothing to drag. */
  @property() line = '';
  /** The reference behind the drawing, on which notes can be pinned. */
  @property({ attribute: false }) picture: SeenPicture | null = null;
  /** What is tried on, as outlines over what is. */
  @property({ attribute: false }) ghost: Shown | null = null;

  @query('canvas') private canvas!: HTMLCanvasElement | null;
  @query('.sheet') private sheet!: HTMLElement;
  private readonly depth = new Depth(this);
  /** Where the sheet was on the page when something was taken hold of. */
  private heldBox: DOMRect | null = null;
  /** What is dragged. */
  private taken: Movable | null = null;
  /** The hand that is dragged, which may take hold of something. */
  private dragged: Hand | null = null;
  /** The last press was a drag. */
  private moved = false;
  private readonly gestures = new Gestures(this);

  protected override updated(changed: PropertyValues): void {
    if (this.depth.missing !== '' || !this.looking.ready || this.canvas === null) return;
    const inks = inksOf(this.session, this.others, this.selection);
    const moved = MODELLED.some((name) => changed.has(name));
    this.depth.draw(this.canvas, moved, inks, (model) => this.placeModel(model));
  }

  private placeModel(model: ModelView): void {
    const { looking, shown } = this;
    const { scene, posed, placed } = shown;
    model.show({
      figures: [...posed].map(([id, figure]) => ({ id, posed: figure })),
      loads: scene.loads.flatMap((load) => {
        const place = placed.get(load.id);
        return place === undefined ? [] : [{ load, place }];
      }),
      surfaces: scene.surfaces,
    });
    model.cover(this.mesh?.group ?? null);
    model.look(this.eye, looking.axis, looking.axis.width, looking.height);
  }

  /** A pointer's place on the drawing, CSS pixels. */
  place(event: { readonly clientX: number; readonly clientY: number }): Point {
    // In a drag only the pointer's own way counts: when a badge above grows by a line and the sheet
    // goes down under the hand, the pose must not jump.
    const box = this.heldBox ?? this.sheet.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  /** What lies at a place: a part of a figure (but not of `except`), a load or a surface. */
  pickAt({ x, y }: Point, except?: string): Picked | null {
    return this.depth.hit(x, y, except)?.picked ?? null;
  }

  /** What lies at a place, and where in the world; on the bare sheet in the plane of the main centre. */
  pointAt({ x, y }: Point): Pointed {
    const centre = mainGroup(this.shown.report)?.centre ?? [0, 0.9, 0];
    // What is under a hand that drags is what it drags: it need not be looked for at every step.
    const held = this.taken && movableAt(this.shown, this.taken);
    if (held !== null) return { point: this.eye.unproject(x, y, held), pin: null };
    const hit = this.depth.hit(x, y);
    return {
      point: hit?.point ?? this.eye.unproject(x, y, centre),
      pin: pickedPin(hit?.picked ?? null),
    };
  }

  /** Where my pointer is; null when it is elsewhere. */
  get pointer(): Point | null {
    return this.gestures.at;
  }

  select(pin: Pin | null): void {
    this.dispatchEvent(
      new CustomEvent<Pin | null>('cl-pick', { detail: pin, bubbles: true, composed: true }),
    );
  }

  private onHandleDown(event: PointerEvent, movable: Movable): void {
    if (event.button !== 0) return;
    const at = this.hold(event);
    if (at !== null) this.take(event, movable, at);
  }

  /**
   * Takes the pointer for a drag (handles, rings), which the sheet's own gestures then follow; gives its
   * place on the drawing, null for a second finger.
   */
  hold(event: PointerEvent): Point | null {
    event.stopPropagation();
    if (!this.gestures.take(event)) return null;
    this.heldBox = this.sheet.getBoundingClientRect();
    return this.place(event);
  }

  private take(event: PointerEvent, movable: Movable, at: Point): void {
    this.heldBox = this.sheet.getBoundingClientRect();
    this.taken = movable;
    const hand = movable.kind === 'part' && (movable.part === 'handL' || movable.part === 'handR');
    this.dragged = hand ? { figure: movable.figure, segment: movable.part } : null;
    this.posing.grabMovable(event, movable, this.eye, at);
  }

  private onHeldMove(event: PointerEvent): void {
    const at = this.place(event);
    this.posing.moveTo(event, at);
    if (this.dragged !== null && this.held !== null)
      this.posing.offerGrip(
        this.dragged,
        event.shiftKey
          ? null
          : offerFor(this.shown, this.dragged, this.pickAt(at, this.dragged.figure)),
      );
  }

  private onHeldUp(event: PointerEvent): void {
    this.heldBox = null;
    this.taken = null;
    this.dragged = null;
    this.moved = this.posing.release(event);
  }

  private onHeldLost(): void {
    this.heldBox = null;
    this.taken = null;
    this.dragged = null;
    // A pointer that the browser takes away (a call, a scroll) did not let go on purpose.
    this.posing.cancel();
  }

  private onHandleClick(movable: Movable, pin: Pin | null): void {
    if (movable.kind === 'side') return;
    // Pressing a surface shows its sides, pressing it again puts them away.
    const surface = movable.kind === 'surface' ? movable.surface : null;
    this.posing.size(surface === this.posing.sized && !this.moved ? null : surface);
    this.moved = false;
    this.select(pin);
  }

  private onHandleKey(event: KeyboardEvent, movable: Movable): void {
    if (!this.posing.step(event, movable, this.eye)) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** Takes hold of what lies at a place of the drawing (Gestures). */
  takeAt(event: PointerEvent, point: Point): boolean {
    // Whoever is placing a point means the place and not the thing there.
    const free = this.mayPose && this.selection?.kind !== 'point';
    const movable = free ? movableOf(this.pickAt(point)) : null;
    if (movable === null || ('figure' in movable && this.fixed.has(movable.figure))) return false;
    this.take(event, movable, point);
    return true;
  }

  moveHeld(event: PointerEvent): void {
    this.onHeldMove(event);
  }

  letGo(event: PointerEvent): boolean {
    this.onHeldUp(event);
    return this.moved;
  }

  giveUp(): void {
    this.onHeldLost();
  }

  private onSheetKey(event: KeyboardEvent): void {
    if (event.target !== this.sheet) return;
    if (event.key === 'f') this.dispatchEvent(new Event('cl-forces'));
    else if (!lookByKey(this.looking, event)) return;
    event.preventDefault();
  }

  private renderHandles() {
    if (!this.mayPose) return nothing;
    const { shown, held } = this;
    const selected = this.selection;
    return html`<div class="handles" role="group" aria-label="Parts to move">
      ${repeat(movablesOf(shown, this.fixed, this.posing.sized), movableId, (movable) => {
        const at = movableAt(shown, movable);
        if (at === null) return nothing;
        const { x, y } = this.eye.project(at);
        const id = movableId(movable);
        const label = movableLabel(shown, movable);
        const classes = `${handleClass(movable)} ${held?.id === id ? 'held' : ''}`;
        const pin = pinOf(movable);
        return html`<button
          type="button"
          class=${classes}
          data-handle=${id}
          style="left:${x}px;top:${y}px"
          aria-label="${label}: drag, or arrow keys"
          aria-pressed=${pin !== null && samePin(pin, selected)}
          @pointerdown=${(event: PointerEvent) => this.onHandleDown(event, movable)}
          @keydown=${(event: KeyboardEvent) => this.onHandleKey(event, movable)}
          @click=${() => this.onHandleClick(movable, pin)}
        ><span aria-hidden="true">${label}</span></button>`;
      })}
    </div>`;
  }

  private readonly chooseNote = (note: string): void => {
    this.dispatchEvent(
      new CustomEvent('cl-note', { detail: { note }, bubbles: true, composed: true }),
    );
  };

  protected override render() {
    const { shown, looking, held } = this;
    if (!looking.ready) return html`<div class="sheet"></div>`;
    const { eye } = this;
    const { height } = looking;
    const { width } = looking.axis;
    const main = mainGroup(shown.report);
    const plumb = main?.centre ? eye.project(main.centre).x : null;
    const readings = lineReadings(shown.report);
    const floor = shown.scene.surfaces.some(({ size }) => size === null);
    const { missing } = this.depth;
    const line = held?.sentence ?? missing + this.line;
    return html`<div
        class="sheet ${held === null ? '' : 'busy'}"
        tabindex="0"
        role="group"
        aria-label="Elevation. ${shown.hidden ? 'The readings are hidden for a call.' : spokenReport(shown.report)}"
        data-view=${looking.view}
        @keydown=${this.onSheetKey}
        @pointerdown=${this.gestures.down}
        @pointermove=${this.gestures.move}
        @pointerup=${this.gestures.up}
        @pointercancel=${this.gestures.up}
        @pointerleave=${this.gestures.leave}
      >
        <slot name="under"></slot>
        ${
          missing !== ''
            ? flatDrawing(this.shown, this.looking, this.forces)
            : html`<svg class="ground" width=${width} height=${height} aria-hidden="true">
                ${groundLines(shown, eye, { width, height, floor })}</svg>
              <canvas aria-hidden="true"></canvas>`
        }
        <svg class="lines" width=${width} height=${height} data-plumb-x=${plumb ?? nothing}>
          ${
            missing !== ''
              ? nothing
              : svg`${ghostShapes(this.ghosts, eye)} ${supportLines(shown, eye)} ${gripLinks(shown, eye)} ${gripOffer(this.posing.offer, eye)}
                ${readings.map(({ reading, minor }) => plumbLine(shown, reading, eye, height, minor))}
                ${doubtMarks(shown, this.doubts, eye)}
                ${readings.map(({ reading, minor }) => centreMark(reading, eye, minor ? 5 : 8))}
                ${this.ghost === null ? nothing : ghostLines(this.ghost, shown, eye)}
                ${this.forces === null ? nothing : forceLines(this.forces, eye)}`
          }
          ${rings(this)}
        </svg>
        ${this.renderHandles()} ${noteFlags(shown, eye, this, this.chooseNote)}
        <slot name="over"></slot>
        <slot name="marks"></slot>
        ${selectionCross(shown, eye, this.picture, this.selection)}
        ${peopleMarks(shown, eye, this.others, this.gestures.at)} ${pingMarks(eye, this.pings)}
      </div>
      <div class="line">${line === '' ? nothing : html`<p>${line}</p>`}</div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-elevation': Elevation;
  }
}
