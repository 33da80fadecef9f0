import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { PATIENCE, toShot } from '../helpers/bench-page.ts';
import { card, focusedText, testWindows } from '../helpers/browser.ts';

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve('axe-core/axe.min.js'),
  'utf8',
);

const { open } = testWindows();

/** Serious and critical findings of axe-core as readable lines. */
async function findings(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    interface Axe {
      run(options: object): Promise<{
        violations: {
          id: string;
          impact: string;
          nodes: { target: unknown; failureSummary: string }[];
        }[];
      }>;
    }
    const { axe } = window as unknown as { axe: Axe };
    const { violations } = await axe.run({ resultTypes: ['violations'] });
    return violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .flatMap(({ id, nodes }) =>
        nodes.map((node) => `${id}: ${JSON.stringify(node.target)} ${node.failureSummary}`),
      );
  });
}

async function toBench(page: Page): Promise<void> {
  await card(page, 'FER-0010').getByRole('link').click();
  await page.locator('cl-bench').waitFor();
  await page.locator('cl-note-item .author').first().waitFor();
}

/** Presses Tab until the focused thing answers to `name`. */
async function tabTo(page: Page, name: RegExp, limit = 60): Promise<void> {
  const seen: string[] = [];
  for (let step = 0; step < limit; step++) {
    await page.keyboard.press('Tab');
    const text = await focusedText(page);
    if (name.test(text)) return;
    seen.push(text.slice(0, 30));
  }
  throw new Error(`Tab never came to ${name}; it came to: ${seen.join(' | ')}`);
}

for (const dark of [false, true]) {
  describe(`in the ${dark ? 'darkened' : 'lit'} room`, () => {
    it('axe finds nothing serious on the board, the bench and the dialogs', async () => {
      const { page, context } = await open('lead', { dark });
      await card(page, 'FER-0010').locator('cl-badge').waitFor();
      await card(page, 'FER-0010')
        .getByRole('button', { name: /^Change/ })
        .click();
      expect(await findings(page)).toEqual([]);
      await page.getByRole('button', { name: 'Help' }).click();
      expect(await findings(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await page.getByRole('button', { name: /^People/ }).click();
      await page.getByRole('button', { name: 'Make the link' }).click();
      await page.getByLabel('Link for the role reviewer').waitFor();
      expect(await findings(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await toBench(page);
      expect(await findings(page)).toEqual([]);
      await context.close();
    });
  });
}

describe('with the keyboard alone', () => {
  it('one gets from the board to a shot, writes a note and goes back', async () => {
    const { page, context, faults } = await open('lead');
    await card(page, 'FER-0010').locator('cl-badge').waitFor();
    await tabTo(page, /^Put FER-0010/);
    await page.keyboard.press('Enter');
    await page.waitForURL('**/shot/fer-0010');
    await page.locator('cl-bench').waitFor();
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await tabTo(page, /^Board$/);
    const field = page.getByLabel('A note about');
    for (
      let step = 0;
      step < 120 && !(await field.evaluate((el) => el.matches(':focus')));
      step++
    ) {
      await page.keyboard.press('Tab');
    }
    await page.keyboard.type('Written without a mouse.');
    await page.keyboard.press('Control+Enter');
    await page.locator('cl-note-item').filter({ hasText: 'Written without a mouse.' }).waitFor();
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await tabTo(page, /^Board$/);
    await page.keyboard.press('Enter');
    await card(page, 'FER-0010').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('a shot is renamed and sent to the next sequence', async () => {
    const { page, context } = await open('lead');
    await card(page, 'FER-0020').locator('cl-badge').waitFor();
    await tabTo(page, /^Put FER-0020/);
    await page.keyboard.press('Alt+ArrowDown');
    const market = page.locator('cl-sequence-row').nth(1);
    await market.getByRole('article', { name: 'Shot FER-0020' }).waitFor();
    await expect.poll(() => focusedText(page)).toMatch(/^Put FER-0020/);
    await tabTo(page, /^Change FER-0020/);
    await page.keyboard.press('Enter');
    await tabTo(page, /^$/, 1);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('FER-0022');
    await page.keyboard.press('Enter');
    await card(page, 'FER-0022').waitFor();
    await context.close();
  });
});

describe('at 390 by 844', () => {
  it('board and bench fit the width, and notes can be read and written', async () => {
    const { page, context } = await open('reviewer', {
      width: 390,
      height: 844,
    });
    const width = () => page.evaluate(() => document.documentElement.scrollWidth);
    await card(page, 'FER-0010').locator('cl-badge').waitFor();
    expect(await width()).toBe(390);
    await page.getByRole('button', { name: 'More' }).click();
    await page.getByRole('button', { name: 'Help' }).waitFor();
    expect(await width()).toBe(390);
    await page.getByRole('button', { name: 'More' }).click();
    await toBench(page);
    expect(await width()).toBe(390);
    await page.getByRole('button', { name: 'Notes', exact: true }).click();
    await expect.poll(() => page.getByLabel('A note about').isVisible()).toBe(true);
    await page.getByLabel('A note about').fill('Read on a small screen.');
    await page.getByRole('button', { name: 'Add the note' }).click();
    await page.locator('cl-note-item').filter({ hasText: 'Read on a small screen.' }).waitFor();
    expect(await width()).toBe(390);
    await context.close();
  });

  it('two drafts that are laid over each other come into sight from the leaf under the drawing', async () => {
    const { page, context } = await open('guest', {
      width: 390,
      height: 844,
    });
    await toShot(page, 'FER-0010');
    await page.getByRole('button', { name: 'Drafts', exact: true }).click();
    await page.getByRole('button', { name: 'Lay over' }).click();
    const over = page.locator('cl-lay-over');
    await expect
      .poll(async () => {
        const { y = -1 } = (await over.boundingBox()) ?? {};
        return y >= 0 && y < 200;
      }, PATIENCE)
      .toBe(true);
    await context.close();
  });
});

describe('in big type', () => {
  it('a shot opens at the top of its page', async () => {
    const { page, context } = await open('guest', {
      width: 1920,
      height: 1080,
    });
    await page.getByRole('button', { name: 'Big type' }).click();
    // The card is reached by scrolling, and its shot begins at its head nevertheless.
    await card(page, 'MAR-0010').getByRole('link').first().click();
    await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
    expect(await page.evaluate(() => scrollY)).toBe(0);
    await context.close();
  });
});
