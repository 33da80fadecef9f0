/** What a command may touch: texts out, files in and out. Tests give their own. */
export interface CommandIo {
  readonly out: (text: string) => void;
  readonly err: (line: string) => void;
  /** Whole file as text; rejects when it cannot be read. */
  readonly readText: (path: string) => Promise<string>;
  /** Whole file as bytes; rejects like readText. */
  readonly readBytes: (path: string) => Promise<Uint8Array>;
  readonly writeText: (path: string, text: string) => Promise<void>;
}

/** Something wrong with what the person gave: told in one line, exit code 2. */
export class BadInput extends Error {}

export interface Command {
  /** How it is called, behind the program's name. */
  readonly usage: string;
  /** What it does, one line. */
  readonly summary: string;
  /** Runs and gives the exit code. Throws BadInput for what the person can mend. */
  readonly run: (args: readonly string[], io: CommandIo) => Promise<number>;
}
