import type * as Y from 'yjs';
import { asRecord } from '../../core/document/decode.ts';
import { type RecordRoot, recordMap } from '../../core/document/record.ts';

/** Values that were taken out of a record, by root and key, as they were. */
export type Kept = Readonly<Partial<Record<RecordRoot, Readonly<Record<string, unknown>>>>>;

/** What in a record tells how a shot and its drafts balance. */
export function readingsIn(record: Y.Doc, shot: string, drafts: readonly string[]): Kept {
  const ofDrafts = (root: RecordRoot): Record<string, unknown> =>
    Object.fromEntries(
      drafts.flatMap((draft) => {
        const value = recordMap(record, root).get(draft);
        return value === undefined ? [] : [[draft, value]];
      }),
    );
  const decisions: Record<string, unknown> = {};
  for (const [id, value] of recordMap(record, 'decisions').entries()) {
    const fields = asRecord(value);
    if (fields?.shot === shot && fields.reading != null) decisions[id] = value;
  }
  return { history: ofDrafts('history'), seals: ofDrafts('seals'), decisions };
}

/** Takes readings out of a record: settled ones and those of seals whole, of a decision the reading alone. */
export function takeOut(record: Y.Doc, { history = {}, seals = {}, decisions = {} }: Kept): void {
  for (const draft of Object.keys(history)) recordMap(record, 'history').delete(draft);
  for (const draft of Object.keys(seals)) recordMap(record, 'seals').delete(draft);
  for (const [id, value] of Object.entries(decisions)) {
    recordMap(record, 'decisions').set(id, { ...asRecord(value), reading: null });
  }
}

export function putBack(record: Y.Doc, kept: Kept): void {
  for (const [root, values] of Object.entries(kept)) {
    for (const [key, value] of Object.entries(values)) {
      recordMap(record, root as RecordRoot).set(key, value);
    }
  }
}
