import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { assess, mainGroup } from '../../core/balance/index.ts';
import { type Pin, readDrafts, readShots, speaksOf } from '../../core/document/index.ts';
import { tellingView } from '../../core/drawing/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import '../calls/call-sheet.ts';
import type { Calling } from '../calls/calling.ts';
import { Follow } from '../controllers/follow.ts';
import { NotesReader } from '../notes/notes-reader.ts';
import '../marks/mark-tools.ts';
import type { MarkTool } from '../marks/marks-layer.ts';
import '../marks/marks-layer.ts';
import { elevationSurface, type MarkSurface, planSurface } from '../marks/surface.ts';
import { MotionOnBench } from '../motion/on-bench.ts';
import '../motion/strip.ts';
import { weighingOf } from '../motion/weighing.ts';
import {
  type BenchProperties,
  isPictured,
  type LiveDraft,
  type SelectDetail,
  type Session,
} from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { Pings } from '../together/pings.ts';
import { type PointedIn, Pointing } from '../together/pointing.ts';
import { benchStyles } from './bench.styles.ts';
import type { View } from './camera.ts';
import type { Elevation } from './elevation.ts';
import './elevation.ts';
import './ledger.ts';
import { Following } from './following.ts';
import { Looking } from './looking.ts';
import { ownWay } from './own-way.ts';
import { Behind } from './pictures/behind.ts';
import { Pictures } from './pictures/pictures.ts';
import { seenPicture } from './pictures/seen-picture.ts';
import { type PinnedNote, pinPoint } from './pins.ts';
import type { Plan } from './plan.ts';
import './plan.ts';
import { FIRST_HINT, hintSeen } from './pose-settings.ts';
import { Posing } from './posing.ts';
import { selectionPin, selectionText } from './selecting.ts';
import { clipFigures, extentOf, type Shown, show } from './shown.ts';
import { Studying } from './studying.ts';
import { Travels } from './travels.ts';
import './what-if-line.ts';
import { pinLabel } from './words.ts';

const VIEWS: readonly (readonly [View, string])[] = [
  ['front', 'Front'],
  ['side', 'Side'],
  ['orbit', 'Free'],
];

/** Where marks lie in depth in an empty scene. */
const MIDDLE: Vec3 = [0, 0.9, 0];

/**
 * The bench: one shot posed and weighed. Elevation over plan, weight ledger, margin strip. See
 * BenchProperties (web/session) for what it takes and which events it fires.
 */
@customElement('cl-bench')
export class Bench extends LitElement implements BenchProperties {
  static override styles = [shared, benchStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) selection: Pin | null = null;
  @property({ attribute: false }) note: string | null = null;

  /** What is called on this shot, and what I am about to call. */
  @property({ attribute: false }) calling!: Calling;

  @query('cl-elevation') private elevation!: Elevation;
  @query('cl-plan') private plan!: Plan;

