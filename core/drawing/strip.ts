import type { Verdict } from '../balance/types.ts';
import { inscribedCircle } from '../geometry/index.ts';
import type { ClipReading } from '../motion/types.ts';
import { type Ink, type Theme, verdictInk } from './ink.ts';
import { type Sheet, svgSheet } from './sheet.ts';
import type { PagePoint } from './view.ts';

/** One frame of a margin strip. Margins as ratios: 1 in the middle of the support, 0 on its edge. */
export interface StripFrame {
  readonly frame: number;
  readonly verdict: Verdict;
  /** Of the plumb point; null where there is none (no contact, a support without area). */
  readonly ratio: number | null;
  /** Of the extrapolated centre; null as above, or where the frame was weighed at rest. */
  readonly moving: number | null;
}

export interface StripOptions {
  /** Frames a second. */
  readonly rate: number;
  /** Frames at which the support changes. */
  readonly ticks: readonly number[];
  /** A frame to point at, with a word. */
  readonly mark?: { readonly frame: number; readonly word: string } | null;
  readonly title: string;
  /** What a person hears who cannot see the strip. */
  readonly description: string;
  /** CSS pixels; 960 wide if left out. The height follows the verdicts that occur. */
  readonly width?: number;
  readonly theme?: Theme;
  readonly ground?: Ink;
}

/** What a weighed clip shows on its strip. */
export function stripOf({ frames, spans }: ClipReading): {
  readonly frames: readonly StripFrame[];
  readonly ticks: readonly number[];
} {
  return {
    frames: frames.map(({ frame, verdict, reading, marginOfStability }) => {
      const ratio = reading.margin?.ratio ?? null;
      const { polygon, kind } = reading.support;
      const room =
        marginOfStability === null || kind !== 'area' ? 0 : (inscribedCircle(polygon)?.radius ?? 0);
      return {
        frame,
        verdict,
        ratio,
        moving: marginOfStability === null || room <= 0 ? null : marginOfStability / room,
      };
    }),
    ticks: spans.slice(1).map(({ from }) => from),
  };
}

/** Lanes from the top: the order from standing to falling. */
const LANES: readonly Verdict[] = [
  'holds',
  'held',
  'teeters',
  'carried',
  'airborne',
  'falls',
  'unknown',
];

const LEFT = 84;
const RIGHT = 16;
const TOP = 18;
const CHART = 132;
const LANE = 15;
const FOOT = 44;
/** Ratios beyond these are drawn at the edge. */
const HIGHEST = 1;
const LOWEST = -1.5;
const SMALL = 11;

/**
 * The margin strip as an SVG document. Above: the margin ratio over the frames, a full line for the
 * plumb point and a dashed one for the extrapolated centre; up is inside the support. Beneath: one lane
 * for each verdict that occurs, filled where it holds true, so that place and word tell what the ink
 * repeats. Support changes are ticks under the chart. Throws RangeError without frames.
 */
