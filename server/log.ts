/** Where the server says what happened. Tests pass one that keeps the lines. */
export interface Log {
  info(text: string): void;
  /** Something went wrong that the operator should see; `cause` is logged whole. */
  problem(text: string, cause?: unknown): void;
}

export const consoleLog: Log = {
  info: (text) => console.log(text),
  problem: (text, cause) =>
    cause === undefined ? console.error(text) : console.error(text, cause),
};
