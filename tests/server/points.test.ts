import { randomBytes } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import {
  putShot,
  readDrafts,
  readNotes,
  readScene,
  readShots,
  readStamps,
  removeShot,
  setDraftTitle,
} from '../../core/document/index.ts';
import type { Point } from '../../server/storage/point-store.ts';
import { PointStore } from '../../server/storage/point-store.ts';
import { ReviewStore } from '../../server/storage/review-store.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { docUntil, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const HOUR = 3600 * 1000;

function caller(server: TestServer, cookie: string) {
  return async (method: string, path: string, body?: unknown) => {
    const response = await fetch(`${server.url}/api/reviews${path}`, {
      method,
      headers: { cookie, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    return { status: response.status, body: (await response.json()) as Record<string, never> };
  };
}

/** Points of the demo review once there are so many. */
async function pointsOf(call: ReturnType<typeof caller>, count: number): Promise<Point[]> {
  const ask = async (): Promise<Point[]> => {
    const { points } = (await call('GET', '/demo/points')).body as { points?: Point[] };
    return points !== undefined && points.length >= count ? points : ask();
  };
  return within(ask(), `${count} points`);
}

async function atWork(options = {}) {
  const clock = new ShiftedClock();
  const server = await startServer({ clock, ...options });
  const cookie = await server.joinAs('lead');
  const client = stockClient({ ...server, cookie, document: 'scenes' });
  await synced(client);
  return { clock, server, cookie, client, call: caller(server, cookie) };
}

let turn = 0;
async function retitle(client: WebsocketProvider, title: string): Promise<void> {
  setDraftTitle(client.doc, 'qy-010-1', title, 'test');
  turn += 1;
  await saved(client, turn);
}

describe('points of a review', () => {
  it('are kept before the first change of every hour of work, and at no other time', async () => {
    const { clock, client, call } = await atWork();
    try {
      await retitle(client, 'at nine');
      await pointsOf(call, 1);
      await retitle(client, 'at five past nine');
      clock.add(3 * HOUR);
      await retitle(client, 'at twelve');
      const points = await pointsOf(call, 2);
      expect(points.map(({ why }) => why)).toEqual(['hour', 'hour']);
      const titles = await Promise.all(
        points.map(async ({ id }) => {
          const { shots } = (await call('GET', `/demo/points/${id}`)).body as {
            shots?: { drafts: { title: string }[] }[];
          };
          return shots?.[0]?.drafts[0]?.title;
        }),
      );
      expect(titles).toEqual(['at five past nine', 'first pass']);
    } finally {
      client.destroy();
    }
  });

  it('are kept at every sign-off, with the shot', async () => {
    const { client, call } = await atWork();
    try {
      await retitle(client, 'done');
      await pointsOf(call, 1);
      putShot(client.doc, { id: 'qy-010', state: 'signed-off' }, 'test');
      const [newest] = await pointsOf(call, 2);
      expect(newest).toMatchObject({ why: 'signed-off', shot: 'qy-010' });
      const held = (await call('GET', `/demo/points/${newest?.id}`)).body;
      expect(held).toMatchObject({
        shots: [{ state: 'signed-off', drafts: [{ title: 'done' }, {}] }],
      });
    } finally {
      client.destroy();
    }
  });

  it('are kept of what a program does with a personal token, as of its owner', async () => {
    const { server, clock, client, call } = await atWork();
    client.destroy();
    const made = await call('POST', '/demo/tokens', { label: 'list', role: 'lead' });
    const { secret } = made.body as { secret?: string };
    const program = async (method: string, path: string, type: string, body: string) => {
      const headers = { authorization: `Bearer ${secret}`, 'content-type': type };
      const address = `${server.url}/api/reviews/demo/shots/${path}`;
      return (await fetch(address, { method, headers, body })).status;
    };
    expect(await program('POST', 'list', 'text/csv', 'Code,Title\nQY 020,Sets it down\n')).toBe(
      200,
    );
    await pointsOf(call, 1);
    clock.add(HOUR);
    const signedOff = JSON.stringify({ state: 'signed-off' });
    expect(await program('PATCH', 'qy-010', 'application/json', signedOff)).toBe(204);
    // Before the change, because an hour has passed, and after it.
    const points = await pointsOf(call, 3);
    expect(points.map(({ why, shot }) => [why, shot])).toEqual(
      expect.arrayContaining([
        ['hour', null],
        ['hour', null],
        ['signed-off', 'qy-010'],
      ]),
    );
  });

  it('are there again after a restart', async () => {
    const data = temporaryFolder();
    const { server, client, call, cookie } = await atWork({ data });
    await call('POST', '/demo/points');
    client.destroy();
    await server.close();
    const again = caller(await startServer({ data }), cookie);
    expect(await pointsOf(again, 1)).toMatchObject([{ why: 'asked', shot: null }]);
  });

  it('bring drafts back as new ones, and nothing is overwritten', async () => {
    const { client, call } = await atWork();
    try {
      const point = (await call('POST', '/demo/points')).body as unknown as Point;
      const scene = readScene(client.doc, 'qy-010-2');
      await retitle(client, 'changed since');
      const before = readDrafts(client.doc, 'qy-010');
      const back = await call('POST', `/demo/points/${point.id}/drafts`, {
        drafts: ['qy-010-1', 'qy-010-2'],
      });
      expect(back.status).toBe(201);
      const there = (): boolean => readDrafts(client.doc, 'qy-010').length === 4;
      await docUntil(client.doc, there, 'two more drafts');
      const after = readDrafts(client.doc, 'qy-010');
      expect(after.slice(0, 2)).toEqual(before);
      expect(after.slice(2)).toMatchObject([
        { number: 3, title: 'first pass', from: 'qy-010-1' },
        { number: 4, title: 'hips back', from: 'qy-010-2' },
      ]);
      expect(readScene(client.doc, after[3]?.id ?? '')).toEqual(scene);
    } finally {
      client.destroy();
    }
  });

  it('bring a removed shot back with its draft', async () => {
    const { client, call } = await atWork();
    try {
      const point = (await call('POST', '/demo/points')).body as unknown as Point;
      removeShot(client.doc, 'qy-010', 'test');
      await saved(client, 1000);
      await call('POST', `/demo/points/${point.id}/drafts`, { drafts: ['qy-010-2'] });
      const there = (): boolean => readDrafts(client.doc, 'qy-010').length === 1;
      await docUntil(client.doc, there, 'the draft');
      expect(readShots(client.doc)).toMatchObject([{ id: 'qy-010', code: 'QY 010' }]);
      expect(readDrafts(client.doc)).toMatchObject([{ title: 'hips back', from: null }]);
    } finally {
      client.destroy();
    }
  });

  it('make a new review with drafts, notes and their authors; the old one stays', async () => {
    const { server, client, cookie, call } = await atWork();
    const point = (await call('POST', '/demo/points')).body as unknown as Point;
    await retitle(client, 'changed since');
    const made = await call('POST', `/demo/points/${point.id}/review`, { title: 'As it was' });
    expect(made.status).toBe(201);
    const { id: review } = made.body as unknown as { id: string };
    const place = { ...server, cookie, review };
    const scenes = stockClient({ ...place, document: 'scenes' });
    const notes = stockClient({ ...place, document: 'notes' });
    const record = stockClient({ ...place, document: 'record' });
    try {
      await Promise.all([scenes, notes, record].map(synced));
      expect(readDrafts(scenes.doc)[0]?.title).toBe('first pass');
      expect(readDrafts(client.doc)[0]?.title).toBe('changed since');
      const [note] = readNotes(notes.doc);
      expect(note?.text).toBe('The line lands on the toes.');
      expect(readStamps(record.doc).get(note?.id ?? '')?.by).toBe('ada');
      expect((await call('GET', `/${review}/me`)).body).toMatchObject({ person: { role: 'lead' } });
    } finally {
      for (const each of [client, scenes, notes, record]) each.destroy();
    }
  });

  it('are for a lead of that review alone', async () => {
    const { server, client, call } = await atWork();
    client.destroy();
    const point = (await call('POST', '/demo/points')).body as unknown as Point;
    const animator = caller(server, await server.joinAs('animator'));
    for (const [method, path, body] of [
      ['GET', '/demo/points'],
      ['POST', '/demo/points'],
      ['GET', `/demo/points/${point.id}`],
      ['POST', `/demo/points/${point.id}/drafts`, { drafts: ['qy-010-1'] }],
      ['POST', `/demo/points/${point.id}/review`, { title: 'Mine' }],
    ] as const) {
      expect((await animator(method, path, body)).status, path).toBe(403);
    }
    const other = (await call('POST', '', { title: 'Other' })).body as unknown as { id: string };
    expect((await call('GET', `/${other.id}/points/${point.id}`)).status).toBe(404);
    const none = await call('POST', `/demo/points/${point.id}/drafts`, { drafts: ['none'] });
    expect(none.status).toBe(404);
  });
});

describe('the share of a review', () => {
  it('holds: hours go first and oldest first, sign-offs last, the new one never', async () => {
    const database = memoryDatabase();
    const clock = new ShiftedClock();
    new ReviewStore(database, clock).addReview('One', 'one');
    const size = 1000;
    const points = new PointStore(database, clock, 3.5 * size);
    const add = async (why: Point['why'], bytes = size): Promise<void> => {
      clock.add(HOUR);
      // Random bytes do not compress, so the size is known.
      const scenes = randomBytes(bytes);
      const empty = new Uint8Array();
      await points.add('one', { why, shot: null }, { scenes, notes: empty, record: empty });
    };
    const kinds = (): string[] => points.list('one').map(({ why }) => why);
    await add('signed-off');
    await add('hour');
    await add('hour');
    await add('signed-off');
    expect(kinds()).toEqual(['signed-off', 'hour', 'signed-off']);
    await add('hour');
    expect(kinds()).toEqual(['hour', 'signed-off', 'signed-off']);
    await add('hour', 10 * size);
    expect(kinds()).toEqual(['hour']);
  });

  it('is not spent on an hour in which nothing changed', async () => {
    const database = memoryDatabase();
    const clock = new ShiftedClock();
    new ReviewStore(database, clock).addReview('One', 'one');
    const points = new PointStore(database, clock);
    const documents = {
      scenes: Uint8Array.of(1),
      notes: new Uint8Array(),
      record: new Uint8Array(),
    };
    expect(await points.add('one', { why: 'hour', shot: null }, documents)).not.toBeNull();
    expect(await points.add('one', { why: 'hour', shot: null }, documents)).toBeNull();
    expect(points.list('one')).toHaveLength(1);
  });
});