export function drawStrip(frames: readonly StripFrame[], options: StripOptions): string {
  const [first] = frames;
  if (first === undefined) throw new RangeError('a strip needs at least one frame');
  const { width = 960, theme = 'page' } = options;
  const lanes = LANES.filter((verdict) => frames.some((frame) => frame.verdict === verdict));
  const laneTop = TOP + CHART + 12;
  const bottom = laneTop + lanes.length * LANE;
  const height = bottom + FOOT;
  const sheet = svgSheet({
    width,
    height,
    theme,
    title: options.title,
    description: options.description,
    ...(options.ground === undefined ? {} : { ground: options.ground }),
  });
  const right = width - RIGHT;
  const from = first.frame;
  /** Left edge of a frame; each is as wide as its share of the strip. */
  const x = (frame: number): number => LEFT + ((frame - from) / frames.length) * (right - LEFT);
  const y = (ratio: number): number =>
    TOP + ((HIGHEST - Math.min(HIGHEST, Math.max(LOWEST, ratio))) / (HIGHEST - LOWEST)) * CHART;
  const place: Place = { x, y, left: LEFT, right, top: TOP, chartBottom: TOP + CHART, bottom };

  const ticks = options.ticks.filter((tick) => tick >= from && tick < from + frames.length);

  sheet.part('lanes', () => drawLanes(sheet, place, frames, lanes, laneTop));
  sheet.part('scale', () => drawScale(sheet, place, frames, options.rate, ticks));
  sheet.part('changes', () => {
    for (const tick of ticks) {
      const at = x(tick);
      // Between chart and lanes, where no line runs over them.
      const ends: PagePoint[] = [
        [at, TOP + CHART],
        [at, TOP + CHART + 9],
      ];
      sheet.shape([ends], false, { stroke: { ink: 'ink', width: 1.5 } });
    }
  });
  sheet.part('moving', () =>
    drawLine(sheet, place, frames, ({ moving }) => moving, {
      ...{ ink: 'carried', width: 1.5, dash: [4, 3] },
    }),
  );
  sheet.part('margin', () =>
    drawLine(sheet, place, frames, ({ ratio }) => ratio, { ink: 'ink', width: 1.5 }),
  );
  const { mark } = options;
  if (mark) sheet.part('mark', () => drawMark(sheet, place, mark));
  return sheet.finish();
}

interface Stroke {
  readonly ink: Ink;
  readonly width: number;
  readonly dash?: readonly number[];
}

interface Place {
  readonly x: (frame: number) => number;
  readonly y: (ratio: number) => number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly chartBottom: number;
  readonly bottom: number;
}

function segment(sheet: Sheet, from: PagePoint, to: PagePoint, stroke: Stroke): void {
  sheet.shape([[from, to]], false, { stroke });
}

const LANE_WORDS: Readonly<Partial<Record<Verdict, string>>> = { unknown: 'cannot tell' };

function drawLanes(
  sheet: Sheet,
  { x, left, right, top, chartBottom }: Place,
  frames: readonly StripFrame[],
  lanes: readonly Verdict[],
  laneTop: number,
): void {
  const runs = runsOf(frames);
  lanes.forEach((verdict, lane) => {
    const high = laneTop + lane * LANE;
    const ink = verdictInk(verdict);
    sheet.text([left - 8, high + LANE - 4], LANE_WORDS[verdict] ?? verdict, {
      ...{ ink: 'ink', size: SMALL, anchor: 'end' },
    });
    const base = high + LANE - 2;
    segment(sheet, [left, base], [right, base], { ink: 'rule', width: 1 });
    const own = runs.filter((run) => run.verdict === verdict);
    const box = (run: Run, y1: number, y2: number): PagePoint[] => {
      // A single frame of thousands still shows.
      const [x1, x2] = [x(run.from), Math.max(x(run.to + 1), x(run.from) + 1)];
      return [
        [x1, y1],
        [x2, y1],
        [x2, y2],
        [x1, y2],
      ];
    };
    sheet.shape(
      own.map((run) => box(run, high + 1, high + LANE - 2)),
      true,
      { fill: ink },
    );
    sheet.shape(
      own.map((run) => box(run, top, chartBottom)),
      true,
      {
        ...{ fill: ink, fillOpacity: 0.1 },
      },
    );
  });
}

interface Run {
  readonly verdict: Verdict;
  readonly from: number;
  to: number;
}

function runsOf(frames: readonly StripFrame[]): Run[] {
  const runs: Run[] = [];
  for (const { frame, verdict } of frames) {
    const last = runs.at(-1);
    if (last?.verdict === verdict) last.to = frame;
    else runs.push({ verdict, from: frame, to: frame });
  }
  return runs;
}

/** Steps of frame numbers that read well. */
const STEPS = [1, 2, 5];
/** Pixels that a frame number needs. */
const NUMBER_ROOM = 70;

