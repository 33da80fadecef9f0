import { join } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { toShot } from '../helpers/bench-page.ts';
import { card, openLeaf, saved, testWindows, type Window } from '../helpers/browser.ts';
import { toldWith } from '../helpers/told.ts';

const { server, open } = testWindows();
const command = toldWith({});
const copy = join(server.data, 'one.kept');
let animator: Window;

beforeAll(async () => {
  animator = await open('animator');
});

/** The field for the flexion of the left upper arm, degrees, on the shot that is open. */
async function flexionField(page: Page): Promise<Locator> {
  await openLeaf(page, 'Pose');
  const panel = page.locator('cl-turn');
  await panel.getByLabel('Part').selectOption({ label: 'left upper arm' });
  return panel.getByRole('spinbutton', { name: 'flexion' });
}

async function note(page: Page, text: string): Promise<void> {
  await page.getByRole('tab', { name: /^Notes/ }).click();
  await page.getByLabel('A note about').fill(text);
  await page.getByRole('button', { name: 'Add the note' }).click();
  await page.locator('cl-note-item').filter({ hasText: text }).waitFor();
}

const kept = (page: Page) => page.locator('cl-kept-work');

const offline = (page: Page) =>
  page.locator('cl-top-bar').getByRole('status').getByText('offline: kept here', { exact: true });

/** Stops the server, lets the page work on alone, and starts the server with its earlier copy. */
async function restoreWhile(page: Page, work: () => Promise<void>): Promise<void> {
  await server.stop();
  await offline(page).waitFor();
  await work();
  await offline(page).waitFor();
  expect(await command('restore', copy, '--data', server.data)).toMatchObject({ code: 0, err: [] });
}

describe('a page that was offline while the server was put back to an earlier copy', () => {
  it('is told, and its work is kept apart and comes back as a new draft', async () => {
    const { page } = animator;
    await toShot(page, 'FER-0020');
    await note(page, 'Before the copy.');
    await saved(page);
    expect(await command('keep', copy, '--data', server.data)).toMatchObject({ code: 0, err: [] });
    await note(page, 'After the copy.');
    await saved(page);
    await restoreWhile(page, async () => {
      const field = await flexionField(page);
      await field.fill('50');
      await field.press('Enter');
      await note(page, 'Without a line.');
    });
    await server.start();
    await page.getByText(/put back to an earlier state on the server.*under Kept work/).waitFor();
    await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
    await saved(page);
    // The review is as the copy has it ...
    const gone = page.locator('cl-note-item').filter({ hasText: 'After the copy.' });
    await gone.waitFor({ state: 'detached' });
    await page.locator('cl-note-item').filter({ hasText: 'Before the copy.' }).waitFor();
    expect(Number(await (await flexionField(page)).inputValue())).not.toBeCloseTo(50, 1);
    // ... and what was done since is offered, and is for everybody once it is brought back.
    await page.getByRole('button', { name: 'Kept work' }).click();
    await kept(page).getByText('From before the server was put back').first().waitFor();
    for (const words of ['After the copy.', 'Without a line.']) {
      await kept(page).getByText(words).waitFor();
    }
    const beyond = kept(page)
      .locator('dialog')
      .evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth);
    expect(await beyond).toBe(0);
    await kept(page).getByRole('button', { name: 'Bring back as a new draft' }).click();
    await kept(page).getByRole('button', { name: 'Close' }).click();
    const lead = await open('lead');
    await card(lead.page, 'FER-0020').getByText('draft 2').waitFor();
    await toShot(lead.page, 'FER-0020');
    expect(Number(await (await flexionField(lead.page)).inputValue())).toBeCloseTo(50, 1);
    expect([...animator.faults, ...lead.faults]).toEqual([]);
    await lead.context.close();
  });

  it('finds its work though its window was closed meanwhile', async () => {
    const { page, context } = animator;
    await restoreWhile(page, async () => {
      await note(page, 'Before the window was closed.');
    });
    await page.close();
    await server.start();
    const again = await context.newPage();
    await again.goto(`${server.url}/r/demo`);
    await again.getByRole('button', { name: 'Kept work' }).click();
    await kept(again).getByText('Before the window was closed.').waitFor();
  });
});
