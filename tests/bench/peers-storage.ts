import * as Y from 'yjs';
import { random } from '../helpers/random.ts';
import { BareClient, type ServerUnderLoad } from './peers-kit.ts';
import { later, type Place, roomsOn } from './peers-rooms.ts';

const SEED = 77;
const ROOT = 'draft:bench';
const WARM_ROOMS = 20;
const QUIET_ROOMS = 60;
const ENTRIES = 2000;
const COLD_WRITERS = 4;
const COLD_UPDATES = 10_000;
const COLD_LOADS = 5;
const DURABLE_WRITERS = 20;

/** Ours keeps a room until its drafts have been weighed, three seconds after the last change. */
const UNLOADED_MS = 4000;

/** Rooms with a document of 2,000 entries: KB that each takes while one person is in it, and after. */
export async function memoryPerRoom(
  server: ServerUnderLoad,
): Promise<{ live: number; idle: number }> {
  const draw = random(SEED);
  const visit = async ({ room, cookie }: Place): Promise<BareClient> => {
    const client = new BareClient(server, room, cookie);
    await client.opened;
    const doc = new Y.Doc();
    for (let entry = 0; entry < ENTRIES; entry++) {
      doc.getMap(ROOT).set(`figure/f/${entry}`, [draw(), draw(), draw(), draw()]);
    }
    client.send(Y.encodeStateAsUpdate(doc));
    return client;
  };
  const visitAll = async (places: readonly Place[]): Promise<BareClient[]> => {
    const clients: BareClient[] = [];
    for (const place of places) clients.push(await visit(place));
    await later(500);
    return clients;
  };
  // What a server sets up once is no room's: compiled code, pools, tables. So as many rooms as make it
  // do that come and go before, and what the others take after them is theirs.
  const places = await roomsOn(server, WARM_ROOMS + QUIET_ROOMS);
  const first = await visitAll(places.slice(0, WARM_ROOMS));
  await Promise.all(first.map((client) => client.close()));
  await later(UNLOADED_MS);
  const none = await server.usage(true);
  const clients = await visitAll(places.slice(WARM_ROOMS));
  const live = await server.usage(true);
  await Promise.all(clients.map((client) => client.close()));
  await later(UNLOADED_MS);
  const idle = await server.usage(true);
  const per = (usage: { held: number }): number => (usage.held - none.held) / QUIET_ROOMS / 1024;
  return { live: per(live), idle: per(idle) };
}

/** Edits a second that come back as saved to writers that have four on the way at any time. */
export async function durableEdits(server: ServerUnderLoad): Promise<number> {
  const [cookie = ''] = await server.people(1);
  const writers = await Promise.all(
    Array.from({ length: DURABLE_WRITERS }, async () => {
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
  return perSecond;
}

/**
 * From opening a socket to having a document of a megabyte in 10,000 updates that the server does not
 * have in memory. Ours took the updates in before, from four windows, and has let go of the room; the
 * peers, which keep nothing, find the same 10,000 by their own loading hooks (peers-server.ts).
 */
export async function coldLoad(
  server: ServerUnderLoad,
  lines: readonly (readonly Uint8Array[])[],
): Promise<{ ms: number; bytes: number }> {
  const [place = { room: '', cookie: '' }] = await roomsOn(server, 1);
  if (server.kind === 'ours') await Promise.all(lines.map((line) => store(server, place, line)));
  const times: number[] = [];
  let bytes = 0;
  for (let load = 0; load < COLD_LOADS; load++) {
    await later(UNLOADED_MS);
    // A peer that never lets go of a room is asked for another one with the same updates in it.
    const room = server.kind === 'ours' ? place.room : `cold${load}`;
    const start = performance.now();
    const reader = new BareClient(server, room, place.cookie);
    reader.onUpdate = (update) => {
      bytes = update.byteLength;
    };
    await reader.opened;
    times.push(performance.now() - start);
    await reader.close();
  }
  times.sort((a, b) => a - b);
  return { ms: times[times.length >> 1] ?? Number.NaN, bytes };
}

/** Ten thousand updates, by the windows that wrote them. */
export const coldUpdates = (): Uint8Array[][] =>
  Array.from({ length: COLD_WRITERS }, (_, index) => updatesOf(index));

function updatesOf(writer: number): Uint8Array[] {
  const draw = random(SEED + writer);
  const doc = new Y.Doc();
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let index = 0; index < COLD_UPDATES / COLD_WRITERS; index++) {
    const value = Array.from({ length: 7 }, draw);
    doc.getMap(ROOT).set(`figure/f/${writer}-${index}`, value);
  }
  return updates;
}

async function store(
  server: ServerUnderLoad,
  { room, cookie }: Place,
  updates: readonly Uint8Array[],
): Promise<void> {
  const writer = new BareClient(server, room, cookie);
  await writer.opened;
  const saved = new Promise<void>((resolve) => {
    writer.onSaved = () => resolve();
  });
  for (const update of updates) writer.send(update);
  writer.barrier(1);
  await saved;
  await writer.close();
}
