import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CLOSE, type Role } from '../../core/protocol/index.ts';
import { makeId } from '../../server/access/secrets.ts';
import { systemClock } from '../../server/clock.ts';
import { DATABASE_FILE, openDatabase } from '../../server/storage/database.ts';
import { PersonalTokenStore } from '../../server/storage/personal-token-store.ts';
import { ReviewStore } from '../../server/storage/review-store.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { RawSocket } from '../helpers/sync-client.ts';

const DAY_MS = 24 * 3600 * 1000;

/** Asks as a browser with a cookie or as a program with a token. */
const asker =
  (server: TestServer, headers: Record<string, string>) =>
  async (method: string, path: string, body?: unknown) => {
    const response = await fetch(`${server.url}/api/reviews/demo${path}`, {
      method,
      headers: { ...headers, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    return { status: response.status, body: text.startsWith('{') ? JSON.parse(text) : text };
  };

async function withToken(owner: Role, role: Role, days: number | null = 90, data = ':memory:') {
  const clock = new ShiftedClock();
  const server = await startServer({ clock, data });
  const cookie = await server.joinAs(owner);
  const page = asker(server, { cookie });
  await page('GET', '/me');
  const made = await page('POST', '/tokens', { label: 'numbers', role, days });
  const program = asker(server, { authorization: `Bearer ${made.body.secret}` });
  return { clock, server, cookie, page, made, program };
}

describe('a personal token', () => {
  it('opens its review as its owner, with its own role', async () => {
    const { program, page } = await withToken('animator', 'guest');
    const me = (await page('GET', '/me')).body.person;
    expect((await program('GET', '/me')).body.person).toEqual({ ...me, role: 'guest' });
    expect((await program('GET', '/shots')).body.shots).toMatchObject([{ code: 'QY 010' }]);
    const change = await program('PATCH', '/shots/qy-010', { state: 'retake' });
    expect(change.status).toBe(403);
  });

  it('is never made for more than its owner may', async () => {
    const { page } = await withToken('reviewer', 'reviewer');
    for (const role of ['animator', 'lead']) {
      expect((await page('POST', '/tokens', { label: 'x', role })).status).toBe(403);
    }
  });

  it('may no more than its owner, once their role is less than the token’s', async () => {
    const data = temporaryFolder();
    const { server, page, made, program } = await withToken('lead', 'lead', 90, data);
    const signedOff = { state: 'signed-off' };
    expect((await program('PATCH', '/shots/qy-010', signedOff)).status).toBe(204);
    const { id } = (await page('GET', '/me')).body.person;
    await server.close();
    // No route lowers a role; whoever has the database may.
    const database = openDatabase(join(data, DATABASE_FILE));
    new ReviewStore(database, systemClock).setRole(id, 'guest');
    database.close();
    const again = asker(await startServer({ data }), {
      authorization: `Bearer ${made.body.secret}`,
    });
    expect((await again('GET', '/me')).body.person.role).toBe('guest');
    expect((await again('PATCH', '/shots/qy-010', signedOff)).status).toBe(403);
    expect((await again('GET', '/shots')).status).toBe(200);
  });

  it('opens nothing once its owner is out', async () => {
    const { server, page, program } = await withToken('lead', 'lead');
    expect((await program('GET', '/shots')).status).toBe(200);
    const { id } = (await page('GET', '/me')).body.person;
    const other = asker(server, { cookie: await server.joinAs('lead') });
    expect((await other('DELETE', `/people/${id}`)).status).toBe(204);
    expect((await program('GET', '/shots')).status).toBe(401);
  });

  it('cannot do what lets people in or changes who they are', async () => {
    const { program } = await withToken('lead', 'lead');
    for (const [method, path, body] of [
      ['GET', '/tokens'],
      ['POST', '/tokens', { label: 'more', role: 'lead' }],
      ['GET', '/invites'],
      ['POST', '/invites', { role: 'lead' }],
      ['DELETE', '/people/ada'],
      ['PATCH', '/me', { name: 'Else' }],
      ['POST', '/webhooks', { url: 'https://hooks.example.org/' }],
      ['POST', `/points/${makeId()}/review`, { title: 'Mine' }],
    ] as const) {
      expect([path, (await program(method, path, body)).status]).toEqual([path, 403]);
    }
  });

  it('lets its program read where there is no room left to note that it did', () => {
    const database = memoryDatabase();
    const clock = new ManualClock();
    const reviews = new ReviewStore(database, clock);
    reviews.addReview('Small review', 'r');
    reviews.addPerson('r', { id: 'ada', name: 'Ada Fenn', role: 'lead', ink: 3 });
    const tokens = new PersonalTokenStore(database, clock);
    const { secret } = tokens.add('ada', { role: 'lead', label: 'numbers', expiresAt: null });
    // A write that needs a page more than there may be: SQLite's own SQLITE_FULL.
    database.exec(`CREATE TABLE ballast (bytes BLOB); CREATE TRIGGER heavy BEFORE UPDATE ON
      personal_tokens BEGIN INSERT INTO ballast VALUES (zeroblob(1000000)); END`);
    database.pragma(`max_page_count = ${database.pragma('page_count', { simple: true })}`);
    expect(tokens.personOf(secret, 'r')).toMatchObject({ id: 'ada', role: 'lead' });
    expect(tokens.list('ada')).toMatchObject([{ usedAt: null }]);
    database.pragma('max_page_count = 100000');
    expect(tokens.personOf(secret, 'r')).toMatchObject({ id: 'ada' });
    expect(tokens.list('ada')).toMatchObject([{ usedAt: '2031-05-12' }]);
  });

  it('opens no socket', async () => {
    const { server, made } = await withToken('lead', 'lead');
    const bearer = { authorization: `Bearer ${made.body.secret}` };
    const socket = new RawSocket({ url: server.url, cookie: '', document: 'scenes' }, bearer);
    expect((await socket.closed).code).toBe(CLOSE.notSignedIn);
  });

  it('is shown once, kept as a hash, and ends when it is taken back or its time is over', async () => {
    const { clock, page, made, program } = await withToken('animator', 'animator', 2);
    const { tokens } = (await page('GET', '/tokens')).body;
    expect(tokens).toMatchObject([{ label: 'numbers', role: 'animator', usedAt: null }]);
    expect(JSON.stringify(tokens)).not.toContain(made.body.secret);
    expect((await program('GET', '/shots')).status).toBe(200);
    clock.add(2 * DAY_MS);
    expect((await program('GET', '/shots')).status).toBe(401);
    const again = await page('POST', '/tokens', { label: 'again', role: 'guest', days: null });
    expect((await page('DELETE', `/tokens/${again.body.id}`)).status).toBe(204);
    expect((await page('DELETE', `/tokens/${again.body.id}`)).status).toBe(404);
  });

  it('is of one review, and a wrong one is not passed over for the cookie beside it', async () => {
    const { server, cookie } = await withToken('lead', 'lead');
    const wrong = asker(server, { cookie, authorization: 'Bearer clpt_wrong' });
    expect((await wrong('GET', '/shots')).status).toBe(401);
  });
});

describe('shots over HTTP', () => {
  it('change state under the name of whoever asked, and a sign-off seals the draft', async () => {
    const { program, page } = await withToken('lead', 'lead');
    const { id } = (await page('GET', '/me')).body.person;
    await program('PATCH', '/shots/qy-010', { assigned: 'ada fenn', due: '2031-06-01' });
    expect((await program('PATCH', '/shots/qy-010', { state: 'signed-off' })).status).toBe(204);
    expect((await program('GET', '/shots')).body.shots).toMatchObject([
      {
        ...{ state: 'signed-off', assigned: 'Ada Fenn', due: '2031-06-01' },
        draft: { number: 2, sealed: true },
      },
    ]);
    const record = (await program('GET', '/record/review.json')).body;
    expect(record.shots[0].decisions).toMatchObject([
      { from: 'for-review', to: 'signed-off', by: id, draft: 'qy-010-2' },
    ]);
    expect((await program('PATCH', '/shots/qy-010', { due: 'soon' })).status).toBe(400);
    expect((await program('PATCH', '/shots/none', { due: null })).status).toBe(404);
  });

  it('come in as a list whole or not at all, and go out as CSV', async () => {
    const { server, cookie } = await withToken('animator', 'animator');
    const bring = async (text: string | Uint8Array, query = '') => {
      const response = await fetch(`${server.url}/api/reviews/demo/shots/list${query}`, {
        method: 'POST',
        headers: { cookie, 'content-type': 'text/csv' },
        body: text as string,
      });
      return { status: response.status, body: await response.json() };
    };
    const half = 'Code;State\nQY 020;in work\nQY 030;signed off\n';
    expect((await bring(half)).body).toMatchObject({ brought: false, problems: [{ row: 3 }] });
    const good = '\ufeffCode;State\r\nQY 020;in work\r\nQY 010;retake\r\n';
    expect((await bring(good, '?try=yes')).body).toMatchObject({
      ...{ brought: false, problems: [], added: ['QY 020'], changed: ['QY 010'] },
    });
    expect((await bring(good)).body).toMatchObject({ brought: true });
    expect((await bring(Uint8Array.of(0xff, 0xfe, 0x41))).status).toBe(422);
    expect((await bring('Code;Title\n"open;x\n')).status).toBe(422);
    const csv = await fetch(`${server.url}/api/reviews/demo/record/shots.csv`, {
      headers: { cookie },
    });
    const rows = new TextDecoder('utf-8', { ignoreBOM: true })
      .decode(await csv.arrayBuffer())
      .split('\r\n');
    expect(rows[0]).toMatch(/^\ufeffSequence,Code,Title,State/);
    expect(rows.slice(1, 3).map((row) => row.split(',').slice(0, 4).join('|'))).toEqual([
      'The quay|QY 010|Lifts the crate|retake',
      'The quay|QY 020||in work',
    ]);
  });
});
