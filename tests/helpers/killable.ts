import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { build } from 'vite';
import { projectRoot } from '../../server/paths.ts';
import type { Served } from '../../server/serve.ts';
import { until, within } from './waiting.ts';

export interface Killable {
  readonly url: string;
  /** Invite links; null after the first start. */
  readonly links: Served['links'];
  /** Ends the process at once, without a chance to tidy up. Resolves when it is gone. */
  kill(): Promise<void>;
}

/** Builds the server that is there to be killed; built code starts in a fraction of the time. */
export async function buildKillable(): Promise<string> {
  const outDir = join(projectRoot(), 'dist', 'killable');
  await build({
    configFile: false,
    root: projectRoot(),
    logLevel: 'error',
    build: {
      ssr: true,
      outDir,
      emptyOutDir: true,
      minify: false,
      target: 'node20',
      rollupOptions: {
        input: join(projectRoot(), 'tests', 'helpers', 'killable-server.ts'),
        output: { entryFileNames: 'server.js' },
      },
    },
  });
  return join(outDir, 'server.js');
}

/** Starts it on a data folder and waits until it answers. */
export async function startKillable(program: string, data: string): Promise<Killable> {
  const child = spawn(process.execPath, [program, data], { stdio: ['ignore', 'pipe', 'pipe'] });
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  let errors = '';
  child.stderr.on('data', (text) => {
    errors += String(text);
  });
  let ready: Pick<Served, 'url' | 'links'> | null = null;
  const lines = createInterface({ input: child.stdout });
  lines.on('line', (line) => {
    if (line.startsWith('ready ')) ready = JSON.parse(line.slice('ready '.length));
  });
  const ended = gone.then(() => Promise.reject(new Error(`the server ended: ${errors}`)));
  ended.catch(() => undefined);
  await Promise.race([until(lines, 'line', () => ready !== null, 'a server that is ready'), ended]);
  const { url, links } = ready as unknown as Pick<Served, 'url' | 'links'>;
  return { url, links, kill: () => end(child, gone) };
}

async function end(child: ChildProcess, gone: Promise<void>): Promise<void> {
  child.kill('SIGKILL');
  await within(gone, 'the end of the server');
}
