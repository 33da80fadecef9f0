import type { Log, RequestEntry } from '../../server/log.ts';

/** A log that keeps its lines instead of printing them. */
export class KeptLog implements Log {
  readonly lines: string[] = [];
  readonly problems: string[] = [];
  readonly requests: RequestEntry[] = [];

  info(text: string): void {
    this.lines.push(text);
  }

  problem(text: string, cause?: unknown): void {
    this.problems.push(cause === undefined ? text : `${text} ${String(cause)}`);
  }

  request(entry: RequestEntry): void {
    this.requests.push(entry);
  }
}
