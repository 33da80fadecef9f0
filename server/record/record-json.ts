import { gatherReview, type ReviewDocs, readScene } from '../../core/document/index.ts';
import { SHEET_CAUTION } from '../../core/sheet/index.ts';

/** Version of the shape below. */
const VERSION = 1;

/** Everything that a review says as JSON text. SI units; Y up; plan coordinates are (x, z). */
export function recordJson(docs: ReviewDocs, { review, at }: { review: string; at: Date }): string {
  const { shots, ...rest } = gatherReview(docs);
  return JSON.stringify(
    {
      format: 'counterlean-record',
      version: VERSION,
      review,
      madeAt: at.toISOString(),
      caution: SHEET_CAUTION,
      ...rest,
      shots: shots.map(({ drafts, ...shot }) => ({
        ...shot,
        drafts: drafts.map((draft) => ({ ...draft, scene: readScene(docs.scenes, draft.id) })),
      })),
    },
    null,
    1,
  );
}
