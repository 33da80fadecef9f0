import { gatherReview, type ShotRecord } from '../../core/document/index.ts';
import type { Weighed } from '../../core/sheet/index.ts';
import { Clips } from '../clips.ts';
import { AppError } from '../errors.ts';
import { docsOf } from '../history/documents.ts';
import { weighDraft } from '../mechanics.ts';
import type { Documents } from '../storage/point-store.ts';
import { drawSheet } from './draw-sheet.ts';
import type { PaperName } from './paper.ts';

/** What a sheet is made from: plain bytes, so that it can be handed to another thread. */
export interface SheetSource {
  /** States of the three documents. */
  readonly documents: Documents;
  /** Clips that current drafts play, by content hash. */
  readonly clips: ReadonlyMap<string, Uint8Array<ArrayBuffer>>;
  /** Ids of the shots on the sheet; null: all. */
  readonly shots: readonly string[] | null;
  readonly paper: PaperName;
  /** Milliseconds since the epoch. */
  readonly at: number;
}

/** Makes the review sheet as a PDF. */
export async function makeSheet(
  { documents, clips, shots, paper, at }: SheetSource,
  onProgress: (done: number, of: number) => void = () => undefined,
): Promise<Uint8Array> {
  const docs = docsOf(documents);
  const whole = gatherReview(docs);
  const wanted = shots === null ? null : new Set(shots);
  const review = { ...whole, shots: whole.shots.filter(({ id }) => wanted?.has(id) ?? true) };
  const files = {
    get: (_review: string, hash: string) => {
      const bytes = clips.get(hash);
      return bytes === undefined ? null : { bytes, kind: null };
    },
  };
  const played = new Clips(files);
  const weigh = async (shot: ShotRecord): Promise<Weighed | null> => {
    const draft = shot.drafts.at(-1);
    if (draft === undefined) return null;
    try {
      const place = { doc: docs.scenes, review: '', draft: draft.id, clip: draft.clip };
      return await weighDraft(place, 0, played);
    } catch (cause) {
      // A draft that cannot be weighed has its page all the same, with the reason on it.
      if (cause instanceof RangeError || cause instanceof AppError)
        return { problem: cause.message };
      throw cause;
    }
  };
  return drawSheet(review, weigh, {
    paper,
    at: new Date(at),
    onProgress: (done) => onProgress(done, review.shots.length),
  });
}
