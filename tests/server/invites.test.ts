import { describe, expect, it } from 'vitest';
import { CLOSE } from '../../core/protocol/index.ts';
import { Limits, RATES } from '../../server/access/limits.ts';
import { MAX_PEOPLE } from '../../server/access/members.ts';
import { hashPassphrase, isPassphrase, MAX_PASSPHRASE } from '../../server/access/passphrase.ts';
import { TooMany } from '../../server/errors.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { InviteStore } from '../../server/storage/invite-store.ts';
import { ReviewStore } from '../../server/storage/review-store.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { join, RawSocket } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const DAY = 24 * 3600 * 1000;
const BROWSER = { accept: 'text/html,application/xhtml+xml' };

interface Made {
  readonly id: string;
  readonly link: string;
  readonly expiresAt: string | null;
  readonly uses: number;
}

async function invite(server: TestServer, lead: string, terms: object): Promise<Made> {
  const response = await fetch(`${server.url}/api/reviews/demo/invites`, {
    method: 'POST',
    headers: { cookie: lead, 'content-type': 'application/json' },
    body: JSON.stringify({ role: 'reviewer', ...terms }),
  });
  expect(response.status).toBe(201);
  return (await response.json()) as Made;
}

async function invites(server: TestServer, lead: string): Promise<Made[]> {
  const response = await fetch(`${server.url}/api/reviews/demo/invites`, {
    headers: { cookie: lead },
  });
  return ((await response.json()) as { invites: Made[] }).invites;
}

const meAt = (server: TestServer, cookie: string): Promise<Response> =>
  fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });

describe('the terms of an invite link', () => {
  it('let it expire after 30 days when nothing else is asked for', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const lead = await server.joinAs('lead');
    const { link, expiresAt } = await invite(server, lead, {});
    expect(Date.parse(expiresAt ?? '') - clock.now()).toBeGreaterThan(29.9 * DAY);
    clock.add(29 * DAY);
    await join(link);
    clock.add(2 * DAY);
    await expect(join(link)).rejects.toThrow('404');
  });

  it('keep it for ever when that is asked for', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock });
    const { link } = await invite(server, await server.joinAs('lead'), { days: null });
    clock.add(4000 * DAY);
    await join(link);
  });

  it('count people: the same person again is no other use, the next one is one too many', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const { id, link } = await invite(server, lead, { maxUses: 2 });
    const first = await join(`${link}?here`);
    await join(`${link}?here`, first);
    await join(`${link}?here`);
    await expect(join(`${link}?here`)).rejects.toThrow('404');
    // Who is in keeps the door.
    await join(`${link}?here`, first);
    expect((await invites(server, lead)).find((each) => each.id === id)?.uses).toBe(2);
  });

  it('are not used up by a program that only looks at the link', async () => {
    const server = await startServer();
    const { link } = await invite(server, await server.joinAs('lead'), { maxUses: 1 });
    for (const headers of [{}, BROWSER, { accept: 'image/*' }]) {
      const looked = await fetch(link, { headers, redirect: 'manual' });
      expect(looked.headers.get('set-cookie')).toBeNull();
    }
    await join(`${link}?here`);
  });

  it('hold when many come at the same moment', async () => {
    const server = await startServer();
    const { link } = await invite(server, await server.joinAs('lead'), { maxUses: 5 });
    const came = await Promise.allSettled(Array.from({ length: 20 }, () => join(`${link}?here`)));
    expect(came.filter(({ status }) => status === 'fulfilled')).toHaveLength(5);
  });

  it('that make no sense are refused', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    for (const terms of [{ days: 0 }, { days: 366 }, { maxUses: 0 }, { passphrase: 'short' }]) {
      const response = await fetch(`${server.url}/api/reviews/demo/invites`, {
        method: 'POST',
        headers: { cookie: lead, 'content-type': 'application/json' },
        body: JSON.stringify({ role: 'guest', ...terms }),
      });
      expect(response.status, JSON.stringify(terms)).toBe(400);
    }
  });
});

