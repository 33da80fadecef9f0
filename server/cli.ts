import { realpathSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { keepCommand } from './commands/keep.ts';
import { leadLinkCommand } from './commands/lead-link.ts';
import { restoreCommand } from './commands/restore.ts';
import { serveCommand } from './commands/serve.ts';
import { sheetCommand } from './commands/sheet.ts';
import { BadInput, type Command, type CommandIo } from './commands/types.ts';
import { weigh } from './commands/weigh.ts';
import type { Environment } from './settings.ts';

export type { CommandIo } from './commands/types.ts';

const commandsIn = (env: Environment): Readonly<Record<string, Command>> => ({
  weigh,
  serve: serveCommand(env),
  sheet: sheetCommand(env),
  keep: keepCommand(env),
  restore: restoreCommand(env),
  'lead-link': leadLinkCommand(env),
});

function help(commands: Readonly<Record<string, Command>>): string {
  const lines = Object.values(commands).map(({ usage, summary }) => `  ${usage}\n      ${summary}`);
  return `Usage: counterlean COMMAND ...\n\n${lines.join('\n')}\n`;
}

/**
 * The command line. Exit code 0 when the command did its work, 1 where `weigh --fail-on` found what it
 * names, 2 when what was given cannot be used (with 1 and 2 exactly one line is on `io.err`).
 * @param argv the words behind the program's name
 * @param env settings of the server, for the commands that run it or work on its data
 */
export async function run(
  argv: readonly string[],
  io: CommandIo,
  env: Environment = {},
): Promise<number> {
  const commands = commandsIn(env);
  const [name, ...args] = argv;
  if (name === undefined || name === 'help' || name === '--help' || name === '-h') {
    io.out(help(commands));
    return name === undefined ? 2 : 0;
  }
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  try {
    if (command === undefined) {
      const known = Object.keys(commands).join(', ');
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
  readBytes: (path) => readFile(path),
  writeText: (path, text) => writeFile(path, text),
};

// Run as a program, not imported by a test. Setting exitCode instead of leaving at once lets a long
// answer drain into a pipe.
const started = process.argv[1];
if (started !== undefined && realpathSync(started) === fileURLToPath(import.meta.url)) {
  process.exitCode = await run(process.argv.slice(2), io, process.env);
}
