import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { testWindows } from '../helpers/browser.ts';

const { server, browser } = testWindows();
let elsewhere: Server;

beforeAll(async () => {
  // Another site that people find links on: a chat, a mail reader.
  elsewhere = createServer((_, response) => {
    response.setHeader('content-type', 'text/html');
    response.end(`<a href="${server.link('animator')}">the review</a>`);
  });
  await new Promise<void>((resolve) => elsewhere.listen(0, '127.0.0.1', resolve));
});

afterAll(async () => {
  elsewhere?.close();
});

it('a link on another site lets a browser in as the person that it is already', async () => {
  // `localhost` and `127.0.0.1` are different sites to a browser.
  const chat = `http://localhost:${(elsewhere.address() as AddressInfo).port}/`;
  const context = await browser().newContext();
  const page = await context.newPage();
  const follow = async (): Promise<string> => {
    await page.goto(chat);
    await page.click('a');
    await page.waitForURL('**/r/demo');
    const me = await page.evaluate(async () => (await fetch('/api/reviews/demo/me')).json());
    return (me as { person: { id: string } }).person.id;
  };
  const first = await follow();
  expect(page.url()).toBe(`${server.url}/r/demo`);
  expect(await follow()).toBe(first);
  const [cookie, ...more] = await context.cookies(server.url);
  expect(more).toEqual([]);
  expect(cookie).toMatchObject({ httpOnly: true, sameSite: 'Strict' });
  await context.close();
});
