import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Server as HocuspocusServer } from '@hocuspocus/server';
import { WebSocketServer } from 'ws';
import { serve } from '../../server/serve.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { SMALL_REVIEW } from '../helpers/small-review.ts';

// One server under load, as a process of its own: its kind and, for ours, its data folder are its
// arguments. It is told over its channel to report what it has used.
const [kind = '', data = ''] = process.argv.slice(2);

async function startOurs(): Promise<object> {
  const { port, links } = await serve({ data, demo: SMALL_REVIEW, log: new KeptLog() });
  return { port, links };
}

async function startYWebsocket(): Promise<object> {
  const { setupWSConnection } = await import('@y/websocket-server/utils');
  const server = createServer();
  const sockets = new WebSocketServer({ server });
  sockets.on('connection', setupWSConnection);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return { port: (server.address() as AddressInfo).port };
}

async function startHocuspocus(): Promise<object> {
  const server = new HocuspocusServer({
    ...{ port: 0, address: '127.0.0.1', quiet: true, stopOnSignals: false },
  });
  await server.listen();
  return { port: server.address.port };
}

const starts = { ours: startOurs, a: startYWebsocket, b: startHocuspocus } as const;
const started = await starts[kind as keyof typeof starts]();

process.on('message', () => {
  // Started with --expose-gc, so that what is counted is what is held.
  (globalThis as { gc?: () => void }).gc?.();
  const { rss, heapUsed, external } = process.memoryUsage();
  process.send?.({
    at: performance.now(),
    cpu: process.cpuUsage(),
    rss,
    held: heapUsed + external,
  });
});
process.send?.({ ready: started });
