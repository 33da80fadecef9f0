import {
  assess,
  type BalanceReport,
  type FigureReading,
  type GroupReading,
  type Verdict,
} from '../../core/balance/index.ts';
import {
  type ClipFrame,
  type ClipReading,
  type ClipSource,
  carryingParts,
  supportSpans,
  weighClip,
  withContactSpans,
} from '../../core/motion/index.ts';
import type { Scene } from '../../core/scene/index.ts';

/** A file that can be weighed frame by frame; its rate is 1 where it is one pose. */
export interface WeighedSource extends ClipSource {
  /** The file as it was given. */
  readonly source: string;
  readonly name: string;
  /** How it was read, as sentences. */
  readonly remarks: readonly string[];
  /**
   * What a reading comes to where the file itself leaves something open (the depth of a picture); null
   * where a reading says what it says. Such files are weighed at rest: speeds are not known either.
   */
  readonly judge: ((reading: GroupReading | FigureReading) => Judged) | null;
}

/** A verdict with its sentence. */
export interface Judged {
  readonly verdict: Verdict;
  readonly sentence: string;
}

export interface WeighedFrame {
  readonly frame: number;
  /** Seconds from the first frame. */
  readonly time: number;
  readonly scene: Scene;
  readonly report: BalanceReport;
  /** What speed makes of the groups, by the group's id; empty where it was weighed at rest. */
  readonly moving: ReadonlyMap<string, ClipFrame>;
  /** Of the file that it comes from. */
  readonly judge: WeighedSource['judge'];
}

export interface Weighed {
  readonly frames: readonly WeighedFrame[];
  /** What is said of the clip as a whole, one for each figure or pair; empty at rest. */
  readonly motion: readonly { readonly figure: string; readonly reading: ClipReading }[];
}

/** Every frame from `first` to `last` as a held pose. */
export function weighAtRest(source: WeighedSource, first: number, last: number): Weighed {
  return { frames: framesOf(source, source, first, last, []), motion: [] };
}

/**
 * Every frame from `first` to `last` in motion: the whole clip is weighed, since the speed at a frame
 * comes from those about it. Figures that are not there in every frame are weighed at rest.
 */
export function weighInMotion(source: WeighedSource, first: number, last: number): Weighed {
  const motion: { figure: string; reading: ClipReading }[] = [];
  for (const figure of alwaysThere(source)) {
    // A partner that was in the same group all along has been weighed with it.
    if (motion.some(({ reading }) => reading.frames.every(holds(figure)))) continue;
    const contacts = motion[0]?.reading.contacts;
    const known = contacts === undefined ? {} : { contacts };
    motion.push({ figure, reading: weighClip(source, { figure, slowest: true, ...known }) });
  }
  const contacts = motion[0]?.reading.contacts;
  const settled = contacts === undefined ? source : withContactSpans(source, contacts);
  return { frames: framesOf(source, settled, first, last, motion), motion };
}

const holds =
  (figure: string) =>
  ({ reading }: ClipFrame): boolean =>
    reading.members.includes(figure);

function alwaysThere({ frameCount, sceneAt }: ClipSource): string[] {
  let there: string[] = sceneAt(0).figures.map(({ id }) => id);
  for (let frame = 1; frame < frameCount && there.length > 0; frame++) {
    const now = new Set(sceneAt(frame).figures.map(({ id }) => id));
    there = there.filter((id) => now.has(id));
  }
  return there;
}

function framesOf(
  { rate, judge }: WeighedSource,
  settled: ClipSource,
  first: number,
  last: number,
  motion: Weighed['motion'],
): WeighedFrame[] {
  const frames: WeighedFrame[] = [];
  for (let frame = first; frame <= last; frame++) {
    const scene = settled.sceneAt(frame);
    const report = assess(scene);
    const moving = new Map<string, ClipFrame>();
    for (const { figure, reading } of motion) {
      const group = report.groups.find(({ members }) => members.includes(figure));
      const weighed = reading.frames[frame];
      if (group && weighed) moving.set(group.id, weighed);
    }
    frames.push({ frame, time: frame / rate, scene, report, moving, judge });
  }
  return frames;
}

/** The verdict of a group at a frame with its sentence: in motion where that is known. */
export function judgedOf({ moving, judge }: WeighedFrame, group: GroupReading): Judged {
  return moving.get(group.id) ?? judge?.(group) ?? group;
}

/** Frames at which what carries changes, for a clip weighed at rest. */
export function changesAtRest(frames: readonly WeighedFrame[], rate: number): number[] {
  const parts = frames.map(({ report }) => carryingParts(report.contacts));
  const first = frames[0]?.frame ?? 0;
  return supportSpans(parts, rate)
    .slice(1)
    .map(({ from }) => first + from);
}
