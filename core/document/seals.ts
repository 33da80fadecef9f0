import type * as Y from 'yjs';
import { castMap, detachFigures } from './cast.ts';
import { SEPARATOR } from './table.ts';

/**
 * A sealed draft is kept as it is: the server takes no change of its row or its scene until a lead
 * unseals it. Its figures' bodies are written into it first, so that it no longer follows the cast. The mark is the field `sealed` of the draft's row, which only a lead may write.
 */
export const SEALED_FIELD = 'sealed';

/** Whether a draft is sealed; false for one that is not there. */
export const isSealed = (doc: Y.Doc, draft: string): boolean =>
  doc.getMap<unknown>('drafts').get(draft + SEPARATOR + SEALED_FIELD) === true;

const SCENE_ROOT = 'draft:';

/**
 * The draft whose row or scene an entry of the scenes document belongs to; null for other parts of the
 * board, and for a seal, which is no part of what it seals.
 */
export function draftHolding(root: string, key: string): string | null {
  if (root.startsWith(SCENE_ROOT)) return root.slice(SCENE_ROOT.length);
  if (root !== 'drafts') return null;
  const [draft = '', field] = key.split(SEPARATOR);
  return field === SEALED_FIELD ? null : draft;
}

/** Seals a draft, or takes its seal away. */
export function sealDraft(doc: Y.Doc, draft: string, sealed: boolean, origin: unknown): void {
  const drafts = doc.getMap<unknown>('drafts');
  const key = draft + SEPARATOR + SEALED_FIELD;
  doc.transact(() => {
    if (sealed) {
      detachFigures(doc.getMap(SCENE_ROOT + draft), new Map(castMap(doc).entries()));
      drafts.set(key, true);
    }
    // Without the field, so that anybody who may change drafts can remove the row whole.
    else drafts.delete(key);
  }, origin);
}
