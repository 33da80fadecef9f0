import { statSync } from 'node:fs';
import { join as joinPath } from 'node:path';
import { describe, expect, it } from 'vitest';
import { isOurHost, isOurOrigin } from '../../server/access/origin.ts';
import { secretIn, sign, unsign } from '../../server/access/secrets.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { join } from '../helpers/sync-client.ts';

interface Me {
  readonly person: { id: string; name: string; ink: number; role: string };
  readonly review: { id: string; title: string };
}

async function me(server: TestServer, cookie: string, review = 'demo'): Promise<Me> {
  const response = await fetch(`${server.url}/api/reviews/${review}/me`, { headers: { cookie } });
  expect(response.status).toBe(200);
  return (await response.json()) as Me;
}

const BROWSER = { accept: 'text/html,application/xhtml+xml' };

describe('an invite link', () => {
  it('signs a browser in and leaves no secret in the address', async () => {
    const server = await startServer();
    const response = await fetch(server.links!.reviewer, { redirect: 'manual' });
    expect(response.status).toBe(302);
    expect(response.headers.get('location')).toBe('/r/demo');
    const cookie = response.headers.get('set-cookie') ?? '';
    expect(cookie).toMatch(/; HttpOnly/);
    expect(cookie).toMatch(/; SameSite=Strict/);
    expect(cookie).not.toMatch(/; Secure/);
    expect((await me(server, cookie.split(';')[0]!)).person.role).toBe('reviewer');
  });

  it('makes the cookie Secure where people come over TLS', async () => {
    const server = await startServer({ publicUrl: 'https://lean.example/' });
    expect(server.leadLink).toMatch(/^https:\/\/lean\.example\/join\/[\w-]{22}$/);
    const path = new URL(server.leadLink!).pathname;
    const response = await fetch(`http://127.0.0.1:${server.port}${path}`, { redirect: 'manual' });
    expect(response.headers.get('set-cookie')).toMatch(/; Secure/);
  });

  it('makes an invented name and different inks, and keeps a browser the person it is', async () => {
    const server = await startServer();
    const first = await server.joinAs('guest');
    const second = await server.joinAs('guest');
    const [a, b] = [await me(server, first), await me(server, second)];
    expect([a.person.name, b.person.name]).toEqual(['Newcomer 1', 'Newcomer 2']);
    expect(a.person.id).not.toBe(b.person.id);
    // The small review's people have inks 3 and 7.
    expect(new Set([3, 7, a.person.ink, b.person.ink]).size).toBe(4);
    const again = await join(server.links!.guest, first);
    expect((await me(server, again)).person).toEqual(a.person);
  });

  it('keeps the stronger of two roles', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    await join(server.links!.guest, cookie);
    expect((await me(server, cookie)).person.role).toBe('animator');
    await join(server.links!.lead, cookie);
    expect((await me(server, cookie)).person.role).toBe('lead');
  });

  it('asks a browser once more from our own page, because a Strict cookie was not sent', async () => {
    const server = await startServer();
    const page = await fetch(server.links!.guest, { headers: BROWSER, redirect: 'manual' });
    expect(page.status).toBe(200);
    expect(page.headers.get('set-cookie')).toBeNull();
    expect(await page.text()).toContain('content="0;url=?here"');
    const second = await fetch(`${server.links!.guest}?here`, {
      headers: BROWSER,
      redirect: 'manual',
    });
    expect(second.status).toBe(302);
    expect(second.headers.get('set-cookie')).toMatch(/^counterlean=/);
  });

  it('that opens nothing says so', async () => {
    const server = await startServer();
    const link = `${server.url}/join/AAAAAAAAAAAAAAAAAAAAAA`;
    expect((await fetch(link)).status).toBe(404);
    const page = await fetch(`${link}?here`, { headers: BROWSER });
    expect(page.status).toBe(404);
    expect(await page.text()).toContain('does not open a review any more');
  });

  it('is kept only as a hash', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const capability = server.leadLink!.split('/').at(-1)!;
    await server.close();
    const database = openDatabase(joinPath(data, 'counterlean.sqlite'));
    const rows = database.prepare('SELECT * FROM invites').all();
    database.close();
    expect(rows).toHaveLength(4);
    expect(JSON.stringify(rows)).not.toContain(capability);
    expect(JSON.stringify(rows)).not.toContain(Buffer.from(capability).toString('hex'));
  });
});

