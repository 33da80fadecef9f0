import { execFileSync } from 'node:child_process';
import { beforeAll, describe, expect, it } from 'vitest';
import { card, testWindows, type Window } from '../helpers/browser.ts';
import { openPeople } from '../helpers/top-bar.ts';

const { server, open } = testWindows();
let lead: Window;

beforeAll(async () => {
  lead = await open('lead');
});

interface SheetAnswer {
  readonly state: string;
}

/** Something that is waited for until somebody opens it. */
function gate(): { readonly opened: Promise<void>; open(): void } {
  let open: () => void = () => undefined;
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { opened, open: () => open() };
}

/**
 * The words of a sheet about each shot below its readings, sorted, because readers of PDF differ in which
 * column they read first. Poppler (Debian's poppler-utils) reads them.
 */
function wordsOf(pdf: Buffer): string[][] {
  const text = execFileSync('pdftotext', ['-', '-'], { input: pdf, encoding: 'utf8' });
  const parts = text.replace(/\s+/g, ' ').matchAll(/Margin over the drafts .*?(?= For drawn and)/g);
  return [...parts].map(([part]) => part.split(' ').sort());
}

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

  it('is printed from the page as the sheet that the server makes, and leaves the page as it was', async () => {
    const { page } = lead;
    const base = `${server.url}/api/reviews/demo/sheets`;
    const begun = await page.request.post(base, { data: { paper: 'a4' } });
    const { id } = (await begun.json()) as { id: string };
    const made = async (): Promise<Buffer> => {
      const { state } = (await (await page.request.get(`${base}/${id}`)).json()) as SheetAnswer;
      if (state !== 'made') return made();
      return (await page.request.get(`${base}/${id}/sheet.pdf`)).body();
    };
    const fromServer = wordsOf(await made());
    // Printing itself belongs to the browser: the test prints when the page asks for it.
    await page.evaluate(() => {
      const asked = new Promise<void>((resolve) => Object.assign(window, { print: resolve }));
      Object.assign(window, { asked });
    });
    await page.keyboard.press('Control+p');
    await page.evaluate(() => (window as unknown as { asked: Promise<void> }).asked);
    const fromPage = wordsOf(await page.pdf({ format: 'A4' }));
    expect(fromServer.flat()).toContain('hand.');
    expect(fromPage).toEqual(fromServer);
    expect(await page.locator('cl-print-sheet').count()).toBe(0);
    await card(page, 'FER-0020').waitFor();
    expect(lead.faults).toEqual([]);
  });

  it('is given up without a word of trouble, though the page is just asking how far it is', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'The record' }).click();
    const asked = gate();
    const dropped = gate();
    await page.route('**/sheets/*', async (route) => {
      if (route.request().method() === 'GET') {
        asked.open();
        await dropped.opened;
        await route.continue();
      } else {
        await route.continue();
        dropped.open();
      }
    });
    await page.getByRole('button', { name: 'Make the review sheet' }).click();
    await asked.opened;
    const answer = page.waitForResponse((response) => response.status() === 404);
    await page.getByRole('button', { name: 'Cancel', exact: true }).click();
    await answer;
    await page.getByText('No sheet is being made.').first().waitFor();
    expect(await page.locator('cl-sheet-maker').getByRole('alert').count()).toBe(0);
    await page.unroute('**/sheets/*');
    await page.getByRole('button', { name: 'Close', exact: true }).click();
  });

  it('keeps its head where it is when lists come in below, and in sight at its end', async () => {
    const { page } = lead;
    const lists = gate();
    const webhooks = Array.from({ length: 12 }, (_, i) => ({
      ...{ id: `w${i}`, url: `https://told-${i}.example/`, secret: null },
    }));
    await page.route('**/webhooks', async (route) => {
      await lists.opened;
      await route.fulfill({ json: { webhooks } });
    });
    await page.getByRole('button', { name: 'The record' }).click();
    const dialog = page.locator('cl-record-dialog dialog');
    const close = dialog.getByRole('button', { name: 'Close', exact: true });
    await close.waitFor();
    const before = await close.boundingBox();
    lists.open();
    const last = dialog.getByText('https://told-11.example/', { exact: true });
    await last.waitFor();
    expect(await close.boundingBox()).toEqual(before);
    await last.scrollIntoViewIfNeeded();
    expect(await dialog.evaluate(({ scrollTop }) => scrollTop)).toBeGreaterThan(100);
    expect(await close.boundingBox()).toEqual(before);
    await close.click();
    await page.unroute('**/webhooks');
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
