import type * as Y from 'yjs';
import { assess } from '../core/balance/index.ts';
import type { BalanceReport } from '../core/balance/types.ts';
import {
  type ClipLink,
  castMap,
  draftEntries,
  movingDraft,
  readDraft,
  readSceneEntries,
  readShots,
  readTouches,
  type ShotTiming,
} from '../core/document/index.ts';
import { drawScene } from '../core/drawing/index.ts';
import { judgedReport, type MovingClip } from '../core/formats/index.ts';
import {
  type ClipSource,
  finish,
  type MotionSummary,
  weighClipSteps,
  worstInMotion,
} from '../core/motion/index.ts';
import type { Scene } from '../core/scene/types.ts';
import type { Clips } from './clips.ts';
import { AppError } from './errors.ts';

/** A way of looking at a drawn scene. */
export const VIEWS = ['front', 'side', 'plan'] as const;
export type View = (typeof VIEWS)[number];

/** The balance computation, core/balance's `assess`. */
export type Assess = (scene: Scene) => BalanceReport;

// Size of a drawing that is asked for by address: wide enough to print on half a sheet.
const PICTURE = { width: 640, height: 480, theme: 'paper', ground: 'paper' } as const;

export const drawPicture = (scene: Scene, report: BalanceReport, view: View): string =>
  drawScene(scene, report, { ...PICTURE, view });

export { assess };

/** Where a draft is: its document, its review, its id, and the clip that it plays. */
export interface DraftPlace {
  readonly doc: Y.Doc;
  readonly review: string;
  readonly draft: string;
  readonly clip: ClipLink | null;
}

/**
 * The scene of a draft without a clip as the page weighs it: its pose, or what its keys make of it.
 * @param frame counted from 0
 * @throws AppError when it has no such frame
 */
export function sceneWithoutClip(doc: Y.Doc, draft: string, frame: number): Scene {
  const entries = draftEntries(doc, draft);
  const moving = movingDraft(new Map(entries.entries()), null, timingOf(doc, draft), castMap(doc));
  if (moving === null) return readSceneEntries(entries, castMap(doc));
  return sceneAt(moving, frame);
}

/**
 * The scene of a draft as the page weighs it.
 * @param frame of its clip or its keys, counted from 0
 * @throws AppError when the clip's file is not here, cannot be read, or has no such frame
 */
export async function sceneOfDraft(
  { doc, review, draft, clip: link }: DraftPlace,
  frame: number,
  clips: Pick<Clips, 'read'>,
): Promise<Scene> {
  if (link === null) return sceneWithoutClip(doc, draft, frame);
  const clip = await clips.read(review, link);
  // Read after the file: the draft as it is now.
  const entries = new Map(draftEntries(doc, draft).entries());
  const moving = movingDraft(entries, clip, timingOf(doc, draft), castMap(doc));
  return moving === null ? clip.sceneAt(frame) : sceneAt(moving, frame);
}

/** The scene of a draft with its report; figures that were fitted to a picture are told as far as it shows. */
export async function weighDraft(
  place: DraftPlace,
  frame: number,
  clips: Pick<Clips, 'read'>,
  weigh: Assess = assess,
): Promise<{ readonly scene: Scene; readonly report: BalanceReport }> {
  const scene = await sceneOfDraft(place, frame, clips);
  const judge = place.clip === null ? null : (await clips.read(place.review, place.clip)).judge;
  const report = weigh(scene);
  return { scene, report: judge === null ? report : judgedReport(report, judge) };
}

/**
 * Longer clips are weighed by the pages that open them only. What is kept of a frame until all are judged
 * takes some 6 KB a figure (as measured): 120 MB for a figure that moves in so many.
 */
const MOST_FRAMES = 20_000;
/** Frames between two looks at what else there is to do. */
const CHUNK = 20;

/**
 * The worst of a draft in motion, weighed as the page weighs it, a few frames at a time. Null where
 * nothing moves, where the file leaves depth open, for clips of more than MOST_FRAMES, and where
 * `isStale` says meanwhile that nobody waits for it any more.
 * @throws AppError as sceneOfDraft
 */
export async function worstOfDraft(
  { doc, review, draft, clip: link }: DraftPlace,
  clips: Pick<Clips, 'read'>,
  isStale: () => boolean = () => false,
): Promise<MotionSummary | null> {
  if (isStale()) return null;
  const clip = link === null ? null : await clips.read(review, link);
  if (clip?.judge) return null;
  const steps = motionSteps(doc, draft, clip);
  if (steps === null) return null;
  while (!isStale()) {
    const step = steps.next();
    if (step.done) return worstInMotion(step.value);
    await new Promise((resolve) => setImmediate(resolve));
  }
  return null;
}

/** The same at once, of a draft without a clip. */
export function worstWithoutClip(doc: Y.Doc, draft: string): MotionSummary | null {
  const steps = motionSteps(doc, draft, null);
  return steps === null ? null : worstInMotion(finish(steps));
}

function motionSteps(doc: Y.Doc, draft: string, clip: MovingClip | null) {
  const entries = new Map(draftEntries(doc, draft).entries());
  const moving = movingDraft(entries, clip, timingOf(doc, draft), castMap(doc));
  if (moving === null || moving.frameCount > MOST_FRAMES) return null;
  return weighClipSteps(moving, { chunk: CHUNK, edited: readTouches(entries) });
}

function timingOf(doc: Y.Doc, draft: string): ShotTiming {
  const id = readDraft(doc, draft)?.shot;
  return readShots(doc).find((shot) => shot.id === id) ?? { rate: 24, frames: [1, 1] };
}

function sceneAt({ frameCount, sceneAt: at }: ClipSource, frame: number): Scene {
  if (frame < frameCount) return at(frame);
  throw new AppError(
    'bad-input',
    `The clip has frames 0 to ${frameCount - 1}, not ${frame}.`,
    'Ask for one of these.',
  );
}
