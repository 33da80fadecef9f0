import { beforeAll, describe, expect, it } from 'vitest';
import { card, testWindows, type Window } from '../helpers/browser.ts';

const { open } = testWindows();
let lead: Window;
let animator: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator');
});

describe('shots of a board', () => {
  it('are picked by keyboard and changed together, and the other window sees it', async () => {
    const { page } = animator;
    await card(page, 'FER-0010').locator('a.drawing').focus();
    await page.keyboard.press('Space');
    await card(page, 'FER-0020').locator('a.drawing').focus();
    await page.keyboard.press('Shift+Space');
    await page.getByText('2 shots picked').waitFor();
    await page.keyboard.press('2');
    await page.getByLabel('Assign to').fill('Bell Orme');
    await page.getByLabel('Assign to').press('Enter');
    await page.getByRole('region', { name: 'Picked shots' }).getByLabel('Due').fill('2031-06-01');
    for (const code of ['FER-0010', 'FER-0020']) {
      const seen = card(lead.page, code);
      await seen.getByText('for review').waitFor();
      await seen.getByText('Bell Orme').waitFor();
      await seen.getByText('due June 1, 2031').waitFor();
    }
    await card(page, 'FER-0020').locator('a.drawing').focus();
    await page.keyboard.press('Escape');
    await page.getByRole('region', { name: 'Picked shots' }).waitFor({ state: 'detached' });
  });

  it('are signed off by a lead alone', async () => {
    await card(animator.page, 'FER-0010').locator('a.drawing').focus();
    await animator.page.keyboard.press('4');
    await animator.page.getByText('A lead signs off.').waitFor();
    await card(lead.page, 'FER-0010').locator('a.drawing').focus();
    await lead.page.keyboard.press('4');
    await card(animator.page, 'FER-0010').getByText('signed off').waitFor();
    await animator.page.keyboard.press('1');
    await animator.page.getByText('1 shot stays signed off: a lead takes that back.').waitFor();
    expect(await card(lead.page, 'FER-0010').getByText('signed off').count()).toBe(1);
  });

  it('are narrowed and ordered, and show their margins with states and notes', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'Narrow and order' }).click();
    await page.getByLabel('Assigned to').selectOption({ label: 'Bell Orme' });
    await card(page, 'MAR-0010').waitFor({ state: 'detached' });
    await page.getByLabel('In the order of').selectOption('margin');
    const codes = page.locator('cl-shot-card article');
    await page.getByRole('heading', { name: /All sequences/ }).waitFor();
    expect(await codes.first().getAttribute('aria-label')).toBe('Shot FER-0010');
    await page.getByRole('button', { name: 'Margins' }).click();
    const line = page.getByRole('region', { name: 'Shot FER-0010' });
    await line.getByText(/^falls/).waitFor();
    await line.getByText('for review, then signed off').waitFor();
    await line.getByText('1 note, 1 open').waitFor();
    expect(lead.faults).toEqual([]);
    expect(animator.faults).toEqual([]);
  });
});
