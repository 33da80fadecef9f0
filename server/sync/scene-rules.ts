import type * as Y from 'yjs';
import { readDrafts } from '../../core/document/scenes.ts';
import { draftHolding, isSealed, SEALED_FIELD } from '../../core/document/seals.ts';
import { SEPARATOR } from '../../core/document/table.ts';
import type { Role } from '../../core/protocol/index.ts';
import { refusesShot } from './shot-rules.ts';
import type { Touch } from './touched.ts';

const BOARD_ROOTS = ['meta', 'sequences', 'shots', 'drafts', 'cast'];

const SEAL = SEPARATOR + SEALED_FIELD;

interface ScenesContext {
  readonly doc: Y.Doc;
  readonly role: Role;
  readonly calledDrafts: () => ReadonlySet<string>;
}

const CALLED = 'a call is open on this draft; it stays as it is until the call is shown';

/**
 * Why changes of the `scenes` document cannot be taken; null if they can. A seal is set and taken
 * away by a lead alone. A sealed draft stays as it is, row and scene, and so does its shot on the
 * board, unless the same changes take the seal away first. Nor does a draft change while a call is open
 * on it: everybody calls the same pose.
 */
export function refusesScenes(
  touches: readonly Touch[],
  { doc, role, calledDrafts }: ScenesContext,
): string | null {
  const unsealed = new Set<string>();
  const called = calledDrafts();
  for (const { root, key, kind, value } of touches) {
    if (root !== 'drafts' || !key.endsWith(SEAL)) continue;
    const [draft = ''] = key.split(SEPARATOR);
    if (called.has(draft)) return CALLED;
    const sealed = isSealed(doc, draft);
    if (role !== 'lead' && (kind !== 'delete' || sealed))
      return 'a lead alone seals and unseals drafts';
    if (kind === 'delete' || value !== true) unsealed.add(draft);
  }
  for (const touch of touches) {
    const draft = draftHolding(touch.root, touch.key);
    if (draft === null && !BOARD_ROOTS.includes(touch.root)) {
      return 'there is no such part of the scenes';
    }
    if (draft !== null && isSealed(doc, draft) && !unsealed.has(draft)) {
      return 'the draft is sealed; copy it to go on with it';
    }
    if (removesSealed(touch, doc, unsealed)) return 'the shot has a sealed draft';
    const byShot = refusesShot(touch, { doc, role });
    if (byShot !== null) return byShot;
    if (draft !== null && called.has(draft)) return CALLED;
    if (removesShot(touch) && readDrafts(doc, touch.key).some(({ id }) => called.has(id))) {
      return 'a call is open on this shot';
    }
  }
  return null;
}

const removesShot = ({ root, key, kind }: Touch): boolean =>
  root === 'shots' && kind === 'delete' && !key.includes(SEPARATOR);

const removesSealed = (touch: Touch, doc: Y.Doc, unsealed: Set<string>): boolean =>
  removesShot(touch) &&
  readDrafts(doc, touch.key).some(({ id, sealed }) => sealed && !unsealed.has(id));
