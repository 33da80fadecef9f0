import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { launchBrowser, openWindow, TestServer } from '../helpers/browser.ts';
import { startProvider } from '../helpers/open-id-provider.mjs';
import { callMyself, openPeople } from '../helpers/top-bar.ts';

// The provider is oidc-provider, certified by the OpenID Foundation (openid.net/certification). Its pages
// are those that it brings along for development.

const CLIENT = { clientId: 'counterlean-test', clientSecret: 'a-client-secret-of-the-test' };

let browser: Browser;

beforeAll(async () => {
  browser = await launchBrowser();
});

afterAll(() => browser?.close());

/** The provider has to be told where it sends people back to before our server is there. */
async function freePort(): Promise<number> {
  const probe = createServer();
  await new Promise<void>((resolve) => probe.listen(0, '127.0.0.1', resolve));
  const { port } = probe.address() as AddressInfo;
  await new Promise((resolve) => probe.close(resolve));
  return port;
}

/** A server that asks a provider who people are. `only`: before any link opens. */
async function start(only: boolean): Promise<TestServer> {
  const port = await freePort();
  const publicUrl = `http://127.0.0.1:${port}`;
  const provider = await startProvider({
    ...CLIENT,
    redirectUri: `${publicUrl}/sign-in/callback`,
  });
  onTestFinished(() => provider.close());
  const openId = { ...CLIENT, issuer: provider.issuer, only };
  const server = new TestServer(undefined, { port, publicUrl, open: false, openId });
  onTestFinished(() => server.remove());
  await server.start();
  return server;
}

/** A browser of its own that asks nothing of the world: the provider's pages name a font there. */
async function newBrowser(): Promise<{ context: BrowserContext; page: Page }> {
  const context = await browser.newContext();
  onTestFinished(() => context.close());
  await keepInside(context);
  return { context, page: await context.newPage() };
}

const keepInside = (context: BrowserContext): Promise<unknown> =>
  context.route(
    ({ hostname }) => hostname !== '127.0.0.1',
    (route) => route.fulfill({ body: '' }),
  );

/** Says at the provider who one is, and agrees to tell it. */
async function vouchFor(page: Page, name: string): Promise<void> {
  await page.getByPlaceholder('Enter any login').fill(name);
  await page.getByPlaceholder('and password').fill('any');
  await page.getByRole('button', { name: 'Sign-in' }).click();
  await page.getByRole('button', { name: 'Continue' }).click();
  await page.waitForURL('**/r/demo');
  await page.locator('cl-sequence-row').first().waitFor();
}

const mine = (page: Page) =>
  page
    .getByRole('region', { name: 'Here now' })
    .getByRole('listitem')
    .filter({ hasText: /\byou, / });

describe('somebody who signs in from the list of people', () => {
  it('stays who they are, is found again from another browser, and signs out of both', async () => {
    const server = await start(false);
    const desk = await openWindow(browser, server.link('animator'));
    onTestFinished(() => desk.context.close());
    await keepInside(desk.context);
    await callMyself(desk.page, 'Ines Vale');
    await openPeople(desk.page);
    await desk.page.getByRole('link', { name: 'Sign in' }).click();
    await vouchFor(desk.page, 'ines');
    await mine(desk.page).filter({ hasText: 'Ines Vale' }).waitFor();

    const home = await newBrowser();
    await home.page.goto(server.url);
    await home.page.getByRole('link', { name: 'Sign in' }).click();
    await vouchFor(home.page, 'ines');
    await mine(home.page)
      .filter({ hasText: /Ines Vale.*you, animator/s })
      .waitFor();

    await openPeople(home.page);
    await home.page.getByRole('button', { name: 'Sign out everywhere' }).click();
    await home.page.getByRole('button', { name: 'Sign out', exact: true }).click();
    await home.page.getByText('Open the invite link').waitFor();
    await desk.page.getByText('not signed in to the review any more').waitFor();
    expect(desk.faults).toEqual([]);
  });
});

describe('a link on a server that takes only people who have signed in', () => {
  it('leads by the provider into the review', async () => {
    const server = await start(true);
    const { page } = await newBrowser();
    await page.goto(server.link('reviewer'));
    await vouchFor(page, 'Bo Marl');
    await mine(page)
      .filter({ hasText: /Bo Marl.*you, reviewer/s })
      .waitFor();
    // No secret stays in sight.
    expect(page.url()).toBe(`${server.url}/r/demo`);
  });
});
