import { existsSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { Server as HocuspocusServer } from '@hocuspocus/server';
import { WebSocketServer } from 'ws';
import * as Y from 'yjs';
import { serve } from '../../server/serve.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { SMALL_REVIEW } from '../helpers/small-review.ts';
import { KEPT_UPDATES, readKept } from './peers-kept.ts';

// One server under load, as a process of its own: its kind and, for ours, its data folder are its
// arguments. It is told over its channel to report what it has used.
const [kind = '', data = ''] = process.argv.slice(2);

async function startOurs(): Promise<object> {
  const { port, links } = await serve({ data, demo: SMALL_REVIEW, log: new KeptLog() });
  return { port, links };
}

/** What a peer's loading hook does where somebody keeps its updates, as keepers of a log do. */
const fill = existsSync(join(data, KEPT_UPDATES))
  ? (doc: Y.Doc): void => {
      const kept = readKept(readFileSync(join(data, KEPT_UPDATES), 'utf8'));
      doc.transact(() => {
        for (const update of kept) Y.applyUpdate(doc, update);
      });
    }
  : null;

async function startYWebsocket(): Promise<object> {
  const { setPersistence, setupWSConnection } = await import('@y/websocket-server/utils');
  if (fill !== null) {
    const bindState = (_room: string, doc: Y.Doc): void => fill(doc);
    setPersistence({ provider: null, bindState, writeState: async () => undefined });
  }
  const server = createServer();
  const sockets = new WebSocketServer({ server });
  sockets.on('connection', setupWSConnection);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return { port: (server.address() as AddressInfo).port };
}

async function startHocuspocus(): Promise<object> {
  const server = new HocuspocusServer({
    ...{ port: 0, address: '127.0.0.1', quiet: true, stopOnSignals: false },
    onLoadDocument: async ({ document }) => fill?.(document),
  });
  await server.listen();
  return { port: server.address.port };
}

const starts = { ours: startOurs, a: startYWebsocket, b: startHocuspocus } as const;
const started = await starts[kind as keyof typeof starts]();

process.on('message', ({ collected }: { readonly collected: boolean }) => {
  const { gc } = globalThis as { gc?: () => void };
  // Twice: what the first finds with finalizers goes with the second.
  for (let turn = 0; collected && turn < 2; turn++) gc?.();
  const { heapUsed, external } = process.memoryUsage();
  process.send?.({ cpu: process.cpuUsage(), held: heapUsed + external });
});
process.send?.({ ready: started });
