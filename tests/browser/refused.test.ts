import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { card, saved, testWindows } from '../helpers/browser.ts';
import { openPeople } from '../helpers/top-bar.ts';

const { open } = testWindows();

/** Writes a shot's code into the page's own document, past every control of the page. */
const forge = (page: Page, code: string): Promise<void> =>
  page.evaluate((value) => {
    interface Board {
      session: { documents: { scenes: { getMap(name: string): Map<string, unknown> } } };
    }
    const app = document.querySelector('cl-app')?.shadowRoot;
    const board = app?.querySelector('cl-board-page') as unknown as Board;
    board.session.documents.scenes.getMap('shots').set('fer-0010/code', value);
  }, code);

describe('an edit that the server refuses', () => {
  it('is told, reaches nobody, and leaves the review as the server has it', async () => {
    const lead = await open('lead');
    const guest = await open('guest');
    await forge(guest.page, 'FORGED');
    await guest.page.getByText('Your last change was not taken').waitFor();
    await card(guest.page, 'FER-0010').waitFor();
    expect(await card(guest.page, 'FORGED').count()).toBe(0);
    expect(await card(lead.page, 'FORGED').count()).toBe(0);

    // What comes afterwards arrives: the page is a full member again.
    const shot = card(lead.page, 'FER-0010');
    await shot.getByRole('button', { name: 'Change FER-0010' }).click();
    await shot.getByLabel('Code').fill('FER-0015');
    await shot.getByRole('button', { name: 'Rename' }).click();
    await card(guest.page, 'FER-0015').waitFor();
    await saved(guest.page);
    await guest.page.reload();
    await card(guest.page, 'FER-0015').waitFor();
    expect([...lead.faults, ...guest.faults]).toEqual([]);
    await lead.context.close();
    await guest.context.close();
  });
});

describe('work that the server does not take', () => {
  it('is kept in this browser and comes back as a new draft beside what is there', async () => {
    const animator = await open('animator');
    const lead = await open('lead');
    // Sealed under the animator's hands: their page knows the seal only after the pose has changed.
    await animator.page.evaluate(() => {
      interface Board {
        session: {
          documents: {
            scenes: { getMap(name: string): Map<string, unknown>; transact(run: () => void): void };
          };
        };
      }
      const app = document.querySelector('cl-app')?.shadowRoot;
      const board = app?.querySelector('cl-board-page') as unknown as Board;
      const { scenes } = board.session.documents;
      const shots = [...scenes.getMap('drafts')].filter(
        ([key, value]) => key.endsWith('/shot') && value === 'mar-0010',
      );
      const draft = shots[0]?.[0].split('/')[0];
      scenes.transact(() => {
        scenes.getMap(`draft:${draft}`).set('figure/porter/position', [0.4, 0.95, 0]);
        // What only the server writes goes with it, so all of it is refused.
        scenes.getMap('nobody').set('x', 1);
      });
    });
    await animator.page.getByText('is under Kept work').waitFor();
    await animator.page.getByRole('button', { name: 'Kept work' }).click();
    const kept = animator.page.locator('cl-kept-work');
    await kept.getByText('MAR-0010 The crate, draft 1').waitFor();
    await kept.getByRole('button', { name: 'Bring back as a new draft' }).click();
    await card(lead.page, 'MAR-0010').getByText('draft 2').waitFor();
    await kept.getByRole('button', { name: 'Forget this copy' }).click();
    await animator.page.getByRole('button', { name: 'Kept work' }).waitFor({ state: 'detached' });
    await animator.page.reload();
    await card(animator.page, 'MAR-0010').getByText('draft 2').waitFor();
    expect(await animator.page.getByRole('button', { name: 'Kept work' }).count()).toBe(0);
    expect([...lead.faults, ...animator.faults]).toEqual([]);
    await lead.context.close();
    await animator.context.close();
  });
});

describe('somebody who is taken out of the review', () => {
  it('is told so at once, instead of waiting for a line that never comes', async () => {
    const lead = await open('lead');
    const leaver = await open('reviewer');
    const name = await leaver.page
      .getByRole('region', { name: 'Here now' })
      .getByRole('listitem')
      .filter({ hasText: 'you, reviewer' })
      .getByRole('button')
      .textContent();
    await openPeople(lead.page);
    await lead.page.getByRole('button', { name: `Take out ${name}`, exact: true }).click();
    await leaver.page.getByText('not signed in to the review any more').waitFor();
    expect(await leaver.page.locator('cl-board-page').count()).toBe(0);
    await lead.context.close();
    await leaver.context.close();
  });
});

describe('the lead', () => {
  it('alone is offered to sign a shot off, which seals its draft', async () => {
    const lead = await open('lead');
    const animator = await open('animator');
    for (const [{ page }, count] of [
      [lead, 1],
      [animator, 0],
    ] as const) {
      await card(page, 'FER-0020').getByRole('button', { name: 'Change FER-0020' }).click();
      const offer = card(page, 'FER-0020').locator('option', { hasText: 'signed off' });
      expect(await offer.count()).toBe(count);
    }
    await card(lead.page, 'FER-0020').getByLabel('State').selectOption('signed-off');
    await card(animator.page, 'FER-0020').locator('.facts').getByText('signed off').waitFor();

    // What was signed off stays as it is; one goes on in a new draft.
    await card(animator.page, 'FER-0020').getByRole('button', { name: 'Remove' }).click();
    await animator.page.getByText('its draft 1 is sealed').waitFor();
    await card(animator.page, 'FER-0020').getByRole('link').click();
    await animator.page.getByText('sealed', { exact: true }).waitFor();
    await animator.page.getByRole('tab', { name: /^Drafts/ }).click();
    await animator.page.getByText(/^sealed by /).waitFor();
    expect(await animator.page.getByRole('button', { name: 'Name and describe' }).count()).toBe(0);
    expect(await animator.page.getByRole('button', { name: 'Unseal' }).count()).toBe(0);
    await animator.page.getByRole('button', { name: 'New draft from this' }).click();
    await animator.page.getByRole('button', { name: 'Name and describe' }).waitFor();
    await saved(animator.page);
    await lead.context.close();
    await animator.context.close();
  });
});
