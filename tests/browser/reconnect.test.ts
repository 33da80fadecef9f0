import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { card, renameShot, saved, testWindows, type Window } from '../helpers/browser.ts';

const { server, open } = testWindows();
let one: Window;
let two: Window;

beforeAll(async () => {
  one = await open('lead');
  two = await open('animator');
});

const state = (page: Page, words: string) =>
  page.locator('cl-top-bar').getByRole('status').getByText(words, { exact: true });

describe('when the server goes away and comes back on the same port', () => {
  it('keeps what was done meanwhile and brings everything together without a reload', async () => {
    await renameShot(one.page, 'FER-0010', 'FER-0011');
    await saved(one.page);
    // A mark on the window object is lost by a reload.
    await one.page.evaluate(() => Object.assign(window, { stayed: true }));

    await server.stop();
    await state(one.page, 'offline: kept here').waitFor();
    await state(two.page, 'offline: kept here').waitFor();
    await renameShot(one.page, 'FER-0020', 'FER-0021');
    await renameShot(two.page, 'MAR-0010', 'MAR-0011');
    expect(await state(one.page, 'offline: kept here').count()).toBe(1);

    await server.start();
    await saved(one.page);
    await saved(two.page);
    for (const { page } of [one, two]) {
      for (const code of ['FER-0011', 'FER-0021', 'MAR-0011']) await card(page, code).waitFor();
    }
    expect(await one.page.evaluate(() => 'stayed' in window)).toBe(true);
  });

  it('shows both people to each other again', async () => {
    for (const { page } of [one, two]) {
      await page.getByRole('region', { name: 'Here now' }).locator('li').nth(1).waitFor();
    }
  });

  it('keeps work that was done while the server was away when the window closes meanwhile', async () => {
    await server.stop();
    await state(one.page, 'offline: kept here').waitFor();
    await renameShot(one.page, 'FER-0011', 'FER-0012');
    await card(one.page, 'FER-0012').waitFor();
    await state(one.page, 'offline: kept here').waitFor();
    await one.page.close();
    await server.start();

    const page = await one.context.newPage();
    await page.goto(`${server.url}/r/demo`);
    await card(page, 'FER-0012').waitFor();
    await saved(page);
    await card(two.page, 'FER-0012').waitFor();
  });
});
