import { readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { getRequestListener } from '@hono/node-server';
import { makeCapability } from '../access/secrets.ts';
import { type ControlDeps, controlApp } from './control-app.ts';
import { announce, withdraw } from './running.ts';

/** Listens for the commands of this machine. @returns what stops it */
export async function openControl(deps: Omit<ControlDeps, 'token'>): Promise<() => Promise<void>> {
  removeLeftovers(deps.data);
  const token = makeCapability();
  const server = createServer(getRequestListener(controlApp({ ...deps, token }).fetch));
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  const { port } = server.address() as AddressInfo;
  announce(deps.data, { url: `http://127.0.0.1:${port}`, token });
  return async () => {
    withdraw(deps.data);
    const stopped = new Promise((resolve) => server.close(resolve));
    server.closeAllConnections();
    await stopped;
  };
}

/** Copies that a server which was killed had under way. */
function removeLeftovers(data: string): void {
  for (const name of readdirSync(data)) {
    if (/^(keeping|restoring)-[\w-]+\.sqlite/.test(name)) rmSync(join(data, name));
  }
}
