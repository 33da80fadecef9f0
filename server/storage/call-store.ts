import type { Database } from 'better-sqlite3';
import {
  type Answer,
  type GivenAnswer,
  readAnswer,
  readTruth,
  type Truth,
} from '../../core/document/index.ts';
import { type Kept, merged } from '../calls/hidden-readings.ts';
import { type Clock, timeOf } from '../clock.ts';

/** Which call: its id alone is not enough, because a copied review has the same ones. */
export interface CallKey {
  readonly review: string;
  readonly call: string;
}

/** What was called and is not shown yet. */
export class CallStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  /**
   * @param kept what was taken out of the documents meanwhile
   * @param truth what the calls will be held against
   */
  open({ review, call }: CallKey, kept: Kept, truth: Truth): void {
    this.#database
      .prepare('INSERT INTO calls (id, review, kept, truth) VALUES (?, ?, ?, ?)')
      .run(call, review, JSON.stringify(kept), JSON.stringify(truth));
  }

  /**
   * Keeps what a person says, in the place of what they said before.
   * @returns how many have called; null where no such call is open
   */
  answer(key: CallKey, person: string, answer: Answer): number | null {
    return this.#database.transaction(() => {
      if (this.#row(key) === undefined) return null;
      this.#database
        .prepare(
          `INSERT INTO call_answers (call, person, answer, at) VALUES (?, ?, ?, ?)
           ON CONFLICT (call, person) DO UPDATE SET answer = excluded.answer, at = excluded.at`,
        )
        .run(key.call, person, JSON.stringify(answer), timeOf(this.#clock));
      return this.#database
        .prepare('SELECT count(*) FROM call_answers WHERE call = ?')
        .pluck()
        .get(key.call) as number;
    })();
  }

  answerOf({ review, call }: CallKey, person: string): Answer | null {
    const text = this.#database
      .prepare(
        `SELECT answer FROM call_answers JOIN calls ON calls.id = call
         WHERE call = ? AND review = ? AND person = ?`,
      )
      .pluck()
      .get(call, review, person) as string | undefined;
    return text === undefined ? null : readAnswer(JSON.parse(text));
  }

  /** Everything that was called, in the order in which it came. */
  answers({ review, call }: CallKey): GivenAnswer[] {
    const rows = this.#database
      .prepare(
        `SELECT person, answer, at FROM call_answers JOIN calls ON calls.id = call
         WHERE call = ? AND review = ? ORDER BY at, person`,
      )
      .all(call, review) as { person: string; answer: string; at: string }[];
    return rows.flatMap(({ person, answer, at }) => {
      const read = readAnswer(JSON.parse(answer));
      return read === null ? [] : [{ ...read, person, at }];
    });
  }

  keptOf(key: CallKey): Kept {
    const row = this.#row(key);
    return row === undefined ? {} : (JSON.parse(row.kept) as Kept);
  }

  /** Keeps what was written without its reading since the call was opened. */
  keepMore(key: CallKey, more: Kept): void {
    const kept = merged(this.keptOf(key), more);
    this.#database
      .prepare('UPDATE calls SET kept = ? WHERE id = ? AND review = ?')
      .run(JSON.stringify(kept), key.call, key.review);
  }

  /** Null in a call that was opened before it was kept. */
  truthOf(key: CallKey): Truth | null {
    const truth = this.#row(key)?.truth ?? null;
    return truth === null ? null : readTruth(JSON.parse(truth));
  }

  /** The call is in the record, or was taken back: nothing of it stays here. */
  close({ review, call }: CallKey): void {
    this.#database.prepare('DELETE FROM calls WHERE id = ? AND review = ?').run(call, review);
  }

  #row({ review, call }: CallKey): { kept: string; truth: string | null } | undefined {
    return this.#database
      .prepare('SELECT kept, truth FROM calls WHERE id = ? AND review = ?')
      .get(call, review) as { kept: string; truth: string | null } | undefined;
  }
}
