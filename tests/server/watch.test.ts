import { spawn } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { type IncomingMessage, request } from 'node:http';
import { join as joinPath } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, onTestFinished } from 'vitest';
import { CLOSE } from '../../core/protocol/index.ts';
import { jsonLog, textLog } from '../../server/log.ts';
import { Readiness } from '../../server/watch/readiness.ts';
import { startServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { RawSocket } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

describe('/readyz', () => {
  it('says that people may come', async () => {
    const server = await startServer();
    const response = await fetch(`${server.url}/readyz`);
    expect(response.status).toBe(200);
    expect(await response.json()).toEqual({ ready: true, notices: [] });
  });

  it('follows what stands against it', () => {
    let [canRead, isFull] = [true, false];
    const readiness = new Readiness({ canRead: () => canRead, isFull: () => isFull });
    isFull = true;
    expect(readiness.now()).toEqual({
      ready: true,
      notices: ['no room for data: nothing can be changed'],
    });
    canRead = false;
    expect(readiness.now().ready).toBe(false);
    canRead = true;
    isFull = false;
    expect(readiness.now()).toEqual({ ready: true, notices: [] });
    readiness.stop();
    expect(readiness.now()).toEqual({ ready: false, notices: ['the server is going down'] });
  });
});

describe('/metrics', () => {
  it('is in the text format of Prometheus, with routes instead of addresses', async () => {
    const server = await startServer({ processMetrics: true });
    const cookie = await server.joinAs('animator');
    const socket = await new RawSocket({ ...server, cookie, document: 'notes' }).opened();
    await socket.barrier(1);
    const body = 'HIERARCHY\nROOT Hips\n';
    const headers = { cookie };
    await fetch(`${server.url}/api/reviews/demo/files`, { method: 'PUT', headers, body });
    const response = await fetch(`${server.url}/metrics`);
    expect(response.headers.get('content-type')).toMatch(/^text\/plain; version=0\.0\.4/);
    const text = await response.text();
    // Prometheus exposition format 0.0.4: comments, or name{labels} value.
    for (const line of text.split('\n').filter((each) => each !== '')) {
      expect(line).toMatch(/^(# (HELP|TYPE) .+|[a-z_]\w*(\{.*\})? [-+]?(\d|Nan|\+?Inf).*)$/i);
    }
    expect(text).toMatch(
      /counterlean_request_seconds_count\{method="GET",route="\/join\/:capability",status="302"\} 1/,
    );
    expect(text).toContain('counterlean_sockets{document="notes"} 1');
    expect(text).toContain(`counterlean_uploaded_bytes_total{kind="bvh"} ${body.length}`);
    expect(text).toMatch(/counterlean_database_bytes [1-9]\d{4,}/);
    expect(text).toContain('counterlean_data_full 0');
    expect(text).toMatch(/nodejs_eventloop_lag_p99_seconds/);
    expect(text).not.toContain(server.leadLink!.split('/').at(-1));
    await socket.close();
  });

  it('is for this machine alone, or for whoever shows the token', async () => {
    const status = async (options: object, headers: Record<string, string> = {}) => {
      const server = await startServer(options);
      return (await fetch(`http://127.0.0.1:${server.port}/metrics`, { headers })).status;
    };
    expect(await status({})).toBe(200);
    expect(await status({}, { 'x-forwarded-for': '192.0.2.1' })).toBe(404);
    expect(await status({ publicUrl: 'https://lean.example' })).toBe(404);
    expect(await status({ proxies: 1 })).toBe(404);
    const metricsToken = 'a token of the test';
    expect(await status({ metricsToken })).toBe(404);
    expect(await status({ metricsToken }, { authorization: 'Bearer other' })).toBe(404);
    const shown = { authorization: `Bearer ${metricsToken}` };
    expect(await status({ metricsToken, publicUrl: 'https://lean.example' }, shown)).toBe(200);
  });
});

describe('the log of requests', () => {
  it('names the request, the route and the person, as the answer does', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const me = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });
    const { person } = (await me.json()) as { person: { id: string } };
    const entry = server.log.requests.at(-1);
    expect(entry).toMatchObject({
      id: me.headers.get('x-request-id'),
      method: 'GET',
      route: '/api/reviews/:review/me',
      status: 200,
      person: person.id,
    });
    expect(entry?.milliseconds).toBeGreaterThan(0);
    await fetch(`${server.url}/healthz`, { headers: { 'x-request-id': 'brought-by-anybody' } });
    expect(server.log.requests.at(-1)?.id).not.toBe('brought-by-anybody');
  });

  it("takes a proxy's id over, when it is one", async () => {
    const server = await startServer({ proxies: 1 });
    const ask = (id: string): Promise<Response> =>
      fetch(`${server.url}/healthz`, { headers: { 'x-request-id': id } });
    expect((await ask('0f3a-77c1')).headers.get('x-request-id')).toBe('0f3a-77c1');
    expect((await ask('"forged":1, "x')).headers.get('x-request-id')).toMatch(/^[\w-]{36}$/);
  });

  it('holds no secret: no link, cookie, passphrase or address', async () => {
    const lines: string[] = [];
    const keep = (line: string): void => void lines.push(line);
    const json = jsonLog(() => 0, { out: keep, err: keep });
    const server = await startServer({ log: json, secret: 'a secret that only this test knows' });
    const cookie = await server.joinAs('lead');
    const headers = { cookie, 'content-type': 'application/json' };
    const passphrase = 'eleven geese at dawn';
    const made = await fetch(`${server.url}/api/reviews/demo/invites`, {
      method: 'POST',
      headers,
      body: JSON.stringify({ role: 'guest', passphrase }),
    });
    const { link } = (await made.json()) as { link: string };
    await fetch(link, { method: 'POST', body: new URLSearchParams({ passphrase }) });
    await fetch(`${link}?here`, { headers: { accept: 'text/html' } });
    await fetch(`${server.url}/join/not-a-link-at-all-1234`);
    await fetch(`${server.url}/r/demo?secret=in-the-query`, { headers });
    await fetch(`${server.url}/api/sign-out`, { method: 'POST', headers });
    const all = lines.join('\n');
    expect(lines.length).toBeGreaterThanOrEqual(7);
    for (const secret of [
      ...Object.values(server.links!).map((each) => each.split('/').at(-1)!),
      ...[link.split('/').at(-1)!, passphrase, 'not-a-link', 'in-the-query'],
      ...[cookie.split('=')[1]!.split('.')[0]!, 'a secret that only'],
    ]) {
      expect(all).not.toContain(secret);
    }
  });

  it('is one JSON object a line, with the stack of a cause and nothing that hangs on it', () => {
    const lines: string[] = [];
    const log = jsonLog(() => Date.UTC(2031, 4, 12), {
      out: (line) => lines.push(line),
      err: (line) => lines.push(line),
    });
    const inner = Object.assign(new Error('inside'), { response: { token: 'hush-hush' } });
    log.problem('Two\nlines.', new Error('outside', { cause: inner }));
    log.info('Hello.');
    expect(lines).toHaveLength(2);
    const [problem, info] = lines.map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(problem).toMatchObject({
      at: '2031-05-12T00:00:00.000Z',
      level: 'problem',
      text: 'Two\nlines.',
      cause: [expect.stringContaining('outside'), expect.stringContaining('inside')],
    });
    expect(info).toEqual({ at: '2031-05-12T00:00:00.000Z', level: 'info', text: 'Hello.' });
    expect(lines.join()).not.toContain('hush-hush');
  });

  it('is quiet at a terminal, but for what failed here', () => {
    const lines: string[] = [];
    const keep = (line: string): void => void lines.push(line);
    const log = textLog({ out: keep, err: keep });
    const entry = { id: 'r-1', method: 'GET', route: '/x', milliseconds: 1, person: null };
    log.request({ ...entry, status: 200 });
    log.request({ ...entry, status: 404 });
    expect(lines).toEqual([]);
    log.request({ ...entry, status: 500 });
    expect(lines).toEqual(['GET /x answered 500 (request r-1).']);
  });
});

