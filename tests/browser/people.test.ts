import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { card, testWindows, type Window } from '../helpers/browser.ts';
import { openPeople } from '../helpers/top-bar.ts';

const { server, open, browser } = testWindows();
let lead: Window;

beforeAll(async () => {
  lead = await open('lead');
});

const dialog = (page: Page) => page.locator('cl-people-dialog');

describe('an invite link', () => {
  it('has its terms, lets as many in as it says, with its passphrase, and sends them out again', async () => {
    const { page } = lead;
    await openPeople(page);
    const form = dialog(page).getByRole('form', { name: 'A new link' });
    await form.getByLabel('Role').selectOption('guest');
    await form.getByLabel('Works').selectOption('for a day');
    await form.getByLabel('For at most').fill('1');
    await form.getByLabel('Passphrase').fill('lantern and rope');
    await form.getByRole('button', { name: 'Make the link' }).click();
    const field = dialog(page).getByLabel('Link for the role guest');
    const link = await field.inputValue();
    await dialog(page)
      .getByText(/0 have come of 1; with a passphrase/)
      .waitFor();

    const context = await browser().newContext();
    const guest = await context.newPage();
    await guest.goto(link);
    await guest.getByRole('textbox').fill('lantern and rope');
    await guest.keyboard.press('Enter');
    await guest.waitForURL('**/r/demo');
    await guest.locator('cl-sequence-row').first().waitFor();
    const second = await (await browser().newContext()).newPage();
    await second.goto(link);
    await second
      .getByText('does not open a review any more')
      .or(second.getByRole('textbox'))
      .waitFor();
    if (await second.getByRole('textbox').isVisible()) {
      await second.getByRole('textbox').fill('lantern and rope');
      await second.keyboard.press('Enter');
    }
    await second.getByText('does not open a review any more').waitFor();

    // Opened again, the list knows who came; its address is not told twice.
    await dialog(page).getByRole('button', { name: 'Close' }).click();
    await openPeople(page);
    await dialog(page)
      .getByText(/1 has come of 1; with a passphrase/)
      .waitFor();
    await dialog(page)
      .getByRole('listitem')
      .filter({ hasText: '1 has come of 1' })
      .getByRole('button', { name: 'End it and send out' })
      .click();
    await guest.getByText('not signed in to the review any more').waitFor();
    await context.close();
    await dialog(page).getByRole('button', { name: 'Close' }).click();
  });

  it('that cannot be made says why', async () => {
    const { page } = lead;
    await openPeople(page);
    const form = dialog(page).getByRole('form', { name: 'A new link' });
    const links = dialog(page).locator('cl-invites li');
    await links.first().waitFor();
    const before = await links.count();
    const phrase = form.getByLabel('Passphrase');
    const make = form.getByRole('button', { name: 'Make the link' });
    const why = (field: Locator): Promise<string> =>
      field.evaluate((input) => (input as HTMLInputElement).validationMessage);
    // Typed, for the browser minds no length of what a program puts in.
    await phrase.pressSequentially('lantern');
    await make.click();
    expect(await why(phrase)).not.toBe('');
    await phrase.pressSequentially(' and rope');
    expect(await why(phrase)).toBe('');
    await form.getByLabel('For at most').fill('501');
    await make.click();
    expect(await why(form.getByLabel('For at most'))).not.toBe('');
    expect(await links.count()).toBe(before);
    await form.getByLabel('For at most').fill('500');
    await make.click();
    await expect.poll(() => links.count(), { timeout: 20_000 }).toBe(before + 1);
    await dialog(page).getByRole('button', { name: 'Close' }).click();
  });
});

describe('earlier states', () => {
  it('are kept when asked, and their drafts come back beside what is there', async () => {
    const { page } = lead;
    await openPeople(page);
    const points = page.locator('cl-points');
    await points.getByText('None yet.').waitFor();
    await points.getByRole('button', { name: 'Keep the review as it is now' }).click();
    await points.locator('ul.points button').first().click();
    await points.getByRole('group', { name: 'FER-0020 The bow' }).getByRole('checkbox').check();
    await points.getByRole('button', { name: 'Bring the ticked drafts back' }).click();
    await dialog(page).getByRole('button', { name: 'Close' }).click();
    await card(page, 'FER-0020').getByText('draft 2').waitFor();
  });

  it('make a review of their own', async () => {
    const { page } = lead;
    await openPeople(page);
    const points = page.locator('cl-points');
    await points.locator('ul.points button').first().click();
    await points.getByRole('button', { name: 'Make a new review of all of it' }).click();
    const link = await points
      .getByRole('link', { name: 'Open the new review' })
      .getAttribute('href');
    const context = await browser().newContext();
    const other = await context.newPage();
    await other.goto(link ?? '');
    await other.getByRole('heading', { level: 1, name: /^Small review, as of/ }).waitFor();
    await context.close();
    await dialog(page).getByRole('button', { name: 'Close' }).click();
    expect(lead.faults).toEqual([]);
  });
});

describe('the way out', () => {
  it('asks once, and ends in no review', async () => {
    const { page, context } = await open('reviewer');
    const who = async (): Promise<string> => {
      const answer = await page.request.get(`${server.url}/api/reviews/demo/me`);
      return answer.ok() ? (await answer.json()).person.id : '';
    };
    const before = await who();
    await openPeople(page);
    expect(await dialog(page).locator('cl-invites, cl-points').count()).toBe(0);
    await dialog(page).getByRole('button', { name: 'Sign out everywhere' }).click();
    await dialog(page).getByRole('button', { name: 'Stay' }).click();
    await dialog(page).getByRole('button', { name: 'Sign out everywhere' }).click();
    await dialog(page).getByRole('button', { name: 'Sign out', exact: true }).click();
    // On this machine the front door lets anybody in, as somebody new.
    await expect.poll(who, { timeout: 20_000 }).not.toBe(before);
    await context.close();
  });
});
