import { loadavg } from 'node:os';
import { arrival } from './peers-arrival.ts';
import { type FanOut, fanOut, type Load } from './peers-fan-out.ts';
import { type Kind, ServerUnderLoad } from './peers-kit.ts';
import { KINDS } from './peers-rooms.ts';
import { coldLoad, coldUpdates, durableEdits, memoryPerRoom } from './peers-storage.ts';
import type { BenchRow } from './rows.ts';

const NAMES = { a: '@y/websocket-server', b: '@hocuspocus/server' } as const;

const LOADS: readonly (Load & { readonly title: string })[] = [
  { title: '1 at 60/s to 50', rooms: 1, writers: 1, readers: 50, everyMs: 1000 / 60 },
  { title: '1 at 60/s to 200', rooms: 1, writers: 1, readers: 200, everyMs: 1000 / 60 },
  { title: '20 at 60/s to 50', rooms: 1, writers: 20, readers: 50, everyMs: 1000 / 60 },
  { title: '200 rooms of 4, 1 at 30/s', rooms: 200, writers: 1, readers: 3, everyMs: 1000 / 30 },
];

/**
 * The same load on ours (everything in the log before it is sent on, and on disk before it is
 * confirmed) and on two peers that keep documents in memory alone. Same machine, same run, one after the other; a busy machine weighs
 * on whoever is running, so compare only within quiet runs.
 */
export async function run(): Promise<BenchRow[]> {
  const program = await ServerUnderLoad.build();
  const rows: BenchRow[] = [{ name: 'load average at the start', value: loadavg()[0]!, unit: '' }];
  for (const load of LOADS) {
    const found = await each(program, (server) => fanOut(server, load));
    rows.push(...fanOutRows(load.title, found));
  }
  const arrived = await each(program, arrival);
  rows.push(...beside('1,000 open one room at once, all in', 'ms', arrived, ({ all }) => all));
  rows.push(...beside('1,000 open one room at once, CPU', 'ms', arrived, ({ cpu }) => cpu));
  const memory = await each(program, memoryPerRoom);
  rows.push(...beside('memory per live room', 'KB', memory, ({ live }) => live));
  rows.push(...beside('memory per room after all left', 'KB', memory, ({ idle }) => idle));
  const lines = coldUpdates();
  const cold = await each(program, (server) => coldLoad(server, lines), lines.flat());
  const size = `10,000 updates, ${(cold.ours.bytes / 1e6).toFixed(2)} MB`;
  rows.push(...beside(`cold load of ${size}`, 'ms', cold, ({ ms }) => ms));
  const durable = await one(program, 'ours', durableEdits);
  rows.push({ name: 'durable edits a second, 20 writers: ours', value: durable, unit: '/s' });
  rows.push({ name: 'load average at the end', value: loadavg()[0]!, unit: '' });
  return rows;
}

function fanOutRows(title: string, found: Record<Kind, FanOut>): BenchRow[] {
  const rows = [
    ...beside(`${title}, p50`, 'ms', found, ({ p50 }) => p50),
    ...beside(`${title}, p99`, 'ms', found, ({ p99 }) => p99),
    ...beside(`${title}, CPU`, '%', found, ({ cpu }) => cpu),
    ...beside(`${title}, frames`, '/s', found, ({ frames }) => frames),
  ];
  const missing = KINDS.reduce((sum, kind) => sum + found[kind].missing, 0);
  if (missing > 0) rows.push({ name: `${title}, not delivered`, value: missing, unit: 'edits' });
  return rows;
}

async function each<T>(
  program: string,
  measure: (server: ServerUnderLoad) => Promise<T>,
  kept: readonly Uint8Array[] = [],
): Promise<Record<Kind, T>> {
  const found: Partial<Record<Kind, T>> = {};
  for (const kind of KINDS) found[kind] = await one(program, kind, measure, kept);
  return found as Record<Kind, T>;
}

async function one<T>(
  program: string,
  kind: Kind,
  measure: (server: ServerUnderLoad) => Promise<T>,
  kept: readonly Uint8Array[] = [],
): Promise<T> {
  const server = await ServerUnderLoad.start(program, kind, kept);
  try {
    return await measure(server);
  } finally {
    await server.stop();
  }
}

/** Ours beside each peer. */
function beside<T>(
  name: string,
  unit: string,
  found: Record<Kind, T>,
  value: (of: T) => number,
): BenchRow[] {
  const ours = value(found.ours);
  const row = (kind: 'a' | 'b'): BenchRow => {
    const theirs = value(found[kind]);
    return { name: `${name}: ${NAMES[kind]}`, value: theirs, unit };
  };
  const best = Math.min(value(found.a), value(found.b));
  const peer = 'the better peer';
  return [
    { name: `${name}: ours`, value: ours, unit, ratio: ours / best, peer },
    row('a'),
    row('b'),
  ];
}
