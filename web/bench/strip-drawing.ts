import type { Verdict } from '../../core/balance/index.ts';
import type { WeighedFrame } from './weighing.ts';

/** What the strip is drawn with: the page's colours as they are now. */
export interface StripInks {
  readonly ink: string;
  readonly pencil: string;
  readonly verdicts: Readonly<Record<Verdict, string>>;
}

export interface StripMeasures {
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  readonly frameCount: number;
}

/** Margin ratios beyond this are drawn at the edge. */
const RANGE = 1.1;
/** Height of the band that repeats the verdict by pattern, CSS pixels. */
const BAND = 8;

/** Left edge of a frame's slot, CSS pixels. */
export const frameX = ({ width, frameCount }: StripMeasures, frame: number): number =>
  (frame / Math.max(frameCount, 1)) * width;

/** The frame whose slot holds x. */
export function frameAt({ width, frameCount }: StripMeasures, x: number): number {
  const frame = Math.floor((x / Math.max(width, 1)) * frameCount);
  return Math.max(0, Math.min(frameCount - 1, frame));
}

/** Pattern of a verdict in the band: full, slanted strokes, full and crossed, dots. */
function band(
  context: CanvasRenderingContext2D,
  verdict: Verdict,
  colour: string,
  [x, y, width]: readonly [number, number, number],
): void {
  context.fillStyle = colour;
  context.strokeStyle = colour;
  if (verdict === 'holds' || verdict === 'held') {
    context.fillRect(x, y + BAND / 2 - 1, width, 2);
  } else if (verdict === 'falls') {
    context.fillRect(x, y, width, BAND);
  } else if (verdict === 'airborne' || verdict === 'unknown') {
    for (let at = Math.ceil(x / 5) * 5; at < x + width; at += 5) {
      context.fillRect(at, y + BAND / 2 - 1, 2, 2);
    }
  } else {
    for (let at = Math.ceil(x / 4) * 4; at < x + width; at += 4) context.fillRect(at, y, 2, BAND);
  }
}

/**
 * Draws margin ratios over the frames: up is inside the support, the middle line is its edge. A band
 * below repeats the verdict by pattern, and ticks above mark where the support changes.
 */
export function drawStrip(
  context: CanvasRenderingContext2D,
  frames: readonly (WeighedFrame | null)[],
  measures: StripMeasures,
  inks: StripInks,
): void {
  const { width, height } = measures;
  context.clearRect(0, 0, width, height);
  const chart = height - BAND - 4;
  const zero = chart / 2 + 4;
  const y = (ratio: number): number =>
    zero - (Math.max(-RANGE, Math.min(RANGE, ratio)) / RANGE) * (chart / 2 - 6);
  const slot = width / Math.max(frames.length, 1);
  frames.forEach((frame, i) => {
    if (frame === null) return;
    const x = frameX(measures, i);
    const wide = Math.max(slot, 1);
    const colour = inks.verdicts[frame.verdict];
    if (frame.ratio !== null) {
      const top = y(frame.ratio);
      context.fillStyle = colour;
      context.globalAlpha = 0.22;
      context.fillRect(x, Math.min(top, zero), wide, Math.abs(top - zero));
      context.globalAlpha = 1;
      context.fillRect(x, top - 1, wide, 2);
    }
    band(context, frame.verdict, colour, [x, height - BAND, wide]);
    const before = frames[i - 1];
    if (before && before.contacts !== frame.contacts) {
      context.fillStyle = inks.pencil;
      context.fillRect(x, 0, 1, 7);
    }
  });
  context.fillStyle = inks.ink;
  context.fillRect(0, zero, width, 1);
}
