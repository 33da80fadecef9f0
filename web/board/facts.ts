import type { Decision, Draft, Note, Person, Recorded, Shot } from '../../core/document/index.ts';
import type { Other } from '../session/index.ts';

/** What the board knows of the review, read once for all its cards. */
export interface BoardFacts {
  /** In board order. */
  readonly allShots: readonly Shot[];
  readonly drafts: ReadonlyMap<string, readonly Draft[]>;
  readonly history: ReadonlyMap<string, Recorded>;
  /** Open notes by shot. */
  readonly openNotes: ReadonlyMap<string, number>;
  /** All notes by draft. */
  readonly notes: ReadonlyMap<string, readonly Note[]>;
  /** Changes of state by draft, the oldest first. */
  readonly decisions: ReadonlyMap<string, readonly Decision[]>;
  /** Who is on a shot now. */
  readonly people: ReadonlyMap<string, readonly Other[]>;
  /** Everybody of the review by id. */
  readonly names: ReadonlyMap<string, Person>;
  /** Shots that are picked, to be changed together. */
  readonly picked: ReadonlySet<string>;
}

export const NO_FACTS: BoardFacts = {
  allShots: [],
  drafts: new Map<string, readonly Draft[]>(),
  history: new Map<string, Recorded>(),
  openNotes: new Map<string, number>(),
  notes: new Map<string, readonly Note[]>(),
  decisions: new Map<string, readonly Decision[]>(),
  people: new Map<string, readonly Other[]>(),
  names: new Map<string, Person>(),
  picked: new Set<string>(),
};

/** Items by a key of theirs. */
export function groupBy<T>(
  items: Iterable<T>,
  keyOf: (item: T) => string,
): Map<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}
