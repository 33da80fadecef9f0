// `npm start`: install what is missing, build what changed, serve. `npm run dev`: the same without a
// build; page and server reload when a source changes.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ensureBuilt, ensureDependencies, requireNode, root } from './setup.mjs';

requireNode();
ensureDependencies();

if (process.argv.includes('--dev')) {
  const port = Number(process.env.COUNTERLEAN_PORT ?? 4747);
  const env = {
    ...process.env,
    COUNTERLEAN_PORT: String(port + 1),
    COUNTERLEAN_PUBLIC_URL: process.env.COUNTERLEAN_PUBLIC_URL ?? `http://localhost:${port}`,
  };
  const start = (bin, ...args) =>
    spawn(process.execPath, [join(root, 'node_modules', bin), ...args], {
      cwd: root,
      stdio: 'inherit',
      env,
    });
  const children = [
    start('tsx/dist/cli.mjs', 'watch', 'server/main.ts'),
    start(
      'vite/bin/vite.js',
      '--config',
      'web/vite.config.ts',
      '--port',
      String(port),
      '--strictPort',
    ),
  ];
  // Whichever ends first takes the other along.
  const stop = () => {
    for (const child of children) child.kill();
  };
  for (const child of children) child.on('exit', stop);
  process.on('SIGINT', stop);
  process.on('SIGTERM', stop);
} else {
  ensureBuilt();
  await import(pathToFileURL(join(root, 'dist', 'server', 'main.js')).href);
}
