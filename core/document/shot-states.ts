import type * as Y from 'yjs';
import { copyDraft, putShot, readDraft, type ShotState } from './scenes.ts';
import { sealDraft } from './seals.ts';

export interface StateChange {
  readonly shot: string;
  readonly state: ShotState;
  /** The draft that the state is about; null: none. */
  readonly draft: string | null;
  /** Makes the id of a draft. */
  readonly newId: () => string;
}

/**
 * Sets the state of a shot, with what that does to its draft: signing off seals it, so that it stays; a
 * retake of a sealed draft opens a new one from it, to which the notes that still stand come along.
 * @returns the draft that a retake opened; null where none was needed
 */
export function applyState(
  doc: Y.Doc,
  { shot, state, draft, newId }: StateChange,
  origin: unknown,
): string | null {
  return doc.transact(() => {
    putShot(doc, { id: shot, state }, origin);
    const source = draft === null ? null : readDraft(doc, draft);
    if (source === null) return null;
    if (state === 'signed-off') sealDraft(doc, source.id, true, origin);
    if (state !== 'retake' || !source.sealed) return null;
    const retake = newId();
    copyDraft(doc, source, { id: retake, title: 'retake' }, origin);
    return retake;
  }, origin);
}
