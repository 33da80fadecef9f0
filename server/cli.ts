import { realpathSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { BadInput, type Command, type CommandIo } from './commands/types.ts';
import { weigh } from './commands/weigh.ts';

export type { CommandIo } from './commands/types.ts';

const COMMANDS: Readonly<Record<string, Command>> = { weigh };

function help(): string {
  const lines = Object.values(COMMANDS).map(({ usage, summary }) => `  ${usage}\n      ${summary}`);
  return `Usage: counterlean COMMAND ...\n\n${lines.join('\n')}\n`;
}

/**
 * The command line. Exit code 0 when the command did its work, 2 when what was given cannot be used
 * (then exactly one line is on `io.err`).
 * @param argv the words behind the program's name
 */
export async function run(argv: readonly string[], io: CommandIo): Promise<number> {
  const [name, ...args] = argv;
  if (name === undefined || name === 'help' || name === '--help' || name === '-h') {
    io.out(help());
    return name === undefined ? 2 : 0;
  }
  const command = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  try {
    if (command === undefined) {
      const known = Object.keys(COMMANDS).join(', ');
      throw new BadInput(`there is no command "${name}"; there is ${known}`);
    }
    if (args.includes('--help') || args.includes('-h')) {
      io.out(`Usage: counterlean ${command.usage}\n${command.summary}\n`);
      return 0;
    }
    return await command.run(args, io);
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    io.err(`counterlean: ${error.message.replaceAll(/\s*\n\s*/g, ' ')}`);
    return 2;
  }
}

const io: CommandIo = {
  out: (text) => void process.stdout.write(text),
  err: (line) => void process.stderr.write(`${line}\n`),
  readText: (path) => readFile(path, 'utf8'),
  writeText: (path, text) => writeFile(path, text),
};

// Run as a program, not imported by a test. Setting exitCode instead of leaving at once lets a long
// answer drain into a pipe.
const started = process.argv[1];
if (started !== undefined && realpathSync(started) === fileURLToPath(import.meta.url)) {
  process.exitCode = await run(process.argv.slice(2), io);
}
