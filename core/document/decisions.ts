import type * as Y from 'yjs';
import { byTime } from './by-time.ts';
import { asOneOf, asRecord, asText } from './decode.ts';
import { type Recorded, recordMap, toRecorded } from './record.ts';
import { SHOT_STATES, type ShotState } from './scenes.ts';

/**
 * A change of a shot's state, as the server saw it: root `decisions` of the `record` document, one
 * entry an id.
 */
export interface Decision {
  readonly id: string;
  readonly shot: string;
  /** The draft that was current then; null for a shot without drafts. */
  readonly draft: string | null;
  readonly from: ShotState;
  readonly to: ShotState;
  /** Person id. */
  readonly by: string;
  readonly at: string;
  /** How the draft balanced then; null without a draft. */
  readonly reading: Recorded | null;
}

/** All decisions, the oldest first. */
export const readDecisions = (record: Y.Doc): Decision[] =>
  [...recordMap(record, 'decisions').entries()]
    .flatMap(([id, value]) => toDecision(id, value))
    .sort(byTime);

function toDecision(id: string, value: unknown): Decision[] {
  const fields = asRecord(value);
  const shot = asText(fields?.shot);
  const by = asText(fields?.by);
  const at = asText(fields?.at);
  const to = asOneOf(fields?.to, SHOT_STATES);
  if (fields === null || shot === null || by === null || at === null || to === null) return [];
  const from = asOneOf(fields.from, SHOT_STATES) ?? 'in-work';
  const draft = asText(fields.draft);
  return [{ id, shot, draft, from, to, by, at, reading: toRecorded(fields.reading) }];
}

/** Writes a decision; the server alone does. */
export function putDecision(record: Y.Doc, { id, ...fields }: Decision): void {
  recordMap(record, 'decisions').set(id, fields);
}