function drawScale(
  sheet: Sheet,
  { x, y, left, right, top, chartBottom, bottom }: Place,
  frames: readonly StripFrame[],
  rate: number,
  ticks: readonly number[],
): void {
  for (const ratio of [HIGHEST, 0, -1]) {
    const edge = ratio === 0;
    segment(sheet, [left, y(ratio)], [right, y(ratio)], { ink: edge ? 'ink' : 'rule', width: 1 });
    const word = edge ? 'edge 0' : ratio > 0 ? 'middle 1' : '\u22121';
    sheet.text([left - 8, y(ratio) + 4], word, { ink: 'pencil', size: SMALL, anchor: 'end' });
  }
  segment(sheet, [left, top], [left, chartBottom], { ink: 'rule', width: 1 });
  const count = frames.length;
  const from = frames[0]?.frame ?? 0;
  const least = (count * NUMBER_ROOM) / Math.max(1, right - left);
  const step = niceStep(least);
  for (let frame = Math.ceil(from / step) * step; frame < from + count; frame += step) {
    const at = x(frame);
    segment(sheet, [at, bottom], [at, bottom + 4], { ink: 'pencil', width: 1 });
    sheet.text([at, bottom + 16], String(frame), { ink: 'ink', size: SMALL, anchor: 'start' });
  }
  const note = { ink: 'pencil', size: SMALL } as const;
  const rateText = `frames at ${Number(rate.toFixed(2))} a second`;
  const changes = ticks.length === 0 ? '' : '; ticks under the chart: the support changes';
  sheet.text([left, bottom + 34], rateText + changes, { ...note, anchor: 'start' });
  const inMotion = frames.some(({ moving }) => moving !== null);
  const lines = inMotion ? 'margin: full line at rest, dashed in motion' : 'margin at rest';
  sheet.text([right, bottom + 34], lines, { ...note, anchor: 'end' });
}

/** The smallest of 1, 2, 5, 10, 20 ... that is at least `least`. */
function niceStep(least: number): number {
  for (let power = 1; ; power *= 10) {
    for (const step of STEPS) if (step * power >= least) return step * power;
  }
}

/** A line through the frames' middles; of frames that share a pixel the lowest and the highest. */
function drawLine(
  sheet: Sheet,
  { x, y }: Place,
  frames: readonly StripFrame[],
  read: (frame: StripFrame) => number | null,
  stroke: Stroke,
): void {
  const lines: PagePoint[][] = [];
  let line: PagePoint[] = [];
  let column = Number.NaN;
  let low = 0;
  let high = 0;
  let at = 0;
  const put = (): void => {
    if (Number.isNaN(column)) return;
    line.push([at, y(high)]);
    if (low !== high) line.push([at, y(low)]);
    column = Number.NaN;
  };
  for (const frame of frames) {
    const value = read(frame);
    if (value === null) {
      put();
      if (line.length > 0) lines.push(line);
      line = [];
      continue;
    }
    const middle = x(frame.frame + 0.5);
    if (Math.floor(middle) === column) {
      low = Math.min(low, value);
      high = Math.max(high, value);
      continue;
    }
    put();
    column = Math.floor(middle);
    at = middle;
    low = value;
    high = value;
  }
  put();
  if (line.length > 0) lines.push(line);
  // A stretch of one frame is a dot, not nothing.
  const drawn = lines.map((points) =>
    points.length > 1
      ? points
      : points.flatMap(([px, py]): PagePoint[] => [
          [px - 1, py],
          [px + 1, py],
        ]),
  );
  if (drawn.length > 0) sheet.shape(drawn, false, { stroke });
}

function drawMark(
  sheet: Sheet,
  { x, left, right, top, chartBottom }: Place,
  { frame, word }: { readonly frame: number; readonly word: string },
): void {
  const at = x(frame + 0.5);
  if (at < left || at > right) return;
  segment(sheet, [at, top], [at, chartBottom], { ink: 'pencil', width: 1, dash: [2, 3] });
  const head: PagePoint[] = [
    [at - 4, top - 5],
    [at + 4, top - 5],
    [at, top + 1],
  ];
  sheet.shape([head], true, { fill: 'ink' });
  const late = at > (left + right) / 2;
  sheet.text([at + (late ? -7 : 7), top - 5], word, {
    ...{ ink: 'ink', size: SMALL, anchor: late ? 'end' : 'start', halo: 'sheet' },
  });
}
