import uPlot from 'uplot';
import { VERDICTS, type Verdict } from '../../core/balance/index.ts';
import { tokenColour } from '../styles/room.ts';
import type { MotionFrame, RestFrame } from './protocol.ts';
import { runsOf, type VerdictRun } from './runs.ts';

/** What the chart draws. Frames counted from 0. */
export interface ChartData {
  readonly frames: readonly (MotionFrame | null)[];
  readonly resting: readonly (RestFrame | null)[];
  /** Frames at which the support changes. */
  readonly changes: readonly number[];
  /** First and last frame that are played; null: all. */
  readonly stretch: readonly [from: number, to: number] | null;
  /** Spans of notes. */
  readonly spans: readonly (readonly [from: number, to: number])[];
  readonly speed: boolean;
  readonly pressure: boolean;
}

/** Margin ratios beyond this are drawn at the edge of the chart. */
const RANGE = 1.15;
/** Height of the band that repeats the verdict by pattern, CSS pixels. */
const BAND = 9;
/** Fewest frames that fill the width. */
const CLOSEST = 12;

type Rows = [number[], ...(number | null)[][]];

/**
 * The chart of the margin strip (uPlot): margins over frames, verdict bands, ticks where the support
 * changes, stretches of notes. Zooming and scrubbing redraw at most once an animation frame.
 */
export class StripChart {
  readonly #plot: uPlot;
  readonly #first: number;
  readonly #count: number;
  #data: ChartData;
  #runs: readonly VerdictRun[] = [];

  /**
   * @param first number that the shot gives its first frame
   * @param zoomed called after what is seen of the clip changed
   */
  constructor(host: HTMLElement, data: ChartData, first: number, zoomed: () => void) {
    this.#first = first;
    this.#count = data.frames.length;
    this.#data = data;
    const { width, height } = host.getBoundingClientRect();
    const options = this.#options(Math.max(width, 50), Math.max(height, 50), zoomed);
    this.#plot = new uPlot(options, this.#rows(), host);
    this.#runs = runsOf(data.frames, data.resting);
  }

