import { html, LitElement, nothing, unsafeCSS } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import uplotCss from 'uplot/dist/uPlot.min.css?inline';
import type { Pin } from '../../core/document/index.ts';
import type { ClipSource, ContactSpan } from '../../core/motion/index.ts';
import { VERDICT_WORDS, verdictColour } from '../badge/words.ts';
import type { PinnedNote } from '../bench/pins.ts';
import { Follow } from '../controllers/follow.ts';
import type { LiveDraft } from '../session/index.ts';
import { ROOM_EVENT } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import './contact-bars.ts';
import { groupChoices } from './group-choices.ts';
import './key-marks.ts';
import { Player } from './player.ts';
import { progressLine } from './progress.ts';
import { nextChange, runsOf } from './runs.ts';
import { stripStyles } from './strip.styles.ts';
import { type ChartData, StripChart } from './strip-chart.ts';
import { frameNumbers, sayFrame, wholeSentences } from './tell.ts';
import { type MotionLook, type MotionWeighing, SHORT, weighingOf } from './weighing.ts';

/** Frames that an arrow key goes with Shift, and a page key. */
const LEAP = 10;
/** Of a clip that is not weighed yet. */
const NONE: readonly ContactSpan[] = [];
const LOOKS: readonly (readonly [keyof MotionLook, string])[] = [
  ['speed', 'Speed'],
  ['pressure', 'Pressure'],
  ['ghosts', 'Contact poses'],
  ['paths', 'Paths'],
  ['contacts', 'Contacts'],
];

/**
 * The margin strip: margins and verdicts of every frame of a moving shot, to scrub, step and play.
 * Fires `cl-frame` (detail: frame counted from 0), `cl-note` (detail { note }) and `cl-pick` (detail: a
 * pin on a stretch of frames).
 */
