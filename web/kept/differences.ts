import type * as Y from 'yjs';
import {
  type Draft,
  draftEntries,
  type Note,
  readDrafts,
  readNotes,
  readShots,
  type Shot,
} from '../../core/document/index.ts';

/** A draft that a kept copy has otherwise than the review, or that the review has not. */
export interface KeptDraft {
  readonly draft: Draft;
  /** As the copy has it. */
  readonly shot: Pick<Shot, 'id' | 'code' | 'title'>;
  /** Whether the review has the shot, so that the draft can come back to it. */
  readonly hasShot: boolean;
}

/** A draft's scene as text, the same for the same scene. */
const sceneText = (doc: Y.Doc, draft: string): string =>
  JSON.stringify([...draftEntries(doc, draft).entries()].sort(([a], [b]) => (a < b ? -1 : 1)));

/** The drafts of a copy whose scene the review has not, in no draft of the same shot. */
export function keptDrafts(kept: Y.Doc, now: Y.Doc): KeptDraft[] {
  const shots = new Map(readShots(kept).map((shot) => [shot.id, shot] as const));
  const here = new Set(readShots(now).map(({ id }) => id));
  const known = new Map<string, Set<string>>();
  for (const { id, shot } of readDrafts(now)) {
    known.set(shot, (known.get(shot) ?? new Set()).add(sceneText(now, id)));
  }
  return readDrafts(kept).flatMap((draft) => {
    const shot = shots.get(draft.shot);
    if (shot === undefined || known.get(shot.id)?.has(sceneText(kept, draft.id))) return [];
    return [{ draft, shot, hasShot: here.has(shot.id) }];
  });
}

/** Notes and replies of a copy whose words the review has nowhere. */
export function keptWords(kept: Y.Doc, now: Y.Doc): string[] {
  const wordsOf = (notes: readonly Note[]): string[] =>
    notes.flatMap(({ text, replies }) => [text, ...replies.map((reply) => reply.text)]);
  const known = new Set(wordsOf(readNotes(now)));
  return wordsOf(readNotes(kept)).filter((words) => words !== '' && !known.has(words));
}
