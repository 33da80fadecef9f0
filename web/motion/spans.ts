import type { FrameSpan } from '../../core/document/index.ts';

/** Spans as people write them, frames as the shot counts: "1-10, 18". */
export const saySpans = (spans: readonly FrameSpan[], first: number): string =>
  spans
    .map(([from, to]) => (from === to ? `${from + first}` : `${from + first}-${to + first}`))
    .join(', ');

/**
 * Reads spans as people write them, counted from 0, sorted, those that touch made one; null for text
 * that is no list of frames.
 */
export function readSpans(text: string, first: number): FrameSpan[] | null {
  const parts = text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  const spans: [number, number][] = [];
  for (const part of parts) {
    const [, from, to = from] = /^(\d+)(?:\s*[-\u2013]\s*(\d+))?$/.exec(part) ?? [];
    if (from === undefined || to === undefined) return null;
    const ends = [Number(from) - first, Number(to) - first].sort((a, b) => a - b);
    const [low = 0, high = 0] = ends;
    if (low < 0) return null;
    spans.push([low, high]);
  }
  return joined(spans);
}

/** Spans in order, those that touch made one. */
export function joined(spans: readonly FrameSpan[]): FrameSpan[] {
  const apart: [number, number][] = [];
  for (const [from, to] of [...spans].sort((a, b) => a[0] - b[0])) {
    const last = apart.at(-1);
    if (last !== undefined && from <= last[1] + 1) last[1] = Math.max(last[1], to);
    else apart.push([from, to]);
  }
  return apart;
}