describe('something that nobody foresaw', () => {
  it('is told with an id alone, and is in the log under that id with its stack', async () => {
    const inside = 'no such table: diary, in /srv/private';
    class FailingClock extends ShiftedClock {
      fails = false;
      override now(): number {
        if (this.fails) throw new Error(inside);
        return super.now();
      }
    }
    const clock = new FailingClock();
    const server = await startServer({ clock });
    const cookie = await server.joinAs('guest');
    clock.fails = true;
    const response = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });
    clock.fails = false;
    expect(response.status).toBe(500);
    const id = response.headers.get('x-request-id') ?? '?';
    expect(await response.json()).toEqual({
      error: {
        code: 'failed',
        message: 'Something went wrong here.',
        hint: `Tell whoever runs this server: ${id}`,
      },
    });
    const [problem] = server.log.problems;
    expect(problem).toContain(id);
    expect(problem).toContain(inside);
    expect((await fetch(`${server.url}/healthz`)).status).toBe(200);
  });
});

describe('a server that is told to stop', () => {
  it('answers what it was asked, sends windows away to come back, and ends in order', async () => {
    const data = temporaryFolder();
    const server = spawn(
      process.execPath,
      // One process: tsx's own command passes signals on, but kills what is slow to take them.
      ['--import', 'tsx', joinPath(root, 'server/main.ts')],
      {
        cwd: root,
        env: {
          PATH: process.env.PATH,
          COUNTERLEAN_PORT: '0',
          COUNTERLEAN_DATA: data,
          COUNTERLEAN_LOG: 'json',
        },
        stdio: ['ignore', 'pipe', 'inherit'],
      },
    );
    onTestFinished(() => void server.kill('SIGKILL'));
    const ended = new Promise<number | null>((resolve) => server.once('exit', resolve));
    const said: string[] = [];
    const link = new Promise<string>((resolve) => {
      createInterface(server.stdout).on('line', (line) => {
        said.push(line);
        const found = /^The lead link: (\S+)$/.exec(line)?.[1];
        if (found !== undefined) resolve(found);
      });
    });
    // The demo is made on this first start, which takes a while on a busy machine.
    const leadLink = await link;
    const response = await fetch(leadLink, { redirect: 'manual' });
    const cookie = response.headers.get('set-cookie')?.split(';')[0] ?? '';
    const url = new URL(leadLink).origin;
    const socket = await new RawSocket({ url, cookie, document: 'notes' }).opened();
    await socket.barrier(1);
    expect(existsSync(joinPath(data, 'running.json'))).toBe(true);
    server.kill('SIGTERM');
    expect((await within(socket.closed, 'a closed socket')).code).toBe(CLOSE.comeBack);
    expect(await within(ended, 'the end of the server')).toBe(0);
    // Its word is taken back and its log folded in: one file holds everything.
    expect(readdirSync(data).sort()).toEqual(['counterlean.sqlite', 'secret']);
    const entries = said.filter((line) => line.startsWith('{'));
    expect(JSON.parse(entries[0] ?? '')).toMatchObject({
      level: 'request',
      route: '/join/:capability',
    });
  }, 60_000);

  it('says that it is not ready while it drains, and closes lines that would stay open', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    // A request that is under way: the server has its head and says "continue"; the body comes later.
    const put = request(`${server.url}/api/reviews/demo/files`, {
      method: 'PUT',
      headers: { cookie, expect: '100-continue', 'transfer-encoding': 'chunked' },
    });
    const answered = new Promise<IncomingMessage>((resolve) => put.once('response', resolve));
    put.flushHeaders();
    await within(new Promise<void>((resolve) => put.once('continue', resolve)), 'a continue');
    const closed = server.close();
    put.end('HIERARCHY\nROOT Hips\n');
    const response = await within(answered, 'the answer');
    expect(response.statusCode).toBe(200);
    expect(response.headers.connection).toBe('close');
    response.resume();
    await within(closed, 'the end');
    await expect(fetch(`${server.url}/healthz`)).rejects.toThrow();
  });
});