  @state() private marking = false;
  @state() private tool: MarkTool | null = null;
  readonly looking = new Looking(this);
  private readonly moving = new MotionOnBench(() => this.requestUpdate());
  private readonly posing = new Posing(this);
  /** What statics says of what is shown, from the worker, once hands are still. */
  readonly studying = new Studying(this);
  /** What a way back would make of it, while it is pointed at. */
  @state() private ghost: Shown | null = null;
  private readonly pictures = new Pictures(this);
  private readonly behind = new Behind(this, this.pictures);
  private readonly travelled = new Travels();
  readonly pings = new Pings(this);
  private readonly pointing = new Pointing(this);
  private readonly ownWay = ownWay(
    () => this.session,
    () => this.pointing.isReady,
  );
  /** What is shown now; replaced once a change of the draft. */
  shown!: Shown;
  private readonly reader = new NotesReader(this, () => this.session);
  private seen: Scene | null = null;
  /** The draft whose first view has been chosen for it. */
  private opened: string | null = null;
  private readonly resized = new ResizeObserver(() => this.measure());

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Following(this);
    new Follow(this, () => {
      this.live.addEventListener('change', update);
      const weighing = weighingOf(this.live);
      weighing.addEventListener('change', update);
      return [
        () => weighing.removeEventListener('change', update),
        () => this.live.removeEventListener('change', update),
        this.session.on('presence', update),
        this.session.on('me', update),
      ];
    });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.studying.close();
    this.resized.disconnect();
  }

  protected override firstUpdated(): void {
    this.resized.observe(this.elevation);
    this.resized.observe(this.plan);
    this.measure();
  }

  private measure(): void {
    const { elevation, plan } = this;
    const still = this.live.movers.length > 0;
    this.looking.resize(elevation.clientWidth, elevation.clientHeight, plan.clientHeight, still);
  }

  protected override willUpdate(): void {
    const { live } = this;
    this.studying.look(live);
    this.looking.lookThrough(this.pictures.through);
    if (live.scene === this.seen && live.hidden === this.shown.hidden) return;
    this.seen = live.scene;
    this.shown = show(live.scene, live.report, live.hidden);
    // While something is dragged, by whomever, the sheet stays still under it.
    if (live.movers.length > 0) return;
    // Which side tells most would tell something of what is hidden.
    if (live.hidden) this.opened = live.draft;
    if (this.opened !== live.draft && live.report.groups.length > 0) {
      this.opened = live.draft;
      // A picture tells along itself: its figures lie in its plane.
      this.looking.open(isPictured(live) ? 'front' : tellingView(live.report));
    }
    const extent = extentOf(this.shown);
    this.looking.setExtent(extent, this.travelled.of(live, this.shown, extent));
  }

  private readonly onGhost = ({ detail }: CustomEvent<Scene | null>): void => {
    this.ghost = detail === null ? null : show(detail, assess(detail));
  };

  /** Number that the shot gives its first frame. */
  get firstFrame(): number {
    const shots = readShots(this.session.documents.scenes);
    return shots.find(({ id }) => id === this.live.shot)?.frames[0] ?? 1;
  }

  /** The notes that speak of this draft, numbered as they were written. */
  private pinnedNotes(): PinnedNote[] {
    const { shot, draft, session } = this.live;
    const drafts = readDrafts(session.documents.scenes, shot);
    const shown = drafts.find(({ id }) => id === draft);
    if (shown === undefined) return [];
    return this.reader
      .notes(shot)
      .filter((note) => speaksOf(note, shown, drafts))
      .map((note) => {
        const at = pinPoint(this.shown, note.pin);
        return { note, number: this.reader.numberOf(note.id), at };
      });
  }

  private pick(pin: Pin | null): void {
    const label = pin === null ? '' : pinLabel(this.shown.scene, pin);
    this.session.show({ selection: selectionText(pin) });
    this.dispatchEvent(
      new CustomEvent<SelectDetail>('cl-select', {
        detail: { pin, label },
        bubbles: true,
        composed: true,
      }),
    );
  }

  private setFrame(frame: number): void {
    this.live.setFrame(frame);
    this.session.show({ frame: frame + this.firstFrame });
  }

  /** Why this person cannot pose here; empty when they can. */
  private whyNot(): string {
    const { session, live } = this;
    if (!session.mayWrite('scenes')) {
      return session.me.role === 'reviewer'
        ? 'You are here as a reviewer: you write notes, animators move the figures.'
        : 'You are here as a guest: you look on, animators move the figures.';
    }
    if (live.called) return 'A call is open: the pose stays as it is until it is shown.';
    if (live.sealed) return 'This draft is sealed. Make a new draft from it to go on.';
    if (live.clip.kind === 'none') return '';
    if (isPictured(live))
      return 'Depth is assumed: one picture does not show it. Figures follow the picture; set under Clip what carries them.';
    const fixed = clipFigures(live);
    const all = fixed.size > 0 && live.scene.figures.every(({ id }) => fixed.has(id));
    return all ? 'The figure follows its clip. Make a new shot to pose it by hand.' : '';
  }

  labelOf(thing: string): string {
    const pin = selectionPin(thing);
    return pin === null ? '' : pinLabel(this.shown.scene, pin);
  }

  pointedAt(event: PointerEvent): PointedIn | null {
    const path = event.composedPath();
    if (path.includes(this.elevation)) {
      return { ...this.elevation.pointAt(this.elevation.place(event)), view: 'elevation' };
    }
    return path.includes(this.plan)
      ? { point: this.plan.pointAt(event), pin: null, view: 'plan' }
      : null;
  }

  underPointer(): PointedIn | null {
    const at = this.elevation.pointer;
    return at === null ? null : { ...this.elevation.pointAt(at), view: 'elevation' };
  }

  selected(): { thing: string; point: Vec3 } | null {
    const thing = selectionText(this.selection);
    const point = this.selection === null ? null : pinPoint(this.shown, this.selection);
    return thing === null || point === null ? null : { thing, point };
  }

  private renderTools() {
    const { looking } = this;
    return html`<div class="tools">
      <span role="group" aria-label="View">
        ${this.views().map(
          ([
            view,
            word,
          ]) => html`<button type="button" data-view=${view} aria-pressed=${looking.view === view}
            @click=${() => looking.setView(view)}>${word}</button>`,
        )}
      </span>
      <span>
        <button type="button" @click=${() => looking.zoomAt(1.25)}>Nearer</button>
        <button type="button" @click=${() => looking.zoomAt(0.8)}>Farther</button>
        <button type="button" @click=${() => looking.whole()}>Show all</button>
        <button type="button" aria-pressed=${this.studying.showsForces} aria-keyshortcuts="f"
          title="Pushes and pulls as arrows (key f on the drawing)"
          @click=${this.studying.toggleForces}>Forces</button>
        <button type="button" aria-pressed=${this.pointing.armed} title="Point at something for everybody: hold P and press"
          @click=${() => this.pointing.toggle()}>Point</button>
      </span>
      ${
        this.session.mayWrite('notes')
          ? html`<button type="button" aria-expanded=${this.marking} @click=${() => {
              this.marking = !this.marking;
              this.tool = null;
            }}>Mark</button>`
          : nothing
      }
      ${
        this.marking
          ? html`<cl-mark-tools .session=${this.session} .draft=${this.live.draft} .frame=${this.frameNumber}
              .shown=${this.shown} .tool=${this.tool}
              @cl-tool=${({ detail }: CustomEvent<MarkTool | null>) => {
                this.tool = detail;
              }}></cl-mark-tools>`
          : nothing
      }
    </div>`;
  }

  /** The picture view is there while a picture is. */
  private views(): readonly (readonly [View, string])[] {
    return this.pictures.all.has('camera') ? [...VIEWS, ['picture', 'Picture']] : VIEWS;
  }

  /** In the place of the margin strip, whose margins are hidden: the frames alone. */
  private renderFrames(count: number) {
    const { frame } = this.live;
    return html`<p class="clip">
      <label>
        Frame ${frame + this.firstFrame}
        <input type="range" min="0" max=${count - 1} .value=${String(frame)}
          @input=${(event: Event) => this.setFrame(Number((event.currentTarget as HTMLInputElement).value))} />
      </label>
      <span class="pencil">The margin strip is hidden for the call.</span>
    </p>`;
  }

  private renderMarks(surface: MarkSurface) {
    return html`<cl-marks slot="marks" .session=${this.session} .draft=${this.live.draft} .frame=${this.frameNumber}
      .shown=${this.shown} .surface=${surface} .tool=${this.tool}></cl-marks>`;
  }

  /** Number of the frame shown, as the shot counts; null where it is one pose. */
  private get frameNumber(): number | null {
    return this.live.motion === null ? null : this.live.frame + this.firstFrame;
  }

  private renderClip(notes: readonly PinnedNote[]) {
    const { clip, frame, motion } = this.live;
    if (clip.kind === 'loading') return html`<p class="clip pencil">Reading the clip\u2026</p>`;
    if (clip.kind === 'failed') return html`<p class="clip" role="alert">${clip.message}</p>`;
    // One picture has no frames to go through.
    if (motion === null || (motion.frameCount < 2 && isPictured(this.live))) return nothing;
    if (this.live.hidden) return this.renderFrames(motion.frameCount);
    return html`<cl-strip .live=${this.live} .motion=${motion} .frame=${frame} .first=${this.firstFrame}
      .notes=${notes} .mayEdit=${this.session.mayWrite('scenes') && !this.live.sealed}
      @cl-frame=${(event: CustomEvent<number>) => this.setFrame(event.detail)}
      @cl-pick=${(event: CustomEvent<Pin>) => this.pick(event.detail)}></cl-strip>`;
  }

  protected override render() {
    const { live, shown, looking, posing, session, pings } = this;
    const others = session.others().filter(({ draft }) => draft === live.draft);
    const whyNot = this.whyNot();
    const notes = this.pinnedNotes();
    const mayEdit = session.mayWrite('scenes') && !live.sealed && !live.called;
    const fixed = clipFigures(live);
    const people = this.reader.people;
    const picture = seenPicture(this.pictures, looking);
    const moving = live.movers.filter(({ mine }) => !mine).map(({ name }) => name);
    const hint = whyNot === '' && shown.scene.figures.length > 0 && !hintSeen() ? FIRST_HINT : '';
    const line =
      moving.length > 0 ? `${moving.join(', ')} moves a part.` : firstSentence(whyNot) || hint;
    return html`<div class="bench" @keydown=${this.ownWay.key} @wheel=${this.ownWay.wheel}
      @pointerdown=${this.ownWay.pointer} @pointermove=${this.ownWay.pointer} @pointerup=${this.ownWay.pointer}>
      <div class="drawings" @pointerdown=${this.pointing.press}
        @keydown=${this.pointing.keyDown} @cl-light=${this.studying.light} @cl-pick=${(event: CustomEvent<Pin | null>) => this.pick(event.detail)}>
        <div>${this.renderTools()}
          ${live.hidden ? nothing : html`<cl-what-if .live=${live} .scene=${live.scene} .supposed=${live.supposed}></cl-what-if>`}</div>
        <cl-elevation .session=${session} .shown=${shown} .looking=${looking} .eye=${looking.eye}
          .posing=${posing} .held=${posing.held} .selection=${this.selection} .notes=${notes}
          .note=${this.note} .others=${others} .pings=${pings.seen} .mayPose=${mayEdit} .fixed=${fixed} .line=${line}
          .picture=${picture} .forces=${this.studying.forces} .ghost=${this.ghost} @cl-forces=${this.studying.toggleForces} .ghosts=${this.moving.ghosts(live)}
          .mesh=${this.moving.mesh(live)} .doubts=${this.moving.doubts(live)}
          @drop=${this.behind.drop} @dragover=${(event: DragEvent) => event.preventDefault()}
          >${this.behind.render(mayEdit)} ${this.renderMarks(elevationSurface(looking.eye, mainGroup(shown.report)?.centre ?? MIDDLE, picture))}</cl-elevation>
        <cl-plan .session=${session} .shown=${shown} .looking=${looking} .eye=${looking.eye} .posing=${posing}
          .selection=${this.selection} .others=${others} .pings=${pings.seen} .mayPose=${mayEdit} .fixed=${fixed}
          .studied=${this.studying.state} .lit=${this.studying.lit} .paths=${live.hidden ? null : this.moving.paths(live)}>${this.renderMarks(planSurface(looking))}</cl-plan>
        ${(['elevation', 'plan'] as const).map(
          (
            drawing,
          ) => html`<cl-call-sheet class=${drawing} .drawing=${drawing} .calling=${this.calling}
            .draft=${live.draft} .looking=${looking} .eye=${looking.eye} .people=${people}></cl-call-sheet>`,
        )}
      </div>
      ${this.renderClip(notes)}
      <cl-ledger .pictures=${this.pictures} .looking=${looking} .live=${live} .shown=${shown} .posing=${posing} .selection=${this.selection}
        .mayEdit=${mayEdit} .fixed=${fixed} .whyNot=${whyNot} .studied=${this.studying.state} .lit=${this.studying.lit}
        @cl-ghost=${this.onGhost}
        @cl-light=${this.studying.light}
        @cl-push-height=${this.studying.pushAt}
        @cl-pick=${(event: CustomEvent<Pin>) => this.pick(event.detail)}></cl-ledger>
    </div>`;
  }
}

const firstSentence = (text: string): string => text.replace(/\. .*/, '.');

declare global {
  interface HTMLElementTagNameMap {
    'cl-bench': Bench;
  }
}
