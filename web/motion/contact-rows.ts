import { PATCHES, type PatchName } from '../../core/body/index.ts';
import { type FrameSpan, patchWord, touchKey } from '../../core/document/index.ts';
import type { ContactSpan, EditedContact } from '../../core/motion/index.ts';
import type { Patch } from '../bench/movables.ts';
import { joined } from './spans.ts';

/** When one part of a figure carries: sole and toes of a foot are one part. Frames counted from 0. */
export interface ContactRow {
  readonly figure: string;
  /** What people call it, e.g. "left foot". */
  readonly word: string;
  /** Spans of each of its patches. */
  readonly patches: ReadonlyMap<PatchName, readonly FrameSpan[]>;
  /** Whether a person set any of them. */
  readonly byHand: boolean;
  /** The frames over which any of its patches carries, in order, apart from each other. */
  readonly bars: readonly FrameSpan[];
}

export type End = 'from' | 'to';

const partWord = (patch: PatchName): string =>
  /^(?:sole|toes)[LR]$/.test(patch)
    ? `${patch.endsWith('L') ? 'left' : 'right'} foot`
    : patchWord(patch);

/** Rows of all parts that carry at some time, or were set to, in the order of figures and patches. */
export function contactRows(
  found: readonly ContactSpan[],
  edited: readonly EditedContact[],
): ContactRow[] {
  const figures = [...new Set([...found, ...edited].map(({ figure }) => figure))];
  return figures.flatMap((figure) => {
    const parts = new Map<string, ContactRow & { patches: Map<PatchName, readonly FrameSpan[]> }>();
    for (const patch of PATCHES) {
      const own = edited.find((one) => one.figure === figure && one.patch === patch);
      const spans =
        own?.spans ??
        found
          .filter((one) => one.figure === figure && one.patch === patch)
          .map(({ from, to }): FrameSpan => [from, to]);
      if (own === undefined && spans.length === 0) continue;
      const word = partWord(patch);
      const { patches, byHand } = parts.get(word) ?? { patches: new Map(), byHand: false };
      patches.set(patch, spans);
      parts.set(word, {
        ...{ figure, word, patches, byHand: byHand || own !== undefined },
        bars: joined([...patches.values()].flat()),
      });
    }
    return [...parts.values()];
  });
}

/** First and last frame to which an end of a bar can go: it keeps a frame and stays off its neighbours. */
export function roomOf({ bars }: ContactRow, bar: FrameSpan, end: End, last: number): FrameSpan {
  const at = bars.findIndex(([from]) => from === bar[0]);
  return end === 'from'
    ? [(bars[at - 1]?.[1] ?? -2) + 2, bar[1]]
    : [bar[0], (bars[at + 1]?.[0] ?? last + 2) - 2];
}

/**
 * The entries after which a bar begins or ends at another frame: drawn in, the patches that reach beyond
 * are cut; drawn out, those that made the end go with it.
 */
export function withEnd(row: ContactRow, bar: FrameSpan, end: End, frame: number): Patch {
  const [a, b] = bar;
  const [from, to] = end === 'from' ? [frame, b] : [a, frame];
  const move = ([first, last]: FrameSpan): FrameSpan[] => {
    if (last < a || first > b) return [[first, last]];
    const next: FrameSpan = [
      first === a ? from : Math.max(first, from),
      last === b ? to : Math.min(last, to),
    ];
    return next[0] > next[1] ? [] : [next];
  };
  return changed(row, move);
}

/** The entries after which a part does not carry over a bar. */
export const withoutBar = (row: ContactRow, [a, b]: FrameSpan): Patch =>
  changed(row, (span) => (span[1] < a || span[0] > b ? [span] : []));

function changed(row: ContactRow, move: (span: FrameSpan) => readonly FrameSpan[]): Patch {
  const entries = [...row.patches].flatMap(([patch, spans]) => {
    const next = spans.flatMap(move);
    const same = JSON.stringify(next) === JSON.stringify(spans);
    return same ? [] : Object.entries(touchEntries(row.figure, patch, next));
  });
  return Object.fromEntries(entries);
}

/** The entries that set when a patch carries; null: as found. */
export const touchEntries = (
  figure: string,
  patch: PatchName,
  spans: readonly FrameSpan[] | null,
): Patch => ({
  [touchKey(figure, patch)]: spans === null ? undefined : 1,
  [touchKey(figure, patch, 'spans')]: spans === null ? undefined : spans.map((span) => [...span]),
});
