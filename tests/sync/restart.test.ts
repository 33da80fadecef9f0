import { type ChildProcess, spawn } from 'node:child_process';
import { join as joinPath } from 'node:path';
import { createInterface } from 'node:readline';
import { describe, expect, it, onTestFinished } from 'vitest';
import type * as Y from 'yjs';
import { draftEntries, setEntries } from '../../core/document/index.ts';
import { projectRoot } from '../../server/paths.ts';
import { serve } from '../../server/serve.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { SMALL_REVIEW, startServer, temporaryFolder } from '../helpers/served.ts';
import { docUntil, join, RawSocket, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { until, within } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;

const turn = (doc: Y.Doc, joint: string, angle: number): void =>
  setEntries(doc, 'qy-010-1', { [`figure/porter/joint.${joint}`]: [0, 0, angle, 1] }, USER);

const turned = (doc: Y.Doc, joint: string): unknown =>
  draftEntries(doc, 'qy-010-1').get(`figure/porter/joint.${joint}`);

interface Child {
  readonly process: ChildProcess;
  readonly url: string;
  readonly leadLink: string | null;
}

/** The server as a process of its own, as `npm start` runs it; killed with the test. */
async function spawnServer(data: string): Promise<Child> {
  const root = projectRoot();
  const child = spawn(
    process.execPath,
    [joinPath(root, 'node_modules/tsx/dist/cli.mjs'), joinPath(root, 'server/main.ts')],
    { env: { ...process.env, COUNTERLEAN_PORT: '0', COUNTERLEAN_DATA: data }, detached: true },
  );
  onTestFinished(() => kill(child));
  let page = '';
  let lead: string | null = null;
  let errors = '';
  child.stderr.on('data', (text) => {
    errors += String(text);
  });
  const ended = new Promise<never>((_, reject) => {
    child.on('exit', () => reject(new Error(`the server ended: ${errors}`)));
  });
  ended.catch(() => undefined);
  const lines = createInterface({ input: child.stdout });
  lines.on('line', (line) => {
    page = /^The page: +(http\S+)\/$/.exec(line)?.[1] ?? page;
    lead = /^The lead link: (http\S+)$/.exec(line)?.[1] ?? lead;
  });
  await Promise.race([until(lines, 'line', () => page !== '', 'the address of the page'), ended]);
  return { process: child, url: page, leadLink: lead };
}

/** Ends the process and the one that it runs in, at once and without a chance to tidy up. */
function kill(child: ChildProcess): void {
  if (child.pid === undefined || child.exitCode !== null || child.signalCode !== null) return;
  try {
    process.kill(-child.pid, 'SIGKILL');
  } catch {
    // It was gone already.
  }
}

describe('a server that is killed', () => {
  it('has lost nothing that it said was saved, and takes the rest from the client', async () => {
    const data = temporaryFolder();
    const first = await spawnServer(data);
    // The demo opens by itself on this machine, so the page's own address signs a browser in.
    const cookie = await join(`${first.url}/`);
    const place = { url: first.url, cookie, document: 'scenes' as const };
    const writer = stockClient(place);
    await synced(writer);
    for (let step = 1; step <= 20; step++) {
      setEntries(writer.doc, 'bench', { [`figure/f/joint.${step}`]: step }, USER);
    }
    await saved(writer, 1);
    const gone = new Promise((resolve) => first.process.once('exit', resolve));
    kill(first.process);
    await within(gone, 'the end of the server');
    writer.destroy();

    const second = await spawnServer(data);
    // The secret is in the data folder, so the same cookie is good.
    const reader = stockClient({ ...place, url: second.url });
    try {
      await synced(reader);
      const kept = draftEntries(reader.doc, 'bench');
      expect([...kept.keys()]).toHaveLength(20);
    } finally {
      reader.destroy();
    }
    expect(second.leadLink).toBeNull();
  }, 60_000);
});

describe('a server that restarts', () => {
  it('is found again by stock clients, with what both did meanwhile', async () => {
    const data = temporaryFolder();
    const first = await startServer({ data });
    const cookies = [await first.joinAs('animator'), await first.joinAs('animator')];
    const clients = cookies.map((cookie) =>
      stockClient({ url: first.url, cookie, document: 'scenes' }),
    );
    const [a, b] = clients as [(typeof clients)[0], (typeof clients)[0]];
    try {
      await Promise.all(clients.map(synced));
      turn(a.doc, 'chest', 0.1);
      await docUntil(b.doc, () => turned(b.doc, 'chest') !== undefined, 'the turn at the other');
      const down = clients.map((client) =>
        until(client as never, 'status', () => !client.wsconnected, 'the line down'),
      );
      await first.close();
      await Promise.all(down);
      turn(a.doc, 'head', 0.2);
      turn(b.doc, 'handL', 0.3);
      const log = new KeptLog();
      const second = await serve({ data, demo: SMALL_REVIEW, log, port: first.port });
      onTestFinished(() => second.close());
      expect(second.leadLink).toBeNull();
      await Promise.all(clients.map(synced));
      const both = (doc: Y.Doc) => (): boolean =>
        turned(doc, 'head') !== undefined && turned(doc, 'handL') !== undefined;
      await docUntil(a.doc, both(a.doc), 'both turns at the first');
      await docUntil(b.doc, both(b.doc), 'both turns at the second');
      expect(draftEntries(a.doc, 'qy-010-1').toJSON()).toEqual(
        draftEntries(b.doc, 'qy-010-1').toJSON(),
      );
    } finally {
      for (const client of clients) client.destroy();
    }
  });

  it('tells everybody to come back when it goes down', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    await socket.barrier(1);
    await server.close();
    expect((await within(socket.closed, 'a close')).code).toBe(4503);
  });

  it('does not start beside another one on the same data', async () => {
    const data = temporaryFolder();
    await startServer({ data });
    await expect(serve({ data, demo: null, log: new KeptLog() })).rejects.toThrow(
      /another process is using/,
    );
  });
});
