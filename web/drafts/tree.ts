import type { Draft } from '../../core/document/index.ts';

/** One draft in the drawn history: which lane its dot is in, and which lines run through its row. */
export interface TreeRow {
  readonly draft: Draft;
  /** Lane of its dot, 0 on the left. */
  readonly lane: number;
  /** Lane of the draft it came from, where that is another one; null for a first draft and straight on. */
  readonly branch: number | null;
  /** Lanes with a line into the row from above, and out of it below. */
  readonly above: readonly number[];
  readonly below: readonly number[];
}

/**
 * Lays drafts out as a tree in the order of their numbers: the latest draft that came from another
 * goes straight on in its lane, earlier tries beside it get lanes of their own.
 */
export function draftTree(drafts: readonly Draft[]): TreeRow[] {
  const ordered = drafts.toSorted((a, b) => a.number - b.number);
  const rowOf = new Map(ordered.map(({ id }, row) => [id, row] as const));
  // Copies of documents may name an origin that is gone, or one that comes later: no line then.
  const originOf = (draft: Draft): number | null => {
    const row = draft.from === null ? undefined : rowOf.get(draft.from);
    return row !== undefined && row < (rowOf.get(draft.id) ?? 0) ? row : null;
  };
  const children = ordered.map((_, row) =>
    ordered.flatMap((draft, child) => (originOf(draft) === row ? [child] : [])),
  );
  const lanes: number[] = [];
  /** Row until which each lane is taken. */
  const taken: number[] = [];
  ordered.forEach((draft, row) => {
    const origin = originOf(draft);
    const straight = origin !== null && children[origin]?.at(-1) === row;
    const end = children[row]?.at(-1) ?? row;
    const free = taken.findIndex((until) => until < row);
    const lane = straight ? (lanes[origin] ?? 0) : free === -1 ? taken.length : free;
    lanes.push(lane);
    taken[lane] = end;
  });
  return ordered.map((draft, row) => {
    const origin = originOf(draft);
    const lane = lanes[row] ?? 0;
    const running = ordered.flatMap((_, parent) => {
      const last = children[parent]?.at(-1);
      return last === undefined ? [] : [{ lane: lanes[parent] ?? 0, from: parent, to: last }];
    });
    const branch = origin === null || lanes[origin] === lane ? null : (lanes[origin] ?? null);
    return {
      draft,
      lane,
      branch,
      above: lanesOf(running.filter(({ from, to }) => from < row && row <= to)),
      below: lanesOf(running.filter(({ from, to }) => from <= row && row < to)),
    };
  });
}

const lanesOf = (lines: readonly { readonly lane: number }[]): number[] =>
  [...new Set(lines.map(({ lane }) => lane))].sort((a, b) => a - b);
