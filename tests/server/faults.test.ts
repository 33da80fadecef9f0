import { copyFileSync } from 'node:fs';
import { join as joinPath } from 'node:path';
import { createDecoder, readVarString, readVarUint } from 'lib0/decoding';
import { describe, expect, it } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { draftEntries, setEntries } from '../../core/document/index.ts';
import { CLOSE, MESSAGE_HELD, MESSAGE_REFUSED, MESSAGE_SAVED } from '../../core/protocol/index.ts';
import { projectRoot } from '../../server/paths.ts';
import { DATABASE_FILE, openDatabase } from '../../server/storage/database.ts';
import { readMigrations } from '../../server/storage/migrate.ts';
import { restore } from '../../server/storage/restore.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { Connection } from '../../server/sync/connection.ts';
import type { Room } from '../../server/sync/room.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { TRAFFIC, Traffic } from '../../server/sync/traffic.ts';
import { answerFrame, updateFrame } from '../../server/sync/wire.ts';
import { masked, updateOf } from '../helpers/hostile.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { startServer, temporaryFolder } from '../helpers/served.ts';
import { barrierFrame, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { until } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;
const KEY = { review: 'r', document: 'scenes' } as const;
const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

interface Told {
  /** Frames by type, and the texts of refusals and holds. */
  readonly types: number[];
  readonly texts: string[];
  readonly closed: number[];
}

function plug(room: Room): { connection: Connection; told: Told } {
  const told: Told = { types: [], texts: [], closed: [] };
  const person = { id: 'anna', name: 'Anna', ink: 0, role: 'animator' } as const;
  const connection = new Connection(room, person, {
    bufferedAmount: 0,
    send: (frame) => {
      const decoder = createDecoder(frame);
      const type = readVarUint(decoder);
      told.types.push(type);
      if (type === MESSAGE_HELD || type === MESSAGE_REFUSED)
        told.texts.push(readVarString(decoder));
    },
    close: (code) => told.closed.push(code),
  });
  return { connection, told };
}

/** A server's parts on a database file whose size a test can bound. */
function onBoundedDisk() {
  const file = joinPath(temporaryFolder(), 'bounded.sqlite');
  const database = openDatabase(file);
  const clock = new ManualClock();
  const log = new KeptLog();
  const store = new SqliteUpdateStore(database, clock, log);
  const rooms = new Rooms(store, log);
  const pages = (): number => Number(database.pragma('page_count', { simple: true }));
  return {
    ...{ clock, database, log, rooms, store },
    /** Leaves so many pages to grow by, as SQLite itself enforces it (SQLITE_FULL). */
    leave: (more: number) => database.pragma(`max_page_count = ${pages() + more}`),
  };
}

describe('a disk that is full', () => {
  const big = (doc: Y.Doc, name: string): Uint8Array =>
    updateOf(doc, (own) => {
      own.getMap('draft:d').set(name, new Uint8Array(200_000).fill(7));
    });

  it('is said; reading goes on, nothing is confirmed, and all is taken once there is room', async () => {
    const { clock, database, leave, log, rooms, store } = onBoundedDisk();
    const room = await rooms.acquire(KEY);
    const first = plug(room);
    const anna = masked(room.doc, 4711);
    first.connection.receive(
      updateFrame(updateOf(anna, (doc) => setEntries(doc, 'd', { early: 1 }, USER))),
    );
    first.connection.receive(barrierFrame(1));
    clock.advance(10);
    await settled();
    expect(first.told.types).toContain(MESSAGE_SAVED);

    leave(4);
    const late = big(anna, 'late');
    first.connection.receive(updateFrame(late));
    first.connection.receive(barrierFrame(2));
    clock.advance(10);
    await settled();
    // The commit failed: memory and disk differ, so everybody is sent to come back.
    expect(first.told.closed).toEqual([CLOSE.comeBack]);
    expect(first.told.types.filter((type) => type === MESSAGE_SAVED)).toHaveLength(1);
    expect(store.isFull).toBe(true);
    expect(log.problems.join()).toMatch(/no room left for data/);
    rooms.release(room);

    // Back again: the review can be read, the work is held and not refused.
    const second = await rooms.acquire(KEY);
    expect(draftEntries(second.doc, 'd').toJSON()).toEqual({ early: 1 });
    const again = plug(second);
    again.connection.receive(Uint8Array.of(0, 0, 1, 0));
    expect(again.told.types.filter((type) => type === 0)).toHaveLength(2);
    again.connection.receive(updateFrame(late));
    again.connection.receive(
      updateFrame(updateOf(anna, (doc) => setEntries(doc, 'd', { later: 1 }, USER))),
    );
    again.connection.receive(barrierFrame(3));
    clock.advance(10);
    await settled();
    expect(again.told.types.filter((type) => type === MESSAGE_HELD)).toHaveLength(1);
    expect(again.told.texts).toEqual(['the server has no room left for changes']);
    expect(again.told.types).not.toContain(MESSAGE_SAVED);
    expect(again.told.closed).toEqual([]);
    await expect(second.write((doc) => setEntries(doc, 'd', { own: 1 }, USER))).rejects.toThrow(
      'no room left',
    );
    expect(draftEntries(second.doc, 'd').toJSON()).toEqual({ early: 1 });

    // Still full at the next try ...
    clock.advance(2000);
    await settled();
    expect(store.isFull).toBe(true);
    // ... and then there is room: the one who waits is called back, and brings all of it.
    leave(1000);
    clock.advance(2000);
    await settled();
    expect(store.isFull).toBe(false);
    expect(again.told.closed).toEqual([CLOSE.comeBack]);
    const third = plug(second);
    third.connection.receive(answerFrame(anna, Y.encodeStateVector(second.doc)));
    third.connection.receive(barrierFrame(4));
    clock.advance(10);
    await second.durable;
    await settled();
    expect(third.told.types).toContain(MESSAGE_SAVED);
    expect(third.told.texts).toEqual([]);
    const fresh = new Rooms(new SqliteUpdateStore(database, clock, log), log);
    const disk = await fresh.acquire(KEY);
    expect([...draftEntries(disk.doc, 'd').keys()].sort()).toEqual(['early', 'late', 'later']);
    database.close();
  });

  it('sends nobody what could not be kept', async () => {
    const { clock, database, leave, rooms } = onBoundedDisk();
    const room = await rooms.acquire(KEY);
    const writer = plug(room);
    const reader = plug(room);
    const before = reader.told.types.length;
    leave(0);
    writer.connection.receive(updateFrame(big(masked(room.doc, 4711), 'late')));
    clock.advance(10);
    await settled();
    expect(reader.told.types).toHaveLength(before);
    expect(reader.told.closed).toEqual([CLOSE.comeBack]);
    database.close();
  });
});

describe('a migration that fails half-way', () => {
  it('leaves a file that the program before it opens as it was', () => {
    const file = joinPath(temporaryFolder(), 'old.sqlite');
    const known = readMigrations(joinPath(projectRoot(), 'migrations'));
    const old = openDatabase(file, known);
    old.prepare(`INSERT INTO reviews VALUES ('r', 'Quay', '2031-05-12')`).run();
    old.close();
    const number = known.length + 1;
    const sql = `ALTER TABLE reviews ADD COLUMN colour TEXT; DELETE FROM reviews; INSERT INTO nowhere VALUES (1);`;
    expect(() => openDatabase(file, [...known, { number, name: 'broken.sql', sql }])).toThrow(
      'broken.sql failed and was rolled back',
    );
    const again = openDatabase(file, known);
    expect(again.prepare('SELECT * FROM reviews').all()).toEqual([
      { id: 'r', title: 'Quay', created_at: '2031-05-12' },
    ]);
    again.close();
  });
});

describe('a clock that is set', () => {
  it('back locks nobody out, and forward opens no flood', () => {
    let now = Date.UTC(2031, 4, 12);
    const timer = {};
    const clock = { now: () => now, after: () => timer, cancel: () => undefined };
    const mayTake = new Traffic(clock).meter(null);
    for (let n = 0; n < 100; n++) expect(mayTake(10)).toBe(true);
    now -= 3 * 3600 * 1000;
    for (let n = 0; n < 100; n++) expect(mayTake(10)).toBe(true);
    now += 1000;
    for (let n = 0; n < TRAFFIC.messagesPerSocket.perSecond; n++) expect(mayTake(10)).toBe(true);
    now += 24 * 3600 * 1000;
    let taken = 0;
    while (mayTake(10)) taken += 1;
    expect(taken).toBe(TRAFFIC.messagesPerSocket.burst);
  });
});

describe('a client that was offline over a restore', () => {
  const generationOf = async (url: string, cookie: string): Promise<string> => {
    const response = await fetch(`${url}/api/reviews/demo/me`, { headers: { cookie } });
    return ((await response.json()) as { generation: string }).generation;
  };

  it('is told, keeps its work, and does not bring back what was put away', async () => {
    const data = temporaryFolder();
    const first = await startServer({ data });
    const cookie = await first.joinAs('animator');
    await generationOf(first.url, cookie);
    await first.close();
    const kept = joinPath(temporaryFolder(), 'kept.sqlite');
    copyFileSync(joinPath(data, DATABASE_FILE), kept);

    const second = await startServer({ data });
    const generation = await generationOf(second.url, cookie);
    const place = { url: second.url, cookie, document: 'scenes' as const };
    const client = stockClient(place);
    client.params = { generation };
    let closedWith = 0;
    client.on('closed', ({ code }) => {
      closedWith = code;
    });
    let later: WebsocketProvider | null = null;
    try {
      await synced(client);
      setEntries(client.doc, 'qy-010-1', { after: 1 }, USER);
      await saved(client);
      await second.close();
      setEntries(client.doc, 'qy-010-1', { offline: 1 }, USER);
      restore(data, kept, new Date(Date.UTC(2031, 4, 12)));
      const third = await startServer({ data, port: second.port });
      await until(
        client as never,
        'closed',
        () => closedWith !== 0,
        'the word that it was restored',
      );
      expect(closedWith).toBe(CLOSE.restored);
      expect(draftEntries(client.doc, 'qy-010-1').get('offline')).toBe(1);
      expect(await generationOf(third.url, cookie)).not.toBe(generation);
      later = stockClient(place);
      later.params = { generation: await generationOf(third.url, cookie) };
      await synced(later);
      const scene = draftEntries(later.doc, 'qy-010-1');
      expect([scene.has('after'), scene.has('offline')]).toEqual([false, false]);
      expect(scene.get('figure/porter')).toBe(1);
    } finally {
      client.destroy();
      later?.destroy();
    }
  });
});
