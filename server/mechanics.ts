import type * as Y from 'yjs';
import { assess } from '../core/balance/index.ts';
import type { BalanceReport } from '../core/balance/types.ts';
import { TABLES } from '../core/body/index.ts';
import { asOneOf } from '../core/document/decode.ts';
import { type ClipLink, readScene, sceneWithClip } from '../core/document/index.ts';
import { drawScene } from '../core/drawing/index.ts';
import { readClip } from '../core/formats/index.ts';
import type { Scene } from '../core/scene/types.ts';
import { AppError } from './errors.ts';
import type { FileStore } from './storage/file-store.ts';

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
 * The scene of a draft as the page weighs it.
 * @param frame of its clip, counted from 0
 * @throws AppError when the clip's file is not here, cannot be read, or has no such frame
 */
export function sceneOfDraft(
  { doc, review, draft, clip }: DraftPlace,
  frame: number,
  files: FileStore,
): Scene {
  const added = readScene(doc, draft);
  if (clip === null) return added;
  const file = files.get(review, clip.file);
  if (file === null) {
    throw new AppError('not-found', 'The file of this clip is not here.', 'Drop the clip again.');
  }
  const { stature, mass } = clip;
  const table = asOneOf(clip.table, TABLES) ?? TABLES[0];
  const read = readClip(new TextDecoder().decode(file.bytes), { stature, mass, table });
  if (!read.ok) {
    throw new AppError('unreadable', read.message, 'Drop another file on the board.');
  }
  if (frame >= read.clip.frameCount) {
    throw new AppError(
      'bad-input',
      `The clip has frames 0 to ${read.clip.frameCount - 1}, not ${frame}.`,
      'Ask for one of these.',
    );
  }
  return sceneWithClip(added, read.clip.sceneAt(frame));
}
