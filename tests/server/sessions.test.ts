import { createHash } from 'node:crypto';
import { join as joinPath } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { CLOSE } from '../../core/protocol/index.ts';
import { MAX_AGE_MS } from '../../server/access/cookie.ts';
import { sign } from '../../server/access/secrets.ts';
import { OVERLAP_MS, ROTATE_AFTER_MS } from '../../server/access/sessions.ts';
import { projectRoot } from '../../server/paths.ts';
import { migrate, readMigrations } from '../../server/storage/migrate.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { join, RawSocket } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const meAt = (server: TestServer, cookie: string): Promise<Response> =>
  fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });

const given = (response: Response): string | null =>
  response.headers.get('set-cookie')?.split(';')[0] ?? null;

describe('a sign-in cookie', () => {
  it('is exchanged after a day; the old one ends a minute after the new one is first used', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const first = await server.joinAs('animator');
    expect(given(await meAt(server, first))).toBeNull();
    clock.add(ROTATE_AFTER_MS + 1);
    const exchanged = await meAt(server, first);
    const { person } = (await exchanged.json()) as { person: { id: string } };
    const second = given(exchanged);
    expect(second).toMatch(/^counterlean=/);
    expect(second).not.toBe(first);
    // An answer that got lost on the way locks nobody out.
    clock.add(3 * OVERLAP_MS);
    expect((await meAt(server, first)).status).toBe(200);
    const seen = await meAt(server, second ?? '');
    expect(await seen.json()).toMatchObject({ person: { id: person.id, role: 'animator' } });
    expect((await meAt(server, first)).status).toBe(200);
    clock.add(OVERLAP_MS);
    expect((await meAt(server, first)).status).toBe(401);
    expect((await meAt(server, second ?? '')).status).toBe(200);
  });

  it('that has been replaced gets no successor any more', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const first = await server.joinAs('guest');
    clock.add(ROTATE_AFTER_MS + 1);
    const second = given(await meAt(server, first)) ?? '';
    await meAt(server, second);
    expect(given(await meAt(server, first))).toBeNull();
  });

  it('is worthless after half a year without a visit', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const cookie = await server.joinAs('guest');
    clock.add(MAX_AGE_MS + 1);
    expect((await meAt(server, cookie)).status).toBe(401);
  });

  it('cannot be made up: neither a token without a signature nor a signature without a token', async () => {
    const secret = 'a secret that only this test knows';
    const server = await startServer({ secret });
    const cookie = await server.joinAs('lead');
    const token = cookie.slice('counterlean='.length).split('.')[0] ?? '';
    for (const forged of [
      token,
      sign(token, 'another secret'),
      sign('AAAAAAAAAAAAAAAAAAAAAA', secret),
      sign('', secret),
    ]) {
      expect((await meAt(server, `counterlean=${forged}`)).status, forged).toBe(401);
    }
    expect((await meAt(server, `counterlean=${sign(token, secret)}`)).status).toBe(200);
  });

  it('is a new one with every join, and ends the one that the browser brought along', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const brought = await server.joinAs('guest');
    const response = await fetch(server.links!.guest, {
      redirect: 'manual',
      headers: { cookie: brought },
    });
    expect(given(response)).not.toBe(brought);
    const [a, b] = await Promise.all([meAt(server, brought), meAt(server, given(response) ?? '')]);
    expect(await a.json()).toEqual(await b.json());
    clock.add(OVERLAP_MS);
    expect((await meAt(server, brought)).status).toBe(401);
    expect((await meAt(server, given(response) ?? '')).status).toBe(200);
  });

  it('of a server from before there were tokens still counts, and so do its links', async () => {
    // The shape of the first version: three migrations, cookies that name the session itself.
    const data = temporaryFolder();
    const [session, capability] = ['a-session-of-the-first-version', 'AbCdEfGhIjKlMnOpQrStUv'];
    const database = new SqliteDatabase(joinPath(data, 'counterlean.sqlite'));
    migrate(database, readMigrations(joinPath(projectRoot(), 'migrations')).slice(0, 3));
    database.exec(`
      INSERT INTO reviews VALUES ('demo', 'As before', '2031-05-12T09:00:00.000Z');
      INSERT INTO people (id, review, session, name, ink, role, joined_at)
        VALUES ('ines', 'demo', '${session}', 'Ines Vale', 2, 'animator', '${new Date().toISOString()}');
    `);
    database
      .prepare(`INSERT INTO invites VALUES ('one', 'demo', 'guest', ?, '2031-05-12T09:00:00.000Z')`)
      .run(createHash('sha256').update(capability).digest());
    database.close();
    const server = await startServer({ data, secret: 'the secret of the first version' });
    const cookie = `counterlean=${sign(session, 'the secret of the first version')}`;
    expect(await (await meAt(server, cookie)).json()).toMatchObject({
      person: { id: 'ines', name: 'Ines Vale', role: 'animator' },
    });
    const guest = await join(`${server.url}/join/${capability}`);
    expect((await meAt(server, guest)).status).toBe(200);
  });

  it('has the prefix that keeps neighbouring hosts from setting it, over TLS', async () => {
    const server = await startServer({ publicUrl: 'https://lean.example' });
    const path = new URL(server.links!.guest).pathname;
    const response = await fetch(`http://127.0.0.1:${server.port}${path}`, { redirect: 'manual' });
    const cookie = response.headers.get('set-cookie') ?? '';
    expect(cookie).toMatch(/^__Host-counterlean=/);
    expect(cookie).toMatch(/; Path=\/(;|$)/);
    expect(cookie).not.toMatch(/Domain/i);
    const local = { ...server, url: `http://127.0.0.1:${server.port}` };
    expect((await meAt(local, cookie.split(';')[0] ?? '')).status).toBe(200);
  });
});

