import { BareClient, cpuMs, type ServerUnderLoad } from './peers-kit.ts';

const CLIENTS = 1000;
/** Below the sockets that one person may have. */
const WINDOWS_PER_PERSON = 50;

export interface Arrival {
  /** Milliseconds until the last one had the document. */
  readonly all: number;
  /** Milliseconds of processor time. */
  readonly cpu: number;
}

/** A thousand windows that open one room in the same moment, as after a restart. */
export async function arrival(server: ServerUnderLoad): Promise<Arrival> {
  const cookies = await server.people(CLIENTS / WINDOWS_PER_PERSON);
  const before = await server.usage();
  const start = performance.now();
  const clients = Array.from(
    { length: CLIENTS },
    (_, index) => new BareClient(server, 'demo', cookies[index % cookies.length] ?? ''),
  );
  await Promise.all(clients.map(({ opened }) => opened));
  const all = performance.now() - start;
  const after = await server.usage();
  for (const client of clients) client.end();
  return { all, cpu: cpuMs(before, after) };
}