@customElement('cl-strip')
export class Strip extends LitElement {
  static override styles = [shared, unsafeCSS(uplotCss), stripStyles];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) motion!: ClipSource;
  /** Frame shown, counted from 0. */
  @property({ type: Number }) frame = 0;
  /** Number that the shot gives its first frame. */
  @property({ type: Number }) first = 1;
  @property({ attribute: false }) notes: readonly PinnedNote[] = [];
  /** Whether this person may set keys. */
  @property({ type: Boolean }) mayEdit = false;

  @query('.track') private track!: HTMLElement;
  @query('.plot') private host!: HTMLElement;
  @state() private telling = false;
  private chart: StripChart | null = null;
  /** What the chart was made for. */
  private made = '';
  private drawn: unknown = null;
  private readonly player = new Player(this);
  private stretch: readonly [number, number] | null = null;
  private readonly resized = new ResizeObserver(([entry]) => {
    const { width = 0, height = 0 } = entry?.contentRect ?? {};
    this.chart?.resize(width, height);
    this.requestUpdate();
  });

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const redraw = (): void => this.chart?.recolour();
      const { weighing } = this;
      window.addEventListener(ROOM_EVENT, redraw);
      weighing.addEventListener('change', update);
      return [
        () => window.removeEventListener(ROOM_EVENT, redraw),
        () => weighing.removeEventListener('change', update),
      ];
    });
  }

  private get looks(): typeof LOOKS {
    const { clip } = this.live;
    const own = clip.kind === 'ready' && clip.link.format === 'gltf';
    return own ? [...LOOKS, ['mesh', 'Own mesh']] : LOOKS;
  }

  private get weighing(): MotionWeighing {
    return weighingOf(this.live);
  }

  private get last(): number {
    return this.motion.frameCount - 1;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
    this.chart?.dispose();
    this.chart = null;
    this.made = '';
  }

  protected override updated(): void {
    this.draw();
  }

  private data(): ChartData {
    const { frames, resting, whole, look } = this.weighing;
    const count = this.motion.frameCount;
    const sized = <T>(list: readonly (T | null)[]): readonly (T | null)[] =>
      list.length === count ? list : new Array<T | null>(count).fill(null);
    return {
      frames: sized(frames),
      resting: sized(resting),
      changes: (whole?.spans ?? []).slice(1).map(({ from }) => from),
      stretch: this.stretch,
      spans: this.notes.flatMap(({ note }) => {
        const span = frameNumbers(note);
        return span === null ? [] : [[span[0] - this.first, span[1] - this.first] as const];
      }),
      ...{ speed: look.speed, pressure: look.pressure },
    };
  }

  /** Draws what changed; the needle alone moves over a chart that stays. */
  private draw(): void {
    const { weighing } = this;
    const made = `${this.motion.frameCount} ${this.first}`;
    const key = [weighing.version, this.stretch, this.notes.map(({ note }) => note.id).join()];
    if (this.chart === null || made !== this.made) {
      this.chart?.dispose();
      this.chart = new StripChart(this.host, this.data(), this.first, () => this.requestUpdate());
      this.made = made;
      this.resized.observe(this.host);
      this.requestUpdate();
    } else if (JSON.stringify(key) !== this.drawn) this.chart.show(this.data());
    this.drawn = JSON.stringify(key);
  }

  /** Goes to a frame and shows it. */
  go(frame: number): void {
    const within = Math.max(0, Math.min(this.last, Math.round(frame)));
    this.chart?.reveal(within);
    this.dispatchEvent(
      new CustomEvent<number>('cl-frame', { detail: within, bubbles: true, composed: true }),
    );
  }

  private step(frame: number): void {
    this.player.stop();
    this.go(frame);
  }

  private togglePlay(): void {
    if (this.player.playing) {
      this.player.stop();
      return;
    }
    const [from, to] = this.stretch ?? [0, this.last];
    this.player.start({ rate: this.motion.rate, from, to });
  }

  private scrub(event: PointerEvent): void {
    if (event.type === 'pointerdown') {
      this.player.stop();
      this.track.setPointerCapture(event.pointerId);
      this.track.focus();
    } else if (!this.track.hasPointerCapture(event.pointerId)) return;
    const { left } = this.track.getBoundingClientRect();
    if (this.chart !== null) this.go(this.chart.frameAt(event.clientX - left));
  }

  private onWheel(event: WheelEvent): void {
    if (this.chart === null) return;
    const { left } = this.track.getBoundingClientRect();
    const sideways = event.shiftKey ? event.deltaY : event.deltaX;
    if (Math.abs(sideways) > Math.abs(event.deltaY) || event.shiftKey)
      this.chart.slide(Math.sign(sideways) * 0.1);
    else this.chart.zoom(event.deltaY < 0 ? 1.25 : 0.8, this.chart.frameAt(event.clientX - left));
    event.preventDefault();
  }

  private onKey(event: KeyboardEvent): void {
    const leap = event.shiftKey ? LEAP : 1;
    // What is shown is up to a frame older: a second key press must build on the first.
    const { frame } = this.live;
    const ways: Readonly<Record<string, number>> = {
      ArrowRight: frame + leap,
      ArrowUp: frame + leap,
      ArrowLeft: frame - leap,
      ArrowDown: frame - leap,
      PageUp: frame + LEAP,
      PageDown: frame - LEAP,
      Home: 0,
      End: this.last,
    };
    const to = ways[event.key];
    if (to !== undefined) this.step(to);
    else if (event.key === ' ') this.togglePlay();
    else if (event.key === '+' || event.key === '=') this.chart?.zoom(1.5, this.frame);
    else if (event.key === '-') this.chart?.zoom(1 / 1.5, this.frame);
    else return;
    event.preventDefault();
  }

  private setEnd(which: 'from' | 'to'): void {
    const [from, to] = this.stretch ?? [0, this.last];
    const { frame } = this;
    this.stretch = which === 'from' ? [frame, Math.max(frame, to)] : [Math.min(from, frame), frame];
    this.requestUpdate();
  }

  private pickStretch(): void {
    const [from, to] = this.stretch ?? [this.frame, this.frame];
    const detail: Pin = { kind: 'frames', from: from + this.first, to: to + this.first };
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  private chooseNote(note: string): void {
    this.dispatchEvent(
      new CustomEvent('cl-note', { detail: { note }, bubbles: true, composed: true }),
    );
  }

  private renderHead() {
    const { frame, first, last, motion, player, weighing } = this;
    const change = nextChange(runsOf(weighing.frames, weighing.resting), frame);
    const worst = weighing.whole?.worst ?? null;
    const word = (text: string, act: () => void, off = false) =>
      html`<button type="button" ?disabled=${off} @click=${act}>${text}</button>`;
    return html`<div class="head">
      <span class="group">
        ${word(player.playing ? 'Stop' : 'Play', () => this.togglePlay())}
        <button type="button" aria-pressed=${player.loop} @click=${() => {
          player.loop = !player.loop;
          this.requestUpdate();
        }}>Over and over</button>
      </span>
      <label class="frame">frame
        <input type="number" min=${first} max=${first + last} .value=${String(frame + first)}
          @change=${(event: Event) => this.step(Number((event.currentTarget as HTMLInputElement).value) - first)} />
      </label>
      <span>${(frame / motion.rate).toFixed(2)} s</span>
      <span class="pencil small">of ${last === 0 ? '1 frame' : `${last + 1} frames`} at ${Math.round(motion.rate * 100) / 100} a second</span>
      ${player.leftOut > 0 ? html`<span class="pencil small">${player.leftOut} left out</span>` : nothing}
      <span class="group">
        ${word('Worst frame', () => worst !== null && this.step(worst), worst === null)}
        ${word('Next change of verdict', () => change !== null && this.step(change), change === null)}
      </span>
      <span class="group">
        ${word('Begin here', () => this.setEnd('from'))}
        ${word('End here', () => this.setEnd('to'))}
        ${
          this.stretch === null
            ? nothing
            : html`${word('Whole shot', () => {
                this.stretch = null;
                this.requestUpdate();
              })}
              ${this.live.session.mayWrite('notes') ? word('Note on this stretch', () => this.pickStretch()) : nothing}`
        }
      </span>
      ${this.renderGroups()} ${progressLine(weighing)}
    </div>`;
  }

  /** Whose margins are shown, where the figures stand by themselves. */
  private renderGroups() {
    const choices = groupChoices(this.live);
    if (choices.length === 0) return nothing;
    const { weighing } = this;
    return html`<label class="frame">margins of
      <select @change=${(event: Event) => {
        weighing.figure = (event.currentTarget as HTMLSelectElement).value || null;
      }}>${choices.map(
        ({ figure, name }) =>
          html`<option value=${figure ?? ''} .selected=${figure === weighing.figure}>${name}</option>`,
      )}</select>
    </label>`;
  }

  private renderTell() {
    const { frames, resting } = this.weighing;
    const frame = frames[this.frame];
    const verdict = frame?.verdict ?? resting[this.frame]?.verdict;
    if (verdict === undefined)
      return html`<p class="tell pencil">This frame is still being weighed.</p>`;
    return html`<p class="tell" data-verdict=${verdict} style="--verdict:${verdictColour(verdict)}">
      <span class="word">${VERDICT_WORDS[verdict]}</span>
      <span title=${frame?.sentence ?? nothing}>${frame ? sayFrame(frame) : 'as a held pose; its motion is not judged yet'}</span>
    </p>`;
  }

  private renderLooks() {
    const { weighing, chart, frame } = this;
    return html`<span class="looks">
      <span class="group" role="group" aria-label="What is shown">
        ${this.looks.map(
          ([key, text]) => html`<button type="button" aria-pressed=${weighing.look[key]}
            @click=${() => weighing.setLook({ [key]: !weighing.look[key] })}>${text}</button>`,
        )}
        <button type="button" aria-pressed=${this.telling} @click=${() => {
          this.telling = !this.telling;
        }}>What would make it work</button>
      </span>
      <span class="group">
        <button type="button" @click=${() => chart?.zoom(1.5, frame)}>Nearer</button>
        <button type="button" @click=${() => chart?.zoom(1 / 1.5, frame)}>Farther</button>
        <button type="button" @click=${() => chart?.whole()}>All frames</button>
      </span>
    </span>`;
  }

  private renderWhole() {
    const { whole } = this.weighing;
    if (!this.telling) return nothing;
    if (whole === null) return html`<p class="pencil">The clip is still being weighed.</p>`;
    const mayFind = whole.slowest === undefined && !whole.atRest && this.last >= SHORT;
    return html`<div class="whole" tabindex="0" role="region" aria-label="What would make it work">
      ${wholeSentences(whole, this.motion.frameCount, this.first).map((text) => html`<p>${text}</p>`)}
      ${mayFind ? html`<p><button type="button" @click=${() => this.weighing.findSlowest()}>Look for the slowest speed that carries</button></p>` : nothing}
    </div>`;
  }

  /** Where a frame is on the chart; null where it is not seen. */
  private seenAt(frame: number): number | null {
    const { chart } = this;
    if (chart === null) return null;
    const { left, width } = chart.room;
    const x = chart.x(frame);
    return x < left - 1 || x > left + width + 1 ? null : x;
  }

  private renderBars() {
    const { chart, weighing } = this;
    if (chart === null || !weighing.look.contacts) return nothing;
    const { min, max } = chart.seen;
    const { left, width } = chart.room;
    return html`<cl-contact-bars .live=${this.live} .entries=${this.live.entries} .contacts=${weighing.whole?.contacts ?? NONE}
      .chart=${chart} .seen=${[min, max, left, width].join()} .first=${this.first} .last=${this.last}
      .mayEdit=${this.mayEdit}></cl-contact-bars>`;
  }

  private renderFlags() {
    return this.notes.flatMap(({ note, number }) => {
      const span = frameNumbers(note);
      if (span === null) return [];
      const x = this.seenAt(span[0] - this.first);
      if (x === null) return [];
      const where = span[0] === span[1] ? `frame ${span[0]}` : `frames ${span[0]} to ${span[1]}`;
      return [
        html`<button type="button" style="left:${x}px" aria-label="Note ${number}, ${where}"
          @click=${() => this.chooseNote(note.id)}>${number}</button>`,
      ];
    });
  }

  protected override render() {
    const { frame, first, last, chart } = this;
    const weighed = this.weighing.frames[frame];
    const spoken = `frame ${frame + first}${weighed ? `, ${VERDICT_WORDS[weighed.verdict]}. ${sayFrame(weighed)}` : ''}`;
    const needle = this.seenAt(frame);
    const flags = this.renderFlags();
    return html`
      ${this.renderHead()}
      <div class="track" role="slider" tabindex="0" aria-label="Frame"
        aria-valuemin=${first} aria-valuemax=${first + last} aria-valuenow=${first + frame}
        aria-valuetext=${spoken}
        @pointerdown=${this.scrub} @pointermove=${this.scrub} @wheel=${this.onWheel} @keydown=${this.onKey}>
        <div class="plot" aria-hidden="true"></div>
        ${needle === null ? nothing : html`<div class="needle" style="left:${needle}px"></div>`}
      </div>
      ${flags.length === 0 ? nothing : html`<div class="flags">${flags}</div>`}
      ${this.renderBars()}
      <cl-key-marks .live=${this.live} .entries=${this.live.entries} .frame=${frame} .first=${first}
        .mayEdit=${this.mayEdit} .place=${(at: number) => this.seenAt(at)}
        .frameAt=${(at: number) => chart?.frameAt(at) ?? 0}></cl-key-marks>
      <div class="foot">${this.renderTell()} ${this.renderLooks()}</div>
      ${this.renderWhole()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-strip': Strip;
  }
}
