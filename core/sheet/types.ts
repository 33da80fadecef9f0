import type { BalanceReport, Verdict } from '../balance/types.ts';
import type { Scene } from '../scene/types.ts';

/** A draft as it was weighed for the sheet, or why it could not be. */
export type Weighed =
  | { readonly scene: Scene; readonly report: BalanceReport }
  | { readonly problem: string };

/** Something on a sheet, whatever it is written on. */
export type Block =
  /** What the page is about, with its terms below. */
  | { readonly kind: 'head'; readonly title: string; readonly terms: string }
  /** Two drawings side by side. */
  | { readonly kind: 'drawings'; readonly weighed: Extract<Weighed, { scene: Scene }> }
  | {
      readonly kind: 'verdict';
      readonly word: string;
      readonly verdict: Verdict;
      readonly sentence: string;
    }
  /** A word with what it says beside it. */
  | { readonly kind: 'pair'; readonly name: string; readonly value: string }
  /** The title of a part. */
  | { readonly kind: 'part'; readonly title: string }
  /** A sentence; `quiet`: that there is nothing. */
  | { readonly kind: 'line'; readonly text: string; readonly quiet: boolean }
  | {
      readonly kind: 'note';
      readonly number: number;
      readonly head: string;
      readonly text: string;
      readonly foot: string;
      readonly replies: readonly { readonly head: string; readonly text: string }[];
    };

/** What stands before the shots. */
export interface Cover {
  readonly title: string;
  readonly made: string;
  readonly counts: string;
  readonly tally: string;
  /** A line for each person. */
  readonly people: readonly string[];
}

/** A row of the contents. */
export type ContentsRow =
  | { readonly kind: 'sequence'; readonly title: string }
  | {
      readonly kind: 'shot';
      readonly id: string;
      readonly code: string;
      readonly title: string;
      readonly state: string;
      /** How its current draft settled. */
      readonly margin: { readonly text: string; readonly verdict: Verdict } | null;
    };
