import type * as Y from 'yjs';
import {
  type Decision,
  putDecision,
  type Recorded,
  readDrafts,
  readShots,
  SHOT_STATES,
  type ShotState,
} from '../../core/document/index.ts';
import { SEPARATOR } from '../../core/document/table.ts';
import { makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';
import { personOf } from './person-of.ts';
import type { Room } from './room.ts';

export interface DecisionDeps {
  readonly clock: Clock;
  /** How a draft balances now. */
  readonly readingOf: (doc: Y.Doc, draft: string) => Recorded;
  /** Keeps a decision with its reading until the call is shown; false where none is open on its shot. */
  readonly keepHidden: (decision: Decision) => boolean;
  /** Called with what was decided; `onDisk` resolves when it is there, and rejects when it never will be. */
  readonly onDecided: (
    review: string,
    decisions: readonly Decision[],
    onDisk: Promise<void>,
  ) => void;
}

/**
 * Writes every change of a shot's state that a person makes into the record: which draft it was
 * about, who, when, and how it balanced.
 */
export function watchDecisions(scenes: Room, record: Room, deps: DecisionDeps): void {
  scenes.doc.getMap<unknown>('shots').observe((event, { origin }) => {
    const by = personOf(origin);
    if (by === null) return;
    const changes = [...event.changes.keys].flatMap(([key, { action, oldValue }]) => {
      const [shot = '', field] = key.split(SEPARATOR);
      const to = event.target.get(key);
      // The state that a shot is made with, or comes back with, is no decision.
      if (field !== 'state' || action !== 'update' || !isState(to) || !isState(oldValue)) return [];
      return to === oldValue ? [] : [{ shot, from: oldValue, to }];
    });
    if (changes.length === 0) return;
    const { doc } = scenes;
    const here = new Set(readShots(doc).map(({ id }) => id));
    const at = timeOf(deps.clock);
    const decided = changes
      .filter(({ shot }) => here.has(shot))
      .map(({ shot, from, to }): Decision => {
        const draft = readDrafts(doc, shot).at(-1)?.id ?? null;
        const reading = draft === null ? null : deps.readingOf(doc, draft);
        const decision = { id: makeId(), shot, draft, from, to, by, at, reading };
        return deps.keepHidden(decision) ? { ...decision, reading: null } : decision;
      });
    if (decided.length === 0) return;
    const onDisk = record.write((target) => {
      for (const decision of decided) putDecision(target, decision);
    });
    deps.onDecided(scenes.key.review, decided, onDisk);
  });
}

const isState = (value: unknown): value is ShotState =>
  SHOT_STATES.some((state) => state === value);
