import type { Page } from 'playwright-core';

const bar = (page: Page) => page.locator('cl-top-bar');

/** Opens what stands behind "More" in the head of a window that is not wide enough for all of it. */
export async function unfoldBar(page: Page): Promise<void> {
  const more = bar(page).getByRole('button', { name: 'More', exact: true });
  if (!(await more.isVisible())) return;
  if ((await more.getAttribute('aria-expanded')) === 'false') await more.click();
}

/** Opens the list of people and invites. */
export async function openPeople(page: Page): Promise<void> {
  await unfoldBar(page);
  await bar(page)
    .getByRole('button', { name: /^People/ })
    .click();
}

/** Gives the person at a window another name, as they would do it themselves. */
export async function callMyself(page: Page, name: string): Promise<void> {
  await openPeople(page);
  const dialog = page.locator('cl-people-dialog');
  await dialog.getByLabel('Your name').fill(name);
  await dialog.getByRole('button', { name: 'Rename yourself' }).click();
  await dialog.getByText(name).first().waitFor();
  await dialog.getByRole('button', { name: 'Close', exact: true }).click();
}
