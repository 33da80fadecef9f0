import type { ReactiveControllerHost } from 'lit';
import {
  boardMaps,
  noteMaps,
  readDecisions,
  readDrafts,
  readHistory,
  readNotes,
  readPeople,
  readSequences,
  readShots,
  recordMap,
  type Sequence,
} from '../../core/document/index.ts';
import { observeMaps } from '../controllers/follow.ts';
import { keepSame } from '../controllers/keep-same.ts';
import type { Other, Session } from '../session/index.ts';
import { type BoardFacts, groupBy, NO_FACTS } from './facts.ts';

type Part = 'board' | 'notes' | 'record';
const PARTS: readonly Part[] = ['board', 'notes', 'record'];

/** Reads what the board shows, each part again only after it has changed. */
export class BoardReader {
  readonly #host: ReactiveControllerHost;
  readonly #stale = new Set<Part>(PARTS);
  #sequences: readonly Sequence[] = [];
  #facts: BoardFacts = NO_FACTS;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
  }

  /** Begins to follow a session; gives what stops it. */
  follow(session: Session): (() => void)[] {
    const { scenes, notes, record } = session.documents;
    const stale = (part: Part) => (): void => {
      this.#stale.add(part);
      this.#host.requestUpdate();
    };
    for (const part of PARTS) this.#stale.add(part);
    const told = (['people', 'history', 'decisions'] as const).map((name) =>
      recordMap(record, name),
    );
    return [
      observeMaps(boardMaps(scenes), stale('board')),
      observeMaps(noteMaps(notes), stale('notes')),
      observeMaps(told, stale('record')),
      session.on('presence', () => this.#readHere(session)),
    ];
  }

  /** Sequences in board order, and what is known of their shots. */
  read(session: Session): { sequences: readonly Sequence[]; facts: BoardFacts } {
    const { scenes, notes, record } = session.documents;
    if (this.#stale.has('board')) {
      this.#sequences = readSequences(scenes);
      const shots = new Map(readShots(scenes).map((shot) => [shot.id, shot] as const));
      const known = new Map(this.#facts.allShots.map((shot) => [shot.id, shot] as const));
      const drafts = groupBy(readDrafts(scenes), ({ shot }) => shot);
      // In the order of the sequences, so that "all from here to there" is what the eye sees.
      const rows = groupBy(keepSame(known, shots).values(), ({ sequence }) => sequence);
      this.#facts = {
        ...this.#facts,
        allShots: this.#sequences.flatMap(({ id }) => rows.get(id) ?? []),
        drafts: keepSame(this.#facts.drafts, drafts),
      };
    }
    if (this.#stale.has('notes')) {
      const all = readNotes(notes);
      const open = groupBy(
        all.filter(({ state }) => state === 'open'),
        ({ shot }) => shot,
      );
      this.#facts = {
        ...this.#facts,
        openNotes: new Map([...open].map(([shot, { length }]) => [shot, length])),
        notes: groupBy(all, ({ draft }) => draft),
      };
    }
    if (this.#stale.has('record')) {
      this.#facts = {
        ...this.#facts,
        history: readHistory(record),
        names: readPeople(record),
        decisions: groupBy(readDecisions(record), ({ draft }) => draft ?? ''),
      };
    }
    this.#stale.clear();
    return { sequences: this.#sequences, facts: this.#facts };
  }

  #readHere(session: Session): void {
    const people = new Map<string, Other[]>();
    for (const other of session.others()) {
      if (other.shot === null) continue;
      const on = people.get(other.shot) ?? [];
      if (!on.some(({ person }) => person === other.person)) people.set(other.shot, [...on, other]);
    }
    // Cursors move 30 times a second; the board changes only when somebody changes shots.
    const key = (map: ReadonlyMap<string, readonly Other[]>): string =>
      JSON.stringify([...map].map(([shot, on]) => [shot, on.map(({ name, ink }) => [name, ink])]));
    if (key(people) === key(this.#facts.people)) return;
    this.#facts = { ...this.#facts, people };
    this.#host.requestUpdate();
  }
}