  #options(width: number, height: number, zoomed: () => void): uPlot.Options {
    const ink = (): string => tokenColour('--ink');
    const line = (token: string, scale: string, dash: number[] = []): uPlot.Series => ({
      ...{ scale, stroke: () => tokenColour(token), width: 1.5, dash },
      points: { show: false },
    });
    const axis: uPlot.Axis = {
      ...{ stroke: ink, font: '13px "Atkinson Hyperlegible Next", sans-serif' },
      ticks: { show: false },
    };
    return {
      ...{ width, height, padding: [6, 0, 0, 0], pxAlign: 1 },
      legend: { show: false },
      cursor: { show: false },
      select: { show: false, left: 0, top: 0, width: 0, height: 0 },
      scales: {
        x: { time: false, auto: false, range: (_, min, max) => [min, max] },
        margin: { auto: false, range: () => [-RANGE - 0.35, RANGE] },
        speed: { auto: true, range: (_, __, max) => [0, Math.max(max, 0.2) * 1.1] },
        pressure: { auto: false, range: () => [-0.34, 0.25] },
      },
      axes: [
        {
          ...axis,
          ...{ size: 20, gap: 2, space: 64 },
          grid: { stroke: () => tokenColour('--rule'), width: 1 },
          values: (_, splits) => splits.map((at) => (Number.isInteger(at) ? String(at) : '')),
        },
        {
          ...axis,
          ...{ scale: 'margin', size: 62, gap: 4 },
          splits: () => [-1, 0, 1],
          values: () => ['', 'edge', 'middle'],
          grid: { stroke: () => tokenColour('--rule'), width: 1 },
        },
        {
          ...axis,
          ...{ scale: 'speed', side: 1, space: 26, gap: 4 },
          size: () => (this.#data.speed ? 62 : 10),
          grid: { show: false },
          values: (_, splits) => splits.map((at) => (this.#data.speed ? `${at} m/s` : '')),
        },
      ],
      series: [
        {},
        line('--ink', 'margin'),
        line('--carried', 'margin', [5, 3]),
        line('--airborne', 'speed', [1, 2]),
        line('--teeters', 'pressure', [8, 3]),
      ],
      hooks: {
        drawClear: [(plot) => this.#drawBands(plot)],
        draw: [(plot) => this.#drawMarks(plot)],
        setScale: [(_, key) => key === 'x' && queueMicrotask(zoomed)],
        ready: [(plot) => plot.setScale('x', this.#all())],
      },
    };
  }

  #all(): { min: number; max: number } {
    return { min: this.#first - 0.5, max: this.#first + this.#count - 0.5 };
  }

  #rows(): Rows {
    const { frames, resting, speed, pressure } = this.#data;
    const clip = (ratio: number | null | undefined): number | null =>
      ratio == null ? null : Math.max(-RANGE, Math.min(RANGE, ratio));
    return [
      frames.map((_, i) => i + this.#first),
      frames.map((frame, i) => clip((frame?.rest ?? resting[i])?.ratio)),
      frames.map((frame) => clip(frame?.movingRatio)),
      frames.map((frame) => (speed ? (frame?.speed ?? null) : null)),
      frames.map((frame) =>
        pressure && frame?.pressureMargin != null
          ? Math.max(-0.25, Math.min(0.25, frame.pressureMargin))
          : null,
      ),
    ];
  }

  /** Draws other data in the place of what is drawn; what is seen of the clip stays. */
  show(data: ChartData): void {
    const { min, max } = this.seen;
    const wider = data.speed !== this.#data.speed;
    this.#data = data;
    this.#runs = runsOf(data.frames, data.resting);
    this.#plot.batch(() => {
      this.#plot.setData(this.#rows(), false);
      this.#plot.setScale('x', { min, max });
    });
    if (wider) this.#plot.redraw(false, true);
  }

  resize(width: number, height: number): void {
    if (width > 0 && height > 0) this.#plot.setSize({ width, height });
  }

  recolour(): void {
    this.#plot.redraw(false);
  }

  dispose(): void {
    this.#plot.destroy();
  }

  /** Frame numbers at the edges. */
  get seen(): { readonly min: number; readonly max: number } {
    const { min, max } = this.#plot.scales.x ?? {};
    return min == null || max == null ? this.#all() : { min, max };
  }

  /** Where a frame's middle is, CSS pixels from the left of the host; beyond its edges when not seen. */
  x(frame: number): number {
    return this.#plot.valToPos(frame + this.#first, 'x') + this.#left;
  }

  /** Left and width of the part that shows frames, CSS pixels from the left of the host. */
  get room(): { readonly left: number; readonly width: number } {
    return { left: this.#left, width: this.#plot.bbox.width / devicePixelRatio };
  }

  get #left(): number {
    return this.#plot.bbox.left / devicePixelRatio;
  }

  /** The frame at x, CSS pixels from the left of the host; held inside the clip. */
  frameAt(x: number): number {
    const number = Math.round(this.#plot.posToVal(x - this.#left, 'x'));
    return Math.max(0, Math.min(this.#count - 1, number - this.#first));
  }

  /** Zooms by a factor about a frame; above 1 nearer. */
  zoom(factor: number, frame: number): void {
    const { min, max } = this.seen;
    const all = this.#all();
    const whole = all.max - all.min;
    const width = Math.max(Math.min(CLOSEST, whole), Math.min(whole, (max - min) / factor));
    const at = frame + this.#first;
    const share = max > min ? (at - min) / (max - min) : 0.5;
    this.#look(at - width * Math.max(0, Math.min(1, share)), width);
  }

  /** Shows the whole clip. */
  whole(): void {
    this.#plot.setScale('x', this.#all());
  }

  /** Goes along by a share of what is seen. */
  slide(share: number): void {
    const { min, max } = this.seen;
    this.#look(min + share * (max - min), max - min);
  }

  /** Makes sure that a frame is seen: the sheet goes on by pages. */
  reveal(frame: number): void {
    const { min, max } = this.seen;
    const at = frame + this.#first;
    if (at >= min && at <= max) return;
    this.#look(at - (max - min) * (at < min ? 0.9 : 0.1), max - min);
  }

  #look(from: number, width: number): void {
    const all = this.#all();
    const min = Math.max(all.min, Math.min(all.max - width, from));
    this.#plot.setScale('x', { min, max: min + width });
  }

  /** Left and right of a span, in canvas pixels, at least one wide. */
  #extent(plot: uPlot, from: number, to: number): [number, number] {
    const left = plot.valToPos(from + this.#first - 0.5, 'x', true);
    const right = plot.valToPos(to + this.#first + 0.5, 'x', true);
    return [left, Math.max(1, right - left)];
  }

  #drawBands(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const scale = devicePixelRatio;
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    const colours = verdictColours();
    const bottom = bbox.top + bbox.height;
    for (const { verdict, from, to } of this.#runs) {
      const [x, width] = this.#extent(plot, from, to);
      if (x > bbox.left + bbox.width || x + width < bbox.left) continue;
      ctx.fillStyle = colours[verdict];
      ctx.globalAlpha = 0.13;
      ctx.fillRect(x, bbox.top, width, bbox.height);
      ctx.globalAlpha = 1;
      pattern(ctx, verdict, [x, bottom - BAND * scale, width], scale);
    }
    const { stretch, spans } = this.#data;
    if (stretch !== null) {
      ctx.fillStyle = tokenColour('--pencil');
      ctx.globalAlpha = 0.22;
      const [left] = this.#extent(plot, stretch[0], stretch[0]);
      const [end, wide] = this.#extent(plot, stretch[1], stretch[1]);
      ctx.fillRect(bbox.left, bbox.top, left - bbox.left, bbox.height);
      ctx.fillRect(end + wide, bbox.top, bbox.left + bbox.width - end - wide, bbox.height);
      ctx.globalAlpha = 1;
    }
    ctx.fillStyle = tokenColour('--ink');
    for (const [from, to] of spans) {
      const [x, width] = this.#extent(plot, from, to);
      ctx.fillRect(x, bbox.top, width, 3 * scale);
    }
    ctx.restore();
  }

  #drawMarks(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const scale = devicePixelRatio;
    ctx.save();
    ctx.fillStyle = tokenColour('--ink');
    const edge = plot.valToPos(0, 'margin', true);
    ctx.fillRect(bbox.left, Math.round(edge), bbox.width, scale);
    for (const change of this.#data.changes) {
      const x = plot.valToPos(change + this.#first - 0.5, 'x', true);
      if (x < bbox.left || x > bbox.left + bbox.width) continue;
      ctx.fillRect(Math.round(x), bbox.top + 4 * scale, scale, 9 * scale);
    }
    ctx.restore();
  }
}

function verdictColours(): Readonly<Record<Verdict, string>> {
  const token = (verdict: Verdict): string =>
    verdict === 'unknown' ? '--pencil' : `--${verdict === 'held' ? 'carried' : verdict}`;
  return Object.fromEntries(
    VERDICTS.map((verdict) => [verdict, tokenColour(token(verdict))]),
  ) as Record<Verdict, string>;
}

/** A verdict's pattern in the band: a line, strokes, full, dots; carried has strokes over a line. */
function pattern(
  ctx: CanvasRenderingContext2D,
  verdict: Verdict,
  [x, y, width]: readonly [number, number, number],
  scale: number,
): void {
  const high = BAND * scale;
  const middle = y + high / 2 - scale;
  const every = (step: number, draw: (at: number) => void): void => {
    for (let at = Math.ceil(x / step) * step; at < x + width; at += step) draw(at);
  };
  if (verdict === 'falls') ctx.fillRect(x, y, width, high);
  else if (verdict === 'airborne' || verdict === 'unknown')
    every(5 * scale, (at) => ctx.fillRect(at, middle, 2 * scale, 2 * scale));
  else {
    if (verdict !== 'teeters') ctx.fillRect(x, middle, width, 2 * scale);
    if (verdict === 'teeters' || verdict === 'carried')
      every(4 * scale, (at) => ctx.fillRect(at, y, 1.6 * scale, high));
  }
}