describe('the front door', () => {
  it('lets a browser of this machine into the demo as a lead', async () => {
    const server = await startServer();
    const response = await fetch(`${server.url}/`, { redirect: 'manual' });
    expect(response.headers.get('location')).toBe('/r/demo');
    const cookie = response.headers.get('set-cookie')!.split(';')[0]!;
    expect((await me(server, cookie)).person.role).toBe('lead');
  });

  it('leaves someone who is in the demo already what they are', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    await fetch(`${server.url}/`, { redirect: 'manual', headers: { cookie } });
    expect((await me(server, cookie)).person.role).toBe('guest');
  });

  it.each([
    ['settings say that it is for others', { open: false }, {}],
    ['it is bound to more than this machine', { host: '0.0.0.0' }, {}],
    ['a proxy brings somebody here', {}, { 'x-forwarded-for': '192.0.2.7' }],
  ])('asks for the invite link when %s', async (_, options, headers) => {
    const server = await startServer(options);
    const response = await fetch(`http://127.0.0.1:${server.port}/`, {
      headers,
      redirect: 'manual',
    });
    expect(response.status).toBe(401);
    expect(response.headers.get('set-cookie')).toBeNull();
    expect(await response.text()).toContain('Open the invite link');
  });

  it('brings back to the review that the browser joined', async () => {
    const server = await startServer({ open: false });
    const cookie = await server.joinAs('guest');
    const response = await fetch(`${server.url}/`, { headers: { cookie }, redirect: 'manual' });
    expect(response.headers.get('location')).toBe('/r/demo');
  });
});

describe('whose request it is', () => {
  const local = { publicUrl: null, loopback: true };
  const anywhere = { publicUrl: null, loopback: false };
  const named = { publicUrl: 'https://lean.example', loopback: true };

  it.each([
    ['127.0.0.1:4747', local, true],
    ['localhost:4747', local, true],
    ['[::1]:4747', local, true],
    ['evil.example', local, false],
    ['127.0.0.1.evil.example', local, false],
    [null, local, false],
    ['anything.example', anywhere, true],
    ['lean.example', named, true],
    ['evil.example', named, false],
  ])('takes Host %s as its own: %o %s', (host, reach, expected) => {
    expect(isOurHost(host, reach)).toBe(expected);
  });

  it.each([
    ['http://127.0.0.1:4747', local, true],
    [null, local, true],
    ['http://evil.example', local, false],
    ['null', local, false],
    ['http://127.0.0.1:4748', local, false],
    ['https://lean.example', named, true],
  ])('takes Origin %s as its own page: %o %s', (origin, reach, expected) => {
    expect(isOurOrigin({ host: '127.0.0.1:4747', origin }, reach)).toBe(expected);
  });

  it('refuses changes from another site, and every request under a foreign name', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('lead');
    const rename = (headers: Record<string, string>): Promise<Response> =>
      fetch(`${server.url}/api/reviews/demo/me`, {
        method: 'PATCH',
        headers: { cookie, 'content-type': 'application/json', ...headers },
        body: JSON.stringify({ name: 'Mallory' }),
      });
    expect((await rename({ origin: 'http://evil.example' })).status).toBe(403);
    expect((await rename({ origin: server.url })).status).toBe(200);
  });
});

describe('signatures', () => {
  it('hold for the value and secret that they were made with, and nothing else', () => {
    const signed = sign('session-1', 'key');
    expect(unsign(signed, 'key')).toBe('session-1');
    expect(unsign(signed, 'other key')).toBeNull();
    expect(unsign(signed.replace('1', '2'), 'key')).toBeNull();
    for (const broken of ['', '.', 'x', '.abc', 'session-1.'])
      expect(unsign(broken, 'key')).toBeNull();
  });

  it('come from a secret that is made once and only its owner may read', () => {
    const folder = temporaryFolder();
    const secret = secretIn(folder);
    expect(secret.length).toBeGreaterThanOrEqual(43);
    expect(secretIn(folder)).toBe(secret);
    expect(statSync(joinPath(folder, 'secret')).mode & 0o777).toBe(0o600);
  });
});
