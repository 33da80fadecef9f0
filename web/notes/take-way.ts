import { type Attachment, copyDraft, readDraft, setEntries } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';

/**
 * Takes a way back that came with a note: into the draft it was made for where that is the newest and
 * may change, else into a new draft from it, so that nobody's later work is changed.
 * @param newest id of the shot's newest draft
 * @returns the draft to look at; null where the draft it was made for is gone
 */
export function takeWay(
  session: Session,
  way: Extract<Attachment, { kind: 'way' }>,
  newest: string,
): string | null {
  const doc = session.documents.scenes;
  const draft = readDraft(doc, way.draft);
  if (draft === null) {
    session.say('The draft that this way back was made for is not there any more.');
    return null;
  }
  const inPlace = draft.id === newest && session.staysAsItIs(draft.id) === null;
  const target = inPlace ? draft.id : crypto.randomUUID();
  session.edit('scenes', `took the way back “${way.words}”`, (doc, origin) => {
    if (!inPlace) copyDraft(doc, draft, { id: target, title: way.words }, origin);
    setEntries(doc, target, way.entries, origin);
  });
  return session.mayWrite('scenes') ? target : null;
}
