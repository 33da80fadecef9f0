import { loadavg } from 'node:os';
import * as Y from 'yjs';
import { random } from '../helpers/random.ts';
import { BareClient, type Kind, ServerUnderLoad } from './peers-kit.ts';
import { type BenchRow, spread } from './rows.ts';

const KINDS: readonly Kind[] = ['ours', 'a', 'b'];
const NAMES = { a: '@y/websocket-server', b: '@hocuspocus/server' } as const;
const SEED = 77;
const RATE_MS = 1000 / 60;
const WARM_UP_MS = 1000;
const MEASURED_MS = 3000;
const ROOT = 'draft:bench';
const IDLE_ROOMS = 20;
const COLD_UPDATES = 10_000;

/**
 * The same load on ours (everything on disk before it is sent on or confirmed) and on two peers that
 * keep documents in memory alone. Same machine, same run, one after the other; a busy machine weighs
 * on whoever is running, so compare only within quiet runs.
 */
export async function run(): Promise<BenchRow[]> {
  const program = await ServerUnderLoad.build();
  const rows: BenchRow[] = [{ name: 'load average at the start', value: loadavg()[0]!, unit: '' }];
  for (const [writers, readers] of [
    [1, 50],
    [1, 200],
    [20, 50],
  ] as const) {
    const found = await each(program, (server) => fanOut(server, writers, readers));
    const title = `${writers} at 60/s to ${readers}`;
    for (const [key, unit] of [
      ['p50', 'ms'],
      ['p99', 'ms'],
      ['cpu', '%'],
      ['frames', '/s'],
    ] as const) {
      rows.push(...beside(`${title}, ${key}`, unit, found, (value) => value[key]));
    }
    const missing = KINDS.reduce((sum, kind) => sum + found[kind].missing, 0);
    if (missing > 0) rows.push({ name: `${title}, not delivered`, value: missing, unit: 'edits' });
  }
  const memory = await each(program, idleMemory);
  rows.push(...beside('memory per live room', 'KB', memory, ({ live }) => live));
  rows.push(...beside('memory per room after all left', 'KB', memory, ({ idle }) => idle));
  rows.push(...(await durable(program)));
  rows.push({ name: 'load average at the end', value: loadavg()[0]!, unit: '' });
  return rows;
}

