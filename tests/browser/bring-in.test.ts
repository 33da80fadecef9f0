import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { writeSceneJson } from '../../core/formats/index.ts';
import { card, saved, testWindows, type Window } from '../helpers/browser.ts';
import { smallClip } from '../helpers/small-clip.ts';
import { bentScene } from '../helpers/small-review.ts';

const { open } = testWindows();
let one: Window;
let two: Window;

beforeAll(async () => {
  one = await open('animator');
  two = await open('guest');
});

/** Drops a file on a sequence, as a mouse would. */
async function drop(page: Page, sequence: number, name: string, text: string): Promise<void> {
  const data = await page.evaluateHandle(
    ([fileName, content]) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content ?? ''], fileName ?? ''));
      return transfer;
    },
    [name, text],
  );
  const target = page.locator('cl-sequence-row').nth(sequence).locator('section');
  await target.dispatchEvent('dragover', { dataTransfer: data });
  await target.dispatchEvent('drop', { dataTransfer: data });
}

describe('a clip dropped on a sequence', () => {
  it('asks whose it is, says how it was read, and becomes a shot that everybody can play', async () => {
    const { page } = one;
    await drop(page, 1, 'slow_bow.bvh', smallClip(20));
    const dialog = page.getByRole('dialog');
    await dialog.getByText('20 frames at 30.00 a second').waitFor();
    expect(await dialog.getByLabel('Stature, metres').inputValue()).toBe('1.7');
    await dialog.getByLabel('Stature, metres').fill('1.8');
    await dialog.getByLabel('Mass, kilograms').fill('75');
    await dialog.getByLabel('Code').fill('MAR-0030');
    await dialog.getByRole('button', { name: 'Make the shot' }).click();
    await card(page, 'MAR-0030').locator('cl-badge').waitFor();
    await saved(page);

    await card(two.page, 'MAR-0030').locator('cl-badge').waitFor();
    await card(two.page, 'MAR-0030').getByRole('link').click();
    await two.page.locator('cl-bench').waitFor();
    const centre = two.page
      .locator('cl-shot-page cl-badge')
      .first()
      .getByText(/up, line at/);
    const first = await centre.textContent();
    await two.page.goto(`${two.page.url()}?frame=20`);
    await expect.poll(() => centre.textContent()).not.toBe(first);
  });

  it('that is broken says in which line, and changes nothing', async () => {
    const { page } = one;
    const before = await page.locator('cl-shot-card').count();
    await drop(page, 0, 'broken.bvh', smallClip(20).replace('CHANNELS 6', 'CHANNELS six'));
    const dialog = page.getByRole('dialog');
    await dialog.getByText(/cannot be read so\. Line 5/).waitFor();
    expect(await dialog.getByRole('button', { name: 'Make the shot' }).isDisabled()).toBe(true);
    await page.keyboard.press('Escape');
    expect(await page.locator('cl-shot-card').count()).toBe(before);
  });
});

describe('a scene file dropped on a sequence', () => {
  it('becomes a shot with its figure', async () => {
    const { page } = one;
    await drop(page, 0, 'bow.json', writeSceneJson(bentScene(85), 'Bow'));
    await page.getByRole('dialog').getByRole('button', { name: 'Make the shot' }).click();
    await card(page, 'FER-0030').locator('cl-badge').getByText('falls').waitFor();
    await card(page, 'FER-0030').getByRole('button', { name: 'Remove', exact: true }).click();
    await expect.poll(() => card(page, 'FER-0030').count()).toBe(0);
  });

  it('of another kind is named as such', async () => {
    const { page } = one;
    await drop(page, 0, 'notes.md', 'hello');
    await page.getByRole('dialog').getByText('this is none of them').waitFor();
    await page.keyboard.press('Escape');
    expect([...one.faults, ...two.faults]).toEqual([]);
  });
});
