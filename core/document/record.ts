import type * as Y from 'yjs';
import { VERDICTS, type Verdict } from '../balance/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import type { MotionSummary } from '../motion/index.ts';
import { ROLES, type Role } from '../protocol/roles.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';

/**
 * The `record` document of a review: what only the server knows. Everyone reads it, no client may
 * write it. Root names: `people` (person id -> name, ink, role), `stamps` (id of a note or reply, or
 * `note/state` -> who and when), `history` (draft id -> the reading when the draft last settled),
 * `seals` (draft id -> who sealed it and when, with its reading), `decisions` (decisions.ts), `visits`
 * (visits.ts), `calls` (calls.ts).
 */
export interface Person {
  readonly id: string;
  readonly name: string;
  /** Index of the person's ink, 0..11. */
  readonly ink: number;
  readonly role: Role;
}

export interface Stamp {
  /** Person id. */
  readonly by: string;
  /** ISO 8601 time on the server. */
  readonly at: string;
}

/** The reading of a draft's first group when it last settled. */
export interface Recorded {
  readonly verdict: Verdict;
  /** Metres; null where there is no support. */
  readonly margin: number | null;
  readonly ratio: number | null;
  /** Of the centre, metres, [x, y, z]; null where it was not recorded. */
  readonly centre: Vec3 | null;
  /** Of the support, square metres; null where it was not recorded. */
  readonly area: number | null;
  /** How many contacts carry; null where it was not recorded. */
  readonly contacts: number | null;
  readonly at: string;
  /** Of a draft that moves, once its frames are weighed: the worst of them. */
  readonly moving?: MotionSummary;
}

export type RecordRoot =
  | 'people'
  | 'stamps'
  | 'history'
  | 'decisions'
  | 'visits'
  | 'seals'
  | 'calls';

export const recordMap = (doc: Y.Doc, name: RecordRoot): Y.Map<unknown> =>
  doc.getMap<unknown>(name);

function readAll<T>(
  map: Y.Map<unknown>,
  read: (id: string, value: unknown) => T | null,
): Map<string, T> {
  const all = new Map<string, T>();
  for (const [id, value] of map.entries()) {
    const item = read(id, value);
    if (item !== null) all.set(id, item);
  }
  return all;
}

export const readPeople = (doc: Y.Doc): Map<string, Person> =>
  readAll(recordMap(doc, 'people'), (id, value) => {
    const fields = asRecord(value);
    const role = asOneOf(fields?.role, ROLES);
    if (fields === null || role === null) return null;
    return { id, name: asText(fields.name) ?? 'Someone', ink: asNumber(fields.ink) ?? 0, role };
  });

function toStamp(value: unknown): Stamp | null {
  const fields = asRecord(value);
  const by = asText(fields?.by);
  const at = asText(fields?.at);
  return by && at ? { by, at } : null;
}

export const readStamps = (doc: Y.Doc): Map<string, Stamp> =>
  readAll(recordMap(doc, 'stamps'), (_, value) => toStamp(value));

/** One stamp, without reading the others; null when there is none. */
export const readStamp = (doc: Y.Doc, id: string): Stamp | null =>
  toStamp(recordMap(doc, 'stamps').get(id));

/** A recorded reading as stored; null for what is none. Older ones have no centre and no support. */
export function toRecorded(value: unknown): Recorded | null {
  const fields = asRecord(value);
  const verdict = asOneOf(fields?.verdict, VERDICTS);
  if (fields === null || verdict === null) return null;
  const moving = toMoving(fields.moving);
  return {
    ...(moving === null ? {} : { moving }),
    verdict,
    margin: asNumber(fields.margin),
    ratio: asNumber(fields.ratio),
    centre: asVec3(fields.centre),
    area: asNumber(fields.area),
    contacts: asNumber(fields.contacts),
    at: asText(fields.at) ?? '',
  };
}

function toMoving(value: unknown): MotionSummary | null {
  const fields = asRecord(value);
  const verdict = asOneOf(fields?.verdict, VERDICTS);
  const [frame, frames] = [asNumber(fields?.frame), asNumber(fields?.frames)];
  return verdict === null || frame === null || frames === null ? null : { verdict, frame, frames };
}

export const readHistory = (doc: Y.Doc): Map<string, Recorded> =>
  readAll(recordMap(doc, 'history'), (_, value) => toRecorded(value));

/** Who sealed a draft, and what it read then; it stays when the seal is taken away. */
export interface SealRecord extends Recorded {
  /** Person id. */
  readonly by: string;
}

export const readSeals = (doc: Y.Doc): Map<string, SealRecord> =>
  readAll(recordMap(doc, 'seals'), (_, value) => {
    const reading = toRecorded(value);
    const by = asText(asRecord(value)?.by);
    return reading === null || by === null ? null : { ...reading, by };
  });
