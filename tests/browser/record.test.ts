import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { card, launchBrowser, openWindow, TestServer, type Window } from '../helpers/browser.ts';
import { openPeople } from '../helpers/top-bar.ts';

const server = new TestServer();
let browser: Browser;
let lead: Window;

beforeAll(async () => {
  await server.start();
  browser = await launchBrowser();
  lead = await openWindow(browser, server.link('lead'));
});

afterAll(async () => {
  await browser?.close();
  await server.remove();
});

const listOf = (text: string) => ({
  ...{ name: 'studio.csv', mimeType: 'text/csv', buffer: Buffer.from(text) },
});

describe('the record of a review', () => {
  it('begins with a studio’s list, which is brought in whole or not at all', async () => {
    const { page } = lead;
    const chooser = page.locator('cl-board-page > input[type="file"], cl-board-page input[hidden]');
    await chooser.first().setInputFiles(listOf('Shot;Status\nNGT-1;in work\nNGT-2;dreaming\n'));
    const dialog = page.locator('cl-list-dialog');
    await dialog.getByText('Row 3: The state "dreaming" is none of').waitFor();
    expect(await dialog.getByRole('button', { name: 'Bring it onto the board' }).count()).toBe(0);
    await dialog.getByRole('button', { name: 'Close' }).click();
    await chooser.first().setInputFiles(listOf('Shot;Seq;Note\nNGT-1;Night;x\nNGT-2;Night;y\n'));
    await dialog.getByText('2 shots are new.').waitFor();
    const note = dialog.getByLabel('What the column Note is');
    expect(await note.inputValue()).toBe('');
    await note.selectOption('title');
    await dialog.getByRole('button', { name: 'Bring it onto the board' }).click();
    await card(page, 'NGT-2').getByText('y', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await card(page, 'NGT-2').waitFor({ state: 'detached' });
  });

  it('ends with a sheet that is made, opened and kept', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'The record' }).click();
    await page.getByLabel('Paper').selectOption('letter');
    await page.getByRole('button', { name: 'Make the review sheet' }).click();
    const link = page.getByRole('link', { name: 'Open the sheet, to read or print' });
    await link.waitFor({ timeout: 60_000 });
    const sheet = await page.request.get(server.url + (await link.getAttribute('href')));
    expect((await sheet.body()).subarray(0, 5).toString()).toBe('%PDF-');
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    expect(lead.faults).toEqual([]);
  });

  it('gives a program its token, shown once', async () => {
    const { page } = lead;
    await openPeople(page);
    await page.getByLabel('What it is for').fill('nightly numbers');
    await page.getByRole('button', { name: 'Make a token for 90 days' }).click();
    const secret = await page.getByLabel('Token nightly numbers').inputValue();
    const answer = await fetch(`${server.url}/api/reviews/demo/shots`, {
      headers: { authorization: `Bearer ${secret}` },
    });
    expect(answer.status).toBe(200);
    await page
      .locator('cl-token-list')
      .getByRole('button', { name: /^End it/ })
      .click();
    await page.getByLabel('Token nightly numbers').waitFor({ state: 'detached' });
    const after = await fetch(`${server.url}/api/reviews/demo/shots`, {
      headers: { authorization: `Bearer ${secret}` },
    });
    expect(after.status).toBe(401);
  });
});
