import { describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import { readScene } from '../../core/document/index.ts';
import type { Role } from '../../core/protocol/index.ts';
import { startServer, type TestServer } from '../helpers/served.ts';
import { join, stockClient, synced } from '../helpers/sync-client.ts';

type Body = Record<string, unknown> | undefined;

function caller(server: TestServer, cookie: string) {
  return async (method: string, path: string, body?: Body): Promise<Response> =>
    fetch(`${server.url}/api/reviews${path}`, {
      method,
      headers: { cookie, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
}

const BVH = 'HIERARCHY\nROOT Hips\n';

describe('rights on routes', () => {
  const LEAD_ONLY: [string, string, Body][] = [
    ['POST', '/demo/invites', { role: 'guest' }],
    ['GET', '/demo/invites', undefined],
    ['DELETE', '/demo/invites/any', undefined],
    ['DELETE', '/demo/people/any', undefined],
    ['POST', '', { title: 'Mine' }],
  ];

  it.each<Role>(['guest', 'reviewer', 'animator'])(
    'keep a %s from what a lead does',
    async (role) => {
      const server = await startServer();
      const call = caller(server, await server.joinAs(role));
      for (const [method, path, body] of LEAD_ONLY) {
        expect((await call(method, path, body)).status, `${method} ${path}`).toBe(403);
      }
    },
  );

  it.each<[Role, number]>([
    ['guest', 403],
    ['reviewer', 403],
    ['animator', 200],
    ['lead', 200],
  ])('answer a file of a %s with %i', async (role, status) => {
    const server = await startServer();
    const response = await fetch(`${server.url}/api/reviews/demo/files`, {
      method: 'PUT',
      headers: { cookie: await server.joinAs(role) },
      body: BVH,
    });
    expect(response.status).toBe(status);
  });

  it('know nobody without a cookie', async () => {
    const server = await startServer();
    const call = caller(server, '');
    const paths = ['/demo/me', '/demo/invites', '/demo/drafts/qy-010-1/report', '/nowhere/me'];
    for (const path of paths) expect((await call('GET', path)).status, path).toBe(401);
    const answer = await (await call('GET', '/demo/me')).json();
    expect(answer).toEqual({
      error: {
        code: 'not-signed-in',
        message: 'This browser is not in that review.',
        hint: 'Open your invite link again.',
      },
    });
  });
});

describe('people and invites', () => {
  it('rename, cut to one line', async () => {
    const server = await startServer();
    const call = caller(server, await server.joinAs('guest'));
    const renamed = await call('PATCH', '/demo/me', { name: '  Ines \n Vale ' });
    expect(await renamed.json()).toMatchObject({ person: { name: 'Ines Vale', role: 'guest' } });
    for (const name of ['', '   ', 'x'.repeat(41), 7]) {
      expect((await call('PATCH', '/demo/me', { name })).status, String(name)).toBe(400);
    }
    expect(await (await call('GET', '/demo/me')).json()).toMatchObject({
      person: { name: 'Ines Vale' },
    });
  });

  it('make a link, list it without its secret, and make it worthless', async () => {
    const server = await startServer();
    const call = caller(server, await server.joinAs('lead'));
    const made = await call('POST', '/demo/invites', { role: 'reviewer' });
    expect(made.status).toBe(201);
    const { id, link } = (await made.json()) as { id: string; link: string };
    await join(link);
    const listed = await (await call('GET', '/demo/invites')).text();
    expect(listed).toContain(id);
    expect(listed).not.toContain(link.split('/').at(-1));
    expect((await call('DELETE', `/demo/invites/${id}`)).status).toBe(204);
    await expect(join(link)).rejects.toThrow('404');
    expect((await call('DELETE', `/demo/invites/${id}`)).status).toBe(404);
  });

  it('make a review that its maker leads and nobody else is in', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const made = await caller(server, lead)('POST', '', { title: 'The loft' });
    expect(made.status).toBe(201);
    const { id, links } = (await made.json()) as { id: string; links: Record<Role, string> };
    expect(Object.keys(links).sort()).toEqual(['animator', 'guest', 'lead', 'reviewer']);
    const mine = await caller(server, lead)('GET', `/${id}/me`);
    expect(await mine.json()).toMatchObject({
      person: { role: 'lead' },
      review: { id, title: 'The loft' },
    });
    const other = await server.joinAs('lead');
    expect((await caller(server, other)('GET', `/${id}/me`)).status).toBe(401);
    const guest = await join(links.guest, other);
    expect((await caller(server, guest)('GET', `/${id}/me`)).status).toBe(200);
    expect((await caller(server, guest)('GET', '/demo/me')).status).toBe(200);
  });
});

describe('files', () => {
  it('belong to a review: a hash is no key to another one', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const made = await caller(server, lead)('POST', '', { title: 'The loft' });
    const { id } = (await made.json()) as { id: string };
    const put = await fetch(`${server.url}/api/reviews/${id}/files`, {
      method: 'PUT',
      headers: { cookie: lead },
      body: BVH,
    });
    const { hash } = (await put.json()) as { hash: string };
    const call = caller(server, lead);
    expect((await call('GET', `/${id}/files/${hash}`)).status).toBe(200);
    expect((await call('GET', `/demo/files/${hash}`)).status).toBe(404);
    expect((await call('GET', '/demo/files/nonsense')).status).toBe(400);
  });
});

describe('drafts', () => {
  it('are weighed by the server as by the page', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const client = stockClient({ ...server, cookie, document: 'scenes' });
    try {
      await synced(client);
      const response = await caller(server, cookie)('GET', '/demo/drafts/qy-010-1/report');
      expect(response.status).toBe(200);
      const own = assess(readScene(client.doc, 'qy-010-1'));
      expect(await response.json()).toEqual(JSON.parse(JSON.stringify(own)));
    } finally {
      client.destroy();
    }
  });

  it('are drawn', async () => {
    const server = await startServer();
    const call = caller(server, await server.joinAs('guest'));
    for (const view of ['front', 'side', 'plan']) {
      const response = await call('GET', `/demo/drafts/qy-010-1/picture.svg?view=${view}`);
      expect(response.status).toBe(200);
      expect(response.headers.get('content-type')).toMatch(/^image\/svg\+xml/);
      expect(await response.text()).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    }
    expect((await call('GET', '/demo/drafts/qy-010-1/picture.svg?view=inside')).status).toBe(400);
  });

  it('that are not there are not found', async () => {
    const server = await startServer();
    const call = caller(server, await server.joinAs('guest'));
    expect((await call('GET', '/demo/drafts/none/report')).status).toBe(404);
  });
});

describe('the server as a whole', () => {
  it('describes its routes', async () => {
    const server = await startServer();
    const response = await fetch(`${server.url}/api/openapi.json`);
    const { openapi, paths } = (await response.json()) as {
      openapi: string;
      paths: Record<string, Record<string, unknown>>;
    };
    expect(openapi).toBe('3.1.0');
    const routes = Object.entries(paths).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method} ${path}`),
    );
    expect(routes.length).toBeGreaterThan(10);
    expect(routes).toContain('get /api/reviews/{review}/me');
  });

  it('sets headers that keep foreign scripts and frames out', async () => {
    const server = await startServer();
    for (const path of ['/healthz', '/r/demo', '/nothing', '/api/reviews/demo/me']) {
      const { headers } = await fetch(`${server.url}${path}`);
      const policy = headers.get('content-security-policy') ?? '';
      expect(policy, path).toContain("script-src 'self'");
      expect(policy, path).not.toMatch(/script-src[^;]*unsafe/);
      expect(policy, path).toContain("frame-ancestors 'none'");
      expect(headers.get('x-content-type-options'), path).toBe('nosniff');
      expect(headers.get('cross-origin-resource-policy'), path).toBe('same-origin');
      expect(headers.get('referrer-policy'), path).toBe('same-origin');
      expect(headers.get('access-control-allow-origin'), path).toBeNull();
      expect(headers.get('strict-transport-security'), path).toBeNull();
    }
  });

  it('binds browsers to TLS where people come over it, and lets no cache keep answers', async () => {
    const server = await startServer({ publicUrl: 'https://lean.example' });
    const address = `http://127.0.0.1:${server.port}/api/reviews/demo/me`;
    const response = await fetch(address, { headers: { origin: 'https://evil.example' } });
    // At least a year (OWASP ASVS 5.0, 3.4.1).
    expect(response.headers.get('strict-transport-security')).toBe('max-age=31536000');
    expect(response.headers.get('cache-control')).toBe('no-store');
    expect(response.headers.get('access-control-allow-origin')).toBeNull();
  });

  it('answers a body that is no JSON, and an address that is nothing, with one shape of error', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('lead');
    const broken = await fetch(`${server.url}/api/reviews/demo/me`, {
      method: 'PATCH',
      headers: { cookie, 'content-type': 'application/json' },
      body: '{"name":',
    });
    expect(broken.status).toBe(400);
    expect(await broken.json()).toMatchObject({ error: { code: 'bad-input' } });
    const nowhere = await fetch(`${server.url}/api/nothing`);
    expect(nowhere.status).toBe(404);
    expect(await nowhere.json()).toMatchObject({ error: { code: 'not-found' } });
    expect(await (await fetch(`${server.url}/healthz`)).json()).toEqual({ ok: true });
  });
});
