import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';

const SCRIPT = `export const words = ${JSON.stringify('plumb line '.repeat(400))};\n`;

async function serveBuilt(): Promise<TestServer> {
  const folder = temporaryFolder();
  const webRoot = join(folder, 'web');
  mkdirSync(join(webRoot, 'assets'), { recursive: true });
  writeFileSync(join(folder, 'secret'), 'not for the page');
  writeFileSync(join(webRoot, 'index.html'), '<!doctype html><title>Page</title>');
  writeFileSync(join(webRoot, 'mark.svg'), '<svg xmlns="http://www.w3.org/2000/svg"/>');
  writeFileSync(join(webRoot, 'assets', 'app-3f2a.js'), SCRIPT);
  return startServer({ webRoot });
}

describe('the page', () => {
  it('is given for every review, and asked for anew each time', async () => {
    const server = await serveBuilt();
    for (const path of ['/r/demo', '/r/demo/qy-010', '/r/other']) {
      const response = await fetch(server.url + path);
      expect(response.status, path).toBe(200);
      expect(await response.text()).toContain('<title>Page</title>');
      expect(response.headers.get('cache-control'), path).toBe('no-cache');
      expect(response.headers.get('content-type'), path).toMatch(/^text\/html/);
    }
  });

  it('keeps files whose name holds their hash for good, and sends them compressed', async () => {
    const server = await serveBuilt();
    const response = await fetch(`${server.url}/assets/app-3f2a.js`, {
      headers: { 'accept-encoding': 'gzip' },
    });
    expect(response.headers.get('cache-control')).toBe('public, max-age=31536000, immutable');
    expect(response.headers.get('content-encoding')).toBe('gzip');
    expect(response.headers.get('content-type')).toMatch(/javascript/);
    expect(await response.text()).toBe(SCRIPT);
    const missing = await fetch(`${server.url}/assets/gone-0000.js`);
    expect(missing.status).toBe(404);
    expect(missing.headers.get('cache-control')).toBeNull();
  });

  it('has its other files at the top, and nothing from beside its folder', async () => {
    const server = await serveBuilt();
    const mark = await fetch(`${server.url}/mark.svg`);
    expect(mark.headers.get('content-type')).toMatch(/^image\/svg\+xml/);
    for (const path of ['/..%2fsecret', '/%2e%2e/secret', '/assets/..%2f..%2fsecret']) {
      const response = await fetch(server.url + path);
      expect(response.status, path).toBe(404);
      expect(await response.text(), path).not.toContain('not for the page');
    }
  });

  it('leaves no browser without an answer that asks for an icon by itself', async () => {
    for (const server of [await serveBuilt(), await startServer({ webRoot: '/nowhere' })]) {
      expect((await fetch(`${server.url}/favicon.ico`)).status).toBe(204);
    }
  });

  it('says what to do when it has not been built', async () => {
    const server = await startServer({ webRoot: join(temporaryFolder(), 'none') });
    const response = await fetch(`${server.url}/r/demo`);
    expect(response.status).toBe(503);
    expect(await response.text()).toContain('npm start');
  });
});