describe('signing out', () => {
  it('ends every cookie of the person and closes their windows', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('reviewer');
    const again = await fetch(server.links!.reviewer, { redirect: 'manual', headers: { cookie } });
    const socket = await new RawSocket({ ...server, cookie, document: 'notes' }).opened();
    await socket.barrier(1);
    const out = await fetch(`${server.url}/api/sign-out`, { method: 'POST', headers: { cookie } });
    expect(out.status).toBe(204);
    expect(out.headers.get('clear-site-data')).toBe('"cache", "storage"');
    expect(out.headers.get('set-cookie')).toMatch(/^counterlean=;.*Max-Age=0/);
    expect((await within(socket.closed, 'a closed socket')).code).toBe(CLOSE.notSignedIn);
    expect((await meAt(server, cookie)).status).toBe(401);
    expect((await meAt(server, given(again) ?? '')).status).toBe(401);
    const twice = await fetch(`${server.url}/api/sign-out`, {
      method: 'POST',
      headers: { cookie },
    });
    expect(twice.status).toBe(401);
  });
});

describe('a request that another site makes a browser send', () => {
  it.each([
    ['a foreign Origin', { origin: 'https://evil.example' }],
    ['the Origin of a neighbouring port', { origin: 'http://127.0.0.1:1' }],
    ['an Origin that was taken away', { origin: 'null' }],
    ['a mark of another site', { 'sec-fetch-site': 'cross-site' }],
    ['a mark of a neighbouring host', { 'sec-fetch-site': 'same-site' }],
  ])('changes nothing: %s', async (_, headers) => {
    const server = await startServer();
    const cookie = await server.joinAs('lead');
    for (const [method, path] of [
      ['PATCH', '/api/reviews/demo/me'],
      ['POST', '/api/reviews/demo/invites'],
      ['POST', '/api/sign-out'],
      ['POST', new URL(server.links!.guest).pathname],
    ] as const) {
      const response = await fetch(server.url + path, {
        method,
        headers: { cookie, 'content-type': 'application/json', ...headers },
        body: JSON.stringify({ name: 'Mallory', role: 'lead' }),
      });
      expect(response.status, path).toBe(403);
    }
    expect((await meAt(server, cookie)).status).toBe(200);
  });

  it.each(['cross-site', 'same-site'])(
    'joins nobody from within a page of another %s',
    async (site) => {
      const server = await startServer();
      const path = new URL(server.links!.guest).pathname;
      const headers = { 'sec-fetch-site': site, 'sec-fetch-mode': 'no-cors', accept: 'image/*' };
      const response = await fetch(server.url + path, { headers, redirect: 'manual' });
      expect(response.status).toBe(403);
      expect(response.headers.get('set-cookie')).toBeNull();
    },
  );

  it('of our own page is answered', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('lead');
    const response = await fetch(`${server.url}/api/reviews/demo/me`, {
      method: 'PATCH',
      headers: { cookie, 'content-type': 'application/json', 'sec-fetch-site': 'same-origin' },
      body: JSON.stringify({ name: 'Ines Vale' }),
    });
    expect(response.status).toBe(200);
  });
});