describe('a passphrase', () => {
  const say = (link: string, passphrase: string, headers = {}): Promise<Response> =>
    fetch(link, {
      method: 'POST',
      headers,
      redirect: 'manual',
      body: new URLSearchParams({ passphrase }),
    });

  it('is asked for, and opens the link only when it is right', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const { link } = await invite(server, lead, { passphrase: 'eleven geese at dawn' });
    const asked = await fetch(`${link}?here`, { headers: BROWSER });
    expect(asked.status).toBe(401);
    expect(asked.headers.get('set-cookie')).toBeNull();
    expect(await asked.text()).toContain('name="passphrase"');
    await expect(join(link)).rejects.toThrow('401');
    const wrong = await say(link, 'twelve geese at dawn', BROWSER);
    expect(wrong.status).toBe(403);
    expect(await wrong.text()).toContain('That is not the passphrase.');
    const right = await say(link, 'eleven geese at dawn');
    expect(right.status).toBe(302);
    const cookie = right.headers.get('set-cookie')?.split(';')[0] ?? '';
    expect((await meAt(server, cookie)).status).toBe(200);
    // Who is in already is not asked again.
    await join(link, cookie);
  });

  it('can be tried five times, then only after a while', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock, proxies: 1 });
    const lead = await server.joinAs('lead');
    const { link } = await invite(server, lead, { passphrase: 'eleven geese at dawn' });
    const from = { 'x-forwarded-for': '192.0.2.9' };
    for (let turn = 0; turn < 5; turn++) expect((await say(link, 'guess', from)).status).toBe(403);
    const refused = await say(link, 'eleven geese at dawn', from);
    expect(refused.status).toBe(429);
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
    expect(await refused.json()).toMatchObject({ error: { code: 'too-many' } });
    // Another address is not kept out by that one ...
    expect((await say(link, 'guess', { 'x-forwarded-for': '192.0.2.10' })).status).toBe(403);
    clock.add(31_000);
    expect((await say(link, 'eleven geese at dawn', from)).status).toBe(302);
  });

  it('can be tried only so often from all addresses together', () => {
    const limits = new Limits(new ManualClock());
    const { burst } = RATES.passphrasesPerInvite;
    for (let turn = 0; turn < burst; turn++) limits.passphrase('one', `192.0.2.${turn}`);
    expect(() => limits.passphrase('one', '192.0.2.200')).toThrow(TooMany);
    expect(() => limits.passphrase('other', '192.0.2.200')).not.toThrow();
  });

  it('is kept as a slow salted hash, the same for the same text however it is composed', async () => {
    const kept = await hashPassphrase('Grüße vom Kai');
    expect(kept.hash).toHaveLength(32);
    expect(await isPassphrase('Gru\u0308ße vom Kai', kept)).toBe(true);
    expect(await isPassphrase('Grüße vom Ka', kept)).toBe(false);
    const longest = 'x'.repeat(MAX_PASSPHRASE);
    expect(await isPassphrase(`${longest}x`, await hashPassphrase(longest))).toBe(false);
    expect((await hashPassphrase('Grüße vom Kai')).hash.equals(kept.hash)).toBe(false);
  });
});

describe('taking a link back', () => {
  it('leaves people in, or sends out at once all who came by it and nobody else', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const [one, other] = [await invite(server, lead, {}), await invite(server, lead, {})];
    const cookies = [await join(one.link), await join(one.link), await join(other.link)];
    const sockets = await Promise.all(
      cookies.map((cookie) => new RawSocket({ ...server, cookie, document: 'notes' }).opened()),
    );
    // The server has welcomed them once it answers.
    await Promise.all(sockets.map((socket) => socket.barrier(1)));
    const remove = (id: string, query: string): Promise<Response> =>
      fetch(`${server.url}/api/reviews/demo/invites/${id}${query}`, {
        method: 'DELETE',
        headers: { cookie: lead },
      });
    expect((await remove(one.id, '?people=out')).status).toBe(204);
    for (const socket of sockets.slice(0, 2)) {
      expect((await within(socket.closed, 'a closed socket')).code).toBe(CLOSE.notSignedIn);
    }
    await sockets[2]?.barrier(2);
    expect((await meAt(server, cookies[0] ?? '')).status).toBe(401);
    expect((await meAt(server, cookies[2] ?? '')).status).toBe(200);
    await expect(join(one.link)).rejects.toThrow('404');

    expect((await remove(other.id, '')).status).toBe(204);
    expect((await meAt(server, cookies[2] ?? '')).status).toBe(200);
    await expect(join(other.link)).rejects.toThrow('404');
    await sockets[2]?.close();
  });

  it('never sends out the lead who does it', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const { link } = await invite(server, lead, { role: 'lead' });
    const second = await join(link);
    const [found] = (await invites(server, second)).slice(-1);
    await fetch(`${server.url}/api/reviews/demo/invites/${found?.id}?people=out`, {
      method: 'DELETE',
      headers: { cookie: second },
    });
    expect((await meAt(server, second)).status).toBe(200);
  });
});

describe('a review', () => {
  it('takes so many people and no more', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const lead = await server.joinAs('lead');
    await server.close();
    const database = openDatabase(`${data}/counterlean.sqlite`);
    const reviews = new ReviewStore(database, new ManualClock());
    for (let count = reviews.countOf('demo'); count < MAX_PEOPLE; count++) {
      reviews.addMember('demo', 'guest', `session-${count}`, null);
    }
    const { capability } = new InviteStore(database, new ShiftedClock()).add('demo', 'guest');
    database.close();
    const again = await startServer({ data });
    const link = `${again.url}/join/${capability}`;
    await expect(join(link)).rejects.toThrow('409');
    await join(link, lead);
  });
});

describe('the store of invites', () => {
  it('opens a link until the moment it expires', () => {
    const clock = new ManualClock();
    const database = memoryDatabase();
    new ReviewStore(database, clock).addReview('One', 'one');
    const store = new InviteStore(database, clock);
    const expiresAt = new Date(clock.now() + 1000).toISOString();
    const { capability } = store.add('one', 'guest', {
      expiresAt,
      maxUses: null,
      passphrase: null,
    });
    clock.advance(999);
    expect(store.opens(capability)).not.toBeNull();
    clock.advance(1);
    expect(store.opens(capability)).toBeNull();
  });
});
