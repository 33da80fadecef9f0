import type * as Y from 'yjs';
import { fitsShotField } from '../../core/document/shot-terms.ts';
import { SEPARATOR } from '../../core/document/table.ts';
import type { Role } from '../../core/protocol/index.ts';
import type { Touch } from './touched.ts';

/**
 * Why a change of a shot's row cannot be taken; null if it can. A lead alone signs off, and takes a
 * sign-off back; states and days are of their kinds.
 */
export function refusesShot(
  { root, key, kind, value }: Touch,
  { doc, role }: { readonly doc: Y.Doc; readonly role: Role },
): string | null {
  if (root !== 'shots') return null;
  const [, field] = key.split(SEPARATOR);
  if (field === undefined) return null;
  if (kind === 'set' && !fitsShotField(field, value)) return `a shot has no such ${field}`;
  if (field !== 'state' || role === 'lead') return null;
  const signedOff = doc.getMap<unknown>('shots').get(key) === 'signed-off';
  const signsOff = kind === 'set' && value === 'signed-off';
  if (signsOff === signedOff) return null;
  return signsOff ? 'a lead alone signs off' : 'the shot is signed off; a lead takes that back';
}
