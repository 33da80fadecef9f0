import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Served } from '../../server/serve.ts';
import { builtProgram } from './built.ts';
import { until, within } from './waiting.ts';

export interface Killable {
  readonly url: string;
  /** Invite links; null after the first start. */
  readonly links: Served['links'];
  /** Ends the process at once, without a chance to tidy up. Resolves when it is gone. */
  kill(): Promise<void>;
}

/** Builds the server that is there to be killed. */
export const buildKillable = (): Promise<string> =>
  builtProgram(['helpers', 'killable-server.ts'], 'killable');

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
