/** One answered request. No address, query or body: those can hold secrets. */
export interface RequestEntry {
  /** Also in the answer's X-Request-Id. */
  readonly id: string;
  readonly method: string;
  /** The route's pattern, as /join/:capability. */
  readonly route: string;
  readonly status: number;
  readonly milliseconds: number;
  /** Who asked, where that was looked up; else null. */
  readonly person: string | null;
}

/** Where the server says what happened. Tests pass one that keeps the lines. */
export interface Log {
  info(text: string): void;
  /** Something went wrong that the operator should see; `cause` is logged with its stack. */
  problem(text: string, cause?: unknown): void;
  request(entry: RequestEntry): void;
}

/** Where lines go. */
export interface Output {
  readonly out: (line: string) => void;
  readonly err: (line: string) => void;
}

const CONSOLE: Output = {
  out: (line) => console.log(line),
  err: (line) => console.error(line),
};

/** For people at a terminal: sentences, and of requests only those that failed here. */
export const textLog = ({ out, err }: Output = CONSOLE): Log => ({
  info: out,
  problem: (text, cause) =>
    err(cause === undefined ? text : `${text}\n${tracesOf(cause).join('\n')}`),
  request: ({ id, method, route, status }) => {
    if (status >= 500) err(`${method} ${route} answered ${status} (request ${id}).`);
  },
});

/**
 * For programs: one JSON object a line with `at`, `level` (info, problem, request), and `text` with
 * `cause`, or the fields of a RequestEntry.
 * @param now milliseconds since the epoch
 */
export const jsonLog = (now: () => number, { out, err }: Output = CONSOLE): Log => {
  const line = (level: string, fields: object): string =>
    JSON.stringify({ at: new Date(now()).toISOString(), level, ...fields });
  return {
    info: (text) => out(line('info', { text })),
    problem: (text, cause) =>
      err(line('problem', cause === undefined ? { text } : { text, cause: tracesOf(cause) })),
    request: (entry) => out(line('request', entry)),
  };
};

// Stacks alone: what else hangs on an error can be an answer of another server, tokens and all.
const MAX_CAUSES = 5;

function tracesOf(cause: unknown): string[] {
  const traces: string[] = [];
  for (let at = cause; at !== undefined && traces.length < MAX_CAUSES; ) {
    if (!(at instanceof Error)) return [...traces, String(at)];
    traces.push(at.stack ?? at.message);
    at = at.cause;
  }
  return traces;
}

export const consoleLog: Log = textLog();
