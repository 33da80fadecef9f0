import type { Database } from 'better-sqlite3';
import { type Answer, type GivenAnswer, readAnswer } from '../../core/document/index.ts';
import type { Kept } from '../calls/hidden-record.ts';
import { type Clock, timeOf } from '../clock.ts';

/** What was called and is not shown yet. */
export class CallStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  open(review: string, call: string, kept: Kept): void {
    this.#database
      .prepare('INSERT INTO calls (id, review, kept) VALUES (?, ?, ?)')
      .run(call, review, JSON.stringify(kept));
  }

  /** Keeps what a person says, in the place of what they said before. @returns how many have called */
  answer(call: string, person: string, answer: Answer): number {
    return this.#database.transaction(() => {
      this.#database
        .prepare(
          `INSERT INTO call_answers (call, person, answer, at) VALUES (?, ?, ?, ?)
           ON CONFLICT (call, person) DO UPDATE SET answer = excluded.answer, at = excluded.at`,
        )
        .run(call, person, JSON.stringify(answer), timeOf(this.#clock));
      return this.#database
        .prepare('SELECT count(*) FROM call_answers WHERE call = ?')
        .pluck()
        .get(call) as number;
    })();
  }

  answerOf(call: string, person: string): Answer | null {
    const text = this.#database
      .prepare('SELECT answer FROM call_answers WHERE call = ? AND person = ?')
      .pluck()
      .get(call, person) as string | undefined;
    return text === undefined ? null : readAnswer(JSON.parse(text));
  }

  /** Everything that was called, in the order in which it came. */
  answers(call: string): GivenAnswer[] {
    const rows = this.#database
      .prepare('SELECT person, answer, at FROM call_answers WHERE call = ? ORDER BY at, person')
      .all(call) as { person: string; answer: string; at: string }[];
    return rows.flatMap(({ person, answer, at }) => {
      const read = readAnswer(JSON.parse(answer));
      return read === null ? [] : [{ ...read, person, at }];
    });
  }

  keptOf(call: string): Kept {
    const text = this.#database.prepare('SELECT kept FROM calls WHERE id = ?').pluck().get(call) as
      | string
      | undefined;
    return text === undefined ? {} : (JSON.parse(text) as Kept);
  }

  /** The call is in the record, or was taken back: nothing of it stays here. */
  close(call: string): void {
    this.#database.prepare('DELETE FROM calls WHERE id = ?').run(call);
  }
}
