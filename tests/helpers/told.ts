import { type CommandIo, run } from '../../server/cli.ts';

export interface Told {
  readonly code: number;
  readonly out: string;
  readonly err: string[];
  readonly written: Record<string, string>;
}

/** Runs the command line on files of its own; what it writes is kept, `nowhere/` cannot be written. */
export function toldWith(
  files: Readonly<Record<string, string>>,
): (...argv: string[]) => Promise<Told> {
  const textOf = (path: string): string => {
    const text = files[path];
    if (text === undefined) throw Object.assign(new Error('missing'), { code: 'ENOENT' });
    return text;
  };
  return async (...argv) => {
    const out: string[] = [];
    const err: string[] = [];
    const written: Record<string, string> = {};
    const io: CommandIo = {
      out: (text) => out.push(text),
      err: (line) => err.push(line),
      readText: async (path) => textOf(path),
      readBytes: async (path) => new TextEncoder().encode(textOf(path)),
      writeText: async (path, text) => {
        if (path.startsWith('nowhere/')) throw Object.assign(new Error('no'), { code: 'ENOENT' });
        written[path] = text;
      },
    };
    const code = await run(argv, io);
    return { code, out: out.join(''), err, written };
  };
}
