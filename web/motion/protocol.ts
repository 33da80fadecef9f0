import type { Verdict } from '../../core/balance/index.ts';
import type { ClipLink, ShotTiming } from '../../core/document/index.ts';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import type { ClipReading, ContactSpan, SupportSpan } from '../../core/motion/index.ts';

/** What page and worker say to each other: plain data. */
export type ToWorker =
  /** The bytes of a clip's file, sent once. */
  | { readonly kind: 'file'; readonly file: string; readonly bytes: Uint8Array }
  | { readonly kind: 'weigh'; readonly job: WeighJob }
  | { readonly kind: 'cancel' };

/** A draft in motion, to be weighed. A later job gives the one before it up. */
export interface WeighJob {
  readonly id: number;
  /** Entries of the draft's map. */
  readonly entries: readonly (readonly [string, unknown])[];
  /** Entries of the review's cast. */
  readonly cast: readonly (readonly [string, unknown])[];
  readonly clip: ClipLink | null;
  readonly shot: ShotTiming;
  /** The figure whose group is weighed; null: the main group. */
  readonly figure: string | null;
  /** Whether the slowest speed that still carries is looked for. */
  readonly slowest: boolean;
}

export type FromWorker =
  | {
      readonly kind: 'progress';
      readonly id: number;
      readonly stage: 'reading' | 'contacts' | 'weighing' | 'judging';
      readonly done: number;
      readonly total: number;
    }
  /** Frames as held poses, while the clip is being weighed. */
  | {
      readonly kind: 'resting';
      readonly id: number;
      readonly from: number;
      readonly frames: readonly RestFrame[];
    }
  | {
      readonly kind: 'frames';
      readonly id: number;
      readonly from: number;
      readonly frames: readonly MotionFrame[];
    }
  | { readonly kind: 'done'; readonly id: number; readonly whole: WholeClip }
  | { readonly kind: 'failed'; readonly id: number; readonly message: string };

/** A frame as a held pose. */
export interface RestFrame {
  readonly verdict: Verdict;
  /** Margin over the radius of the largest circle in the support; null without an area. */
  readonly ratio: number | null;
}

/** A frame in motion. Metres, seconds, metres a second. */
export interface MotionFrame {
  readonly verdict: Verdict;
  readonly sentence: string;
  readonly rest: RestFrame;
  /** Margin at rest; null without one. */
  readonly margin: number | null;
  /** Margin of the extrapolated centre, and the same as a ratio like the one at rest. */
  readonly stability: number | null;
  readonly movingRatio: number | null;
  readonly centre: Vec3 | null;
  /** Level speed of the centre. */
  readonly speed: number | null;
  readonly extrapolated: Vec2 | null;
  readonly pressure: Vec2 | null;
  /** Distance of the pressure to the edge of the support, positive inside; null without one. */
  readonly pressureMargin: number | null;
  readonly needed: number | null;
  readonly has: number | null;
  readonly topplesIn: number | null;
}

/** What is said of the clip as a whole. */
export interface WholeClip
  extends Pick<ClipReading, 'counts' | 'worst' | 'stopsFrom' | 'sentences' | 'cutoff'> {
  /** Undefined where it was not looked for. */
  readonly slowest?: number | null;
  readonly spans: readonly SupportSpan[];
  readonly contacts: readonly ContactSpan[];
  /** Sentences on the moments at which a seat lets go. */
  readonly rises: readonly { readonly frame: number; readonly sentence: string }[];
  /** The file leaves depth open, so every frame is weighed as a held pose. */
  readonly atRest: boolean;
}
