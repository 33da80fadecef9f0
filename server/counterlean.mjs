#!/usr/bin/env node
// The package's command. Plain JavaScript, because the built program may not be there yet: runs
// dist/server/cli.js when it belongs to these sources, else server/cli.ts through tsx.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const built = join(root, 'dist', 'server', 'cli.js');
const tsx = join(root, 'node_modules', 'tsx', 'dist', 'cli.mjs');

/** Whether the build belongs to these sources; a copy without sources has nothing newer. */
async function isCurrent() {
  if (!existsSync(built)) return false;
  if (!existsSync(join(root, 'web'))) return true;
  const { isBuilt } = await import('./setup.mjs');
  return isBuilt();
}

const args = process.argv.slice(2);
const program = (await isCurrent())
  ? [built]
  : existsSync(tsx)
    ? [tsx, join(root, 'server', 'cli.ts')]
    : null;
if (program === null) {
  console.error('counterlean: the program is not built; run "npm run build" first');
  process.exitCode = 2;
} else {
  const child = spawn(process.execPath, [...program, ...args], { stdio: 'inherit' });
  // Told to stop, this one passes it on and waits: a server has to write down what is pending. From a
  // terminal the other has it already.
  process.on('SIGINT', () => undefined);
  process.on('SIGTERM', () => child.kill('SIGTERM'));
  child.on('exit', (status) => {
    process.exitCode = status ?? 1;
  });
}
