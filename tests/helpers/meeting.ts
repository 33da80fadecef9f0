import { expect } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import type { DocumentName, Role } from '../../core/protocol/index.ts';
import { NOTHING_TO_BRING } from './hostile.ts';
import { startServer } from './served.ts';
import { RawSocket, saved, stockClient, synced } from './sync-client.ts';

/** A copy of a document under a chosen client id; 0 draws one. */
export function copyOf(doc: Y.Doc, client = 0): Y.Doc {
  const copy = new Y.Doc();
  Y.applyUpdate(copy, Y.encodeStateAsUpdate(doc));
  // Afterwards: Yjs draws another id when it meets its own in an update.
  if (client !== 0) copy.clientID = client;
  return copy;
}

/** A server with honest windows and hostile sockets; the windows are closed behind the test. */
export async function meet(
  document: DocumentName,
  run: (at: {
    join: (role: Role) => Promise<string>;
    window: (cookie: string, doc?: Y.Doc) => Promise<WebsocketProvider>;
    socket: (cookie: string) => Promise<RawSocket>;
  }) => Promise<void>,
): Promise<void> {
  const server = await startServer();
  const windows: WebsocketProvider[] = [];
  try {
    await run({
      join: (role) => server.joinAs(role),
      window: async (cookie, doc) => {
        const client = stockClient({ ...server, cookie, document }, doc);
        windows.push(client);
        await synced(client);
        await saved(client, 100);
        return client;
      },
      socket: (cookie) => new RawSocket({ ...server, cookie, document }).opened(),
    });
  } finally {
    for (const client of windows) client.destroy();
  }
}

/** Sends an update from a socket and expects that it is refused and changes nothing for a witness. */
export async function expectRefused(
  socket: RawSocket,
  update: Uint8Array,
  reason: RegExp,
  witness: Y.Doc,
): Promise<void> {
  const before = Y.encodeStateAsUpdate(witness);
  socket.send(NOTHING_TO_BRING);
  socket.sendUpdate(update);
  expect((await socket.refusal()).text).toMatch(reason);
  await socket.barrier(9);
  expect(Y.encodeStateAsUpdate(witness)).toEqual(before);
}
