import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { VERDICTS, type Verdict } from '../../core/balance/index.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { Follow } from '../controllers/follow.ts';
import type { ClipState, LiveDraft } from '../session/index.ts';
import { ROOM_EVENT, tokenColour } from '../styles/room.ts';
import { shared } from '../styles/shared.ts';
import type { PinnedNote } from './pins.ts';
import { drawStrip, frameAt, frameX, type StripInks, type StripMeasures } from './strip-drawing.ts';
import { ClipWeighing } from './weighing.ts';

type ReadyClip = Extract<ClipState, { kind: 'ready' }>;

/** Frames that an arrow key goes with Shift. */
const LEAP = 10;

/**
 * The margin strip: the margin of every frame of a moving shot, to scrub, step and play.
 * Fires `cl-frame` (detail: frame counted from 0) and `cl-note` (detail { note }).
 */
@customElement('cl-strip')
export class Strip extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
        padding: 0.4rem 1.25rem 0.7rem;
        border-top: 1px solid var(--rule);
        background: var(--sheet);
      }
      .head {
        display: flex;
        flex-wrap: wrap;
        gap: 0.2rem 1.2rem;
        align-items: baseline;
      }
      .frame {
        font-weight: 600;
        min-width: 9ch;
      }
      .pencil {
        overflow-wrap: anywhere;
      }
      .track {
        position: relative;
        height: 72px;
        margin-top: 0.3rem;
        touch-action: pan-y;
        cursor: ew-resize;
      }
      canvas {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
      }
      .needle {
        position: absolute;
        top: -3px;
        bottom: -3px;
        width: 2px;
        margin-left: -1px;
        background: var(--ink);
        pointer-events: none;
      }
      .needle::before {
        content: '';
        position: absolute;
        left: -5px;
        top: -2px;
        border: 6px solid transparent;
        border-top-color: var(--ink);
      }
      .ticks {
        position: relative;
        height: 26px;
      }
      .ticks:empty {
        display: none;
      }
      .ticks button {
        position: absolute;
        min-width: 24px;
        min-height: 24px;
        margin-left: -12px;
        padding: 0;
        text-align: center;
        font-size: 0.875rem;
        line-height: 1.3rem;
        border: 0;
        border-top: 2px solid var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) clip!: ReadyClip;
  /** Frame shown, counted from 0. */
  @property({ type: Number }) frame = 0;
  /** Number that the shot gives its first frame. */
  @property({ type: Number }) first = 1;
  @property({ attribute: false }) notes: readonly PinnedNote[] = [];

  @query('canvas') private canvas!: HTMLCanvasElement;
  @query('.track') private track!: HTMLElement;
  @state() private playing = false;
  @state() private width = 0;
  private weighing: ClipWeighing | null = null;
  /** What the weighing was made for: clip and what was added around it. */
  private weighed: readonly unknown[] = [];
  /** What the canvas shows: progress and size. Scrubbing moves the needle over it alone. */
  private drawn = '';
  private tick: number | null = null;
  private readonly resized = new ResizeObserver(([entry]) => {
    this.width = entry?.contentRect.width ?? 0;
  });

  constructor() {
    super();
    new Follow(this, () => {
      const redraw = (): void => {
        this.drawn = '';
        this.requestUpdate();
      };
      window.addEventListener(ROOM_EVENT, redraw);
      return [() => window.removeEventListener(ROOM_EVENT, redraw), () => this.halt()];
    });
  }

  protected override firstUpdated(): void {
    this.resized.observe(this.track);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
    this.weighing?.stop();
    this.weighing = null;
    this.weighed = [];
  }

  private get measures(): StripMeasures {
    return { width: this.width, height: 72, frameCount: this.clip.frameCount };
  }

  protected override updated(): void {
    this.startWeighing();
    this.draw();
  }

  /** Weighs anew when the clip or what stands around it changed. */
  private startWeighing(): void {
    const { clip, live } = this;
    const { loads, surfaces, grips } = live.scene;
    const key = [clip.sceneAt, JSON.stringify([loads, surfaces, grips])];
    if (key.every((part, i) => part === this.weighed[i])) return;
    this.weighed = key;
    this.weighing?.stop();
    const sceneAt = (frame: number) => ({ ...clip.sceneAt(frame), loads, surfaces, grips });
    this.weighing = new ClipWeighing(clip.frameCount, sceneAt, () => this.requestUpdate());
  }

  private inks(): StripInks {
    const colour = (verdict: Verdict): string => {
      if (verdict === 'unknown') return tokenColour('--pencil');
      return tokenColour(verdict === 'held' ? '--carried' : `--${verdict}`);
    };
    return {
      ink: tokenColour('--ink'),
      pencil: tokenColour('--pencil'),
      verdicts: Object.fromEntries(VERDICTS.map((verdict) => [verdict, colour(verdict)])) as Record<
        Verdict,
        string
      >,
    };
  }

  private draw(): void {
    const { canvas, width } = this;
    const context = canvas.getContext('2d');
    const key = `${this.weighing?.done} ${width} ${this.weighed[1]}`;
    if (context === null || width === 0 || key === this.drawn) return;
    this.drawn = key;
    const ratio = Math.min(devicePixelRatio, 2);
    const [w, h] = [Math.round(width * ratio), Math.round(this.measures.height * ratio)];
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    drawStrip(context, this.weighing?.frames ?? [], this.measures, this.inks());
  }

  private go(frame: number): void {
    const within = Math.max(0, Math.min(this.clip.frameCount - 1, frame));
    this.dispatchEvent(
      new CustomEvent<number>('cl-frame', { detail: within, bubbles: true, composed: true }),
    );
  }

  private play(): void {
    this.playing = true;
    const { frameCount, rate } = this.clip;
    const from = this.frame >= frameCount - 1 ? 0 : this.frame;
    let began: number | null = null;
    const step = (now: number): void => {
      began ??= now;
      // True rate: frames are left out rather than played late.
      const frame = from + Math.floor(((now - began) / 1000) * rate);
      this.go(frame);
      if (frame >= frameCount - 1) this.halt();
      else this.tick = requestAnimationFrame(step);
    };
    this.tick = requestAnimationFrame(step);
  }

  private halt(): void {
    if (this.tick !== null) cancelAnimationFrame(this.tick);
    this.tick = null;
    this.playing = false;
  }

  private scrub(event: PointerEvent): void {
    if (event.type === 'pointerdown') {
      this.halt();
      this.track.setPointerCapture(event.pointerId);
      this.track.focus();
    } else if (!this.track.hasPointerCapture(event.pointerId)) return;
    this.go(frameAt(this.measures, event.clientX - this.track.getBoundingClientRect().left));
  }

  private onKey(event: KeyboardEvent): void {
    const leap = event.shiftKey ? LEAP : 1;
    const ways: Readonly<Record<string, number>> = {
      ArrowRight: this.frame + leap,
      ArrowUp: this.frame + leap,
      ArrowLeft: this.frame - leap,
      ArrowDown: this.frame - leap,
      PageUp: this.frame + LEAP,
      PageDown: this.frame - LEAP,
      Home: 0,
      End: this.clip.frameCount - 1,
    };
    const to = ways[event.key];
    if (event.key === ' ') {
      if (this.playing) this.halt();
      else this.play();
    } else if (to === undefined) return;
    else {
      this.halt();
      this.go(to);
    }
    event.preventDefault();
  }

  private chooseNote(note: string): void {
    this.dispatchEvent(
      new CustomEvent('cl-note', { detail: { note }, bubbles: true, composed: true }),
    );
  }

  private spoken(): string {
    const weighed = this.weighing?.frames[this.frame];
    const number = `frame ${this.frame + this.first}`;
    if (!weighed) return number;
    const ratio = weighed.ratio === null ? '' : `, margin ratio ${weighed.ratio.toFixed(2)}`;
    return `${number}, ${VERDICT_WORDS[weighed.verdict]}${ratio}`;
  }

  protected override render() {
    const { clip, frame, first, measures } = this;
    const done = this.weighing?.done ?? 0;
    const needle = frameX(measures, frame + 0.5);
    const ticks = this.notes.filter(({ note }) => note.frame !== null);
    return html`
      <div class="head">
        <button type="button" @click=${() => (this.playing ? this.halt() : this.play())}
          >${this.playing ? 'Stop' : 'Play'}</button>
        <span class="frame">frame ${frame + first}</span>
        <span>${(frame / clip.rate).toFixed(2)} s</span>
        <span class="pencil small">of ${clip.frameCount} frames at ${Math.round(clip.rate * 100) / 100} a second</span>
        <span class="pencil small">margin: up is inside the support, the line is its edge</span>
        ${done < 1 ? html`<span class="pencil small">weighing, ${Math.floor(done * 100)} %</span>` : nothing}
      </div>
      <div class="track" role="slider" tabindex="0" aria-label="Frame"
        aria-valuemin=${first} aria-valuemax=${first + clip.frameCount - 1} aria-valuenow=${first + frame}
        aria-valuetext=${this.spoken()}
        @pointerdown=${this.scrub} @pointermove=${this.scrub} @keydown=${this.onKey}>
        <canvas aria-hidden="true"></canvas>
        <div class="needle" style="left:${needle}px"></div>
      </div>
      <div class="ticks">${ticks.map(
        ({
          note,
          number,
        }) => html`<button type="button" style="left:${frameX(measures, (note.frame ?? first) - first + 0.5)}px"
          aria-label="Note ${number}, frame ${note.frame}" @click=${() => this.chooseNote(note.id)}>${number}</button>`,
      )}</div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-strip': Strip;
  }
}