async function each<T>(
  program: string,
  measure: (server: ServerUnderLoad) => Promise<T>,
): Promise<Record<Kind, T>> {
  const found: Partial<Record<Kind, T>> = {};
  for (const kind of KINDS) {
    const server = await ServerUnderLoad.start(program, kind);
    try {
      found[kind] = await measure(server);
    } finally {
      await server.stop();
    }
  }
  return found as Record<Kind, T>;
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

interface FanOut {
  readonly p50: number;
  readonly p99: number;
  readonly cpu: number;
  /** Frames that readers got, a second. */
  readonly frames: number;
  readonly missing: number;
}

async function fanOut(server: ServerUnderLoad, writers: number, readers: number): Promise<FanOut> {
  const cookies = await server.people(Math.ceil((writers + readers) / 50));
  const open = (index: number): BareClient =>
    new BareClient(server, 'demo', cookies[index % cookies.length] ?? '');
  const writing = Array.from({ length: writers }, (_, index) => open(index));
  const reading = Array.from({ length: readers }, (_, index) => open(index));
  await Promise.all([...writing, ...reading].map(({ opened }) => opened));

  const sentAt = new Map<string, number>();
  const latencies: number[] = [];
  let measuring = false;
  let frames = 0;
  let sent = 0;
  for (const reader of reading) {
    reader.onUpdate = (update) => {
      if (measuring) frames += 1;
      for (const mark of marksIn(update)) {
        const at = sentAt.get(mark);
        if (at !== undefined) latencies.push(performance.now() - at);
      }
    };
  }
  const makers = writing.map((client, index) => {
    const doc = new Y.Doc();
    doc.on('update', (update: Uint8Array) => client.send(update));
    let n = 0;
    return () => {
      const mark = `${index}:${n++}`;
      if (measuring) {
        sentAt.set(mark, performance.now());
        sent += 1;
      }
      doc.getMap(ROOT).set(`figure/f/w${index}`, `@@${mark}@@`);
    };
  });
  const timers = makers.map((make) => setInterval(make, RATE_MS));
  await later(WARM_UP_MS);
  const before = await server.usage();
  const start = performance.now();
  measuring = true;
  await later(MEASURED_MS);
  measuring = false;
  const wall = performance.now() - start;
  const after = await server.usage();
  for (const timer of timers) clearInterval(timer);
  // What has not arrived by then counts as not delivered; a backlog is not waited for.
  await later(1000);
  for (const client of [...writing, ...reading]) client.end();
  const cpu = after.cpu.user + after.cpu.system - before.cpu.user - before.cpu.system;
  const sorted = [...latencies].sort((a, b) => a - b);
  return {
    p50: spread(latencies).median,
    p99: sorted[Math.floor(0.99 * sorted.length)] ?? Number.NaN,
    // Between the moments when the server answered: one that is behind answers late.
    cpu: (cpu / 1000 / (after.at - before.at)) * 100,
    frames: (frames / wall) * 1000,
    missing: sent * readers - latencies.length,
  };
}

const MARK = Buffer.from('@@');

/** The marks `@@writer:number@@` in an update, wherever they stand. */
function marksIn({ buffer, byteOffset, byteLength }: Uint8Array): string[] {
  const bytes = Buffer.from(buffer, byteOffset, byteLength);
  const marks: string[] = [];
  for (let at = bytes.indexOf(MARK); at !== -1; ) {
    const end = bytes.indexOf(MARK, at + 2);
    if (end === -1) break;
    marks.push(bytes.toString('latin1', at + 2, end));
    at = bytes.indexOf(MARK, end + 2);
  }
  return marks;
}

/** Rooms with a document of 2,000 entries: what each takes while one person is in it, and after. */
async function idleMemory(server: ServerUnderLoad): Promise<{ live: number; idle: number }> {
  const [cookie = ''] = await server.people(1);
  const rooms: string[] = [];
  for (let index = 0; index < IDLE_ROOMS; index++) {
    rooms.push(server.kind === 'ours' ? await newReview(server.port, cookie) : `room${index}`);
  }
  const draw = random(SEED);
  const none = await server.usage();
  const clients: BareClient[] = [];
  for (const room of rooms) {
    const client = new BareClient(server, room, cookie);
    await client.opened;
    const doc = new Y.Doc();
    for (let entry = 0; entry < 2000; entry++) {
      doc.getMap(ROOT).set(`figure/f/${entry}`, [draw(), draw(), draw(), draw()]);
    }
    client.send(Y.encodeStateAsUpdate(doc));
    clients.push(client);
  }
  await later(500);
  const live = await server.usage();
  await Promise.all(clients.map((client) => client.close()));
  // Ours keeps a room until its drafts have been weighed, three seconds after the last change.
  await later(4000);
  const idle = await server.usage();
  const per = (usage: { held: number }): number =>
    Math.max(0, usage.held - none.held) / IDLE_ROOMS / 1024;
  return { live: per(live), idle: per(idle) };
}

async function newReview(port: number, cookie: string): Promise<string> {
  const response = await fetch(`http://127.0.0.1:${port}/api/reviews`, {
    method: 'POST',
    headers: { cookie, 'content-type': 'application/json' },
    body: JSON.stringify({ title: 'A room' }),
  });
  if (!response.ok) throw new Error(`a review was not made: ${await response.text()}`);
  const { id } = (await response.json()) as { id: string };
  return id;
}

/** What only ours does: edits on disk a second, and opening a long document that nobody has open. */
async function durable(program: string): Promise<BenchRow[]> {
  const server = await ServerUnderLoad.start(program, 'ours');
  try {
    const [cookie = ''] = await server.people(1);
    const room = await newReview(server.port, cookie);
    const writers = await Promise.all(
      Array.from({ length: 20 }, async () => {
        const client = new BareClient(server, 'demo', cookie);
        await client.opened;
        return client;
      }),
    );
    let saved = 0;
    let running = true;
    for (const [index, client] of writers.entries()) {
      const doc = new Y.Doc();
      doc.on('update', (update: Uint8Array) => client.send(update));
      let n = 0;
      const next = (): void => {
        if (!running) return;
        n += 1;
        doc.getMap(ROOT).set(`figure/f/w${index}`, n);
        client.barrier(n);
      };
      client.onSaved = () => {
        saved += 1;
        next();
      };
      for (let ahead = 0; ahead < 4; ahead++) next();
    }
    await later(500);
    saved = 0;
    const start = performance.now();
    await later(2000);
    const perSecond = (saved / (performance.now() - start)) * 1000;
    running = false;
    await Promise.all(writers.map((client) => client.close()));
    return [
      { name: 'durable edits a second, 20 writers: ours', value: perSecond, unit: '/s' },
      ...(await coldLoad(server, room, cookie)),
    ];
  } finally {
    await server.stop();
  }
}

async function coldLoad(
  server: ServerUnderLoad,
  room: string,
  cookie: string,
): Promise<BenchRow[]> {
  const draw = random(SEED);
  const doc = new Y.Doc();
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let index = 0; index < COLD_UPDATES; index++) {
    doc.getMap(ROOT).set(`figure/f/${Math.floor(draw() * 3000)}`, [draw(), draw(), draw(), draw()]);
  }
  const writer = new BareClient(server, room, cookie);
  await writer.opened;
  // In batches with a barrier behind each, as fast as the traffic limit of one socket lets it.
  for (let from = 0; from < updates.length; from += 2500) {
    const saved = new Promise<void>((resolve) => {
      writer.onSaved = () => resolve();
    });
    for (const update of updates.slice(from, from + 2500)) writer.send(update);
    writer.barrier(1);
    await saved;
    await later(4500);
  }
  await writer.close();
  await later(4000);
  const start = performance.now();
  const reader = new BareClient(server, room, cookie);
  let bytes = 0;
  reader.onUpdate = (update) => {
    bytes = update.byteLength;
  };
  await reader.opened;
  const ours = performance.now() - start;
  await reader.close();
  const before = performance.now();
  const replayed = new Y.Doc();
  for (const update of updates) Y.applyUpdate(replayed, update);
  Y.encodeStateAsUpdate(replayed);
  const replay = performance.now() - before;
  return [
    {
      name: `cold load of ${COLD_UPDATES} updates, ${bytes} bytes, socket to document: ours`,
      value: ours,
      unit: 'ms',
      ratio: ours / replay,
      peer: 'applying the updates one by one, which is what a log without snapshots does',
    },
  ];
}

const later = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
