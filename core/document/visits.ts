import type * as Y from 'yjs';
import { asText } from './decode.ts';
import { recordMap } from './record.ts';
import { SEPARATOR } from './table.ts';

/** Somebody opened the review on a day: root `visits` of the `record` document, `DAY/PERSON` -> time. */
export interface Visit {
  /** `YYYY-MM-DD` on the server, UTC. */
  readonly day: string;
  /** Person id. */
  readonly person: string;
  /** The first time that day, ISO 8601. */
  readonly at: string;
}

/** All visits, the oldest first. */
export const readVisits = (record: Y.Doc): Visit[] =>
  [...recordMap(record, 'visits').entries()]
    .flatMap(([key, value]) => {
      const [day = '', person] = key.split(SEPARATOR);
      const at = asText(value);
      return person === undefined || at === null ? [] : [{ day, person, at }];
    })
    .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.person < b.person ? -1 : 1));

/** Whether a person's visit of the day of `at` is written down already. */
export const hasVisited = (record: Y.Doc, person: string, at: string): boolean =>
  recordMap(record, 'visits').has(keyOf(person, at));

/** Writes a visit; the server alone does. */
export function putVisit(record: Y.Doc, person: string, at: string): void {
  recordMap(record, 'visits').set(keyOf(person, at), at);
}

const keyOf = (person: string, at: string): string => at.slice(0, 10) + SEPARATOR + person;
