import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoReview } from '../../demo-data/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import { atRail } from '../core/balance/at-rail.ts';
import { toShot } from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const demo = demoReview();
const { server, open } = testWindows({
  ...demo,
  shots: demo.shots
    .filter(({ code }) => ['LTG-0080', 'KEY-0030'].includes(code))
    .map((shot) =>
      shot.code === 'KEY-0030'
        ? { ...shot, drafts: [{ ...shot.drafts[0], scene: atRail(14, 'gripping') }] }
        : shot,
    ),
});
let lead: Window;
let animator: Window;
let guest: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator');
  guest = await open('guest');
});

async function toDraft({ page }: Window, code: string, draft: number): Promise<void> {
  await toShot(page, code);
  const value = `${code.toLowerCase()}-${draft}`;
  await page.locator('cl-shot-page label.draft select').selectOption(value);
  await page.waitForFunction(
    (id) =>
      (
        document
          .querySelector('cl-app')
          ?.shadowRoot?.querySelector('cl-shot-page')
          ?.shadowRoot?.querySelector('cl-bench') as unknown as Bench | null
      )?.live.draft === id,
    value,
  );
}

const stored = (page: Page): Promise<boolean> =>
  page.locator('cl-bench').evaluate((bench) => {
    const { live } = bench as unknown as Bench;
    const { scenes } = live.session.documents;
    const text = JSON.stringify([...scenes.share.values()].map((type) => type.toJSON()));
    return /"grip\/[^"]+\/open":true/.test(text);
  });

const supposes = (page: Page) => page.locator('cl-what-if [data-what-if]');
const askAll = (page: Page) =>
  page
    .locator('cl-let-go')
    .getByRole('button', { name: /^What if Aunt and Harvest boy let go of each other/ });

describe('what if a grip lets go', () => {
  it('is seen by everyone, changes nothing, and ends where it began', async () => {
    for (const window of [lead, animator, guest]) await toDraft(window, 'LTG-0080', 1);
    await openLeaf(animator.page, 'Weigh');
    await askAll(animator.page).click();
    for (const { page } of [animator, lead, guest]) {
      await supposes(page)
        .getByText(/Harvest boy falls backwards/)
        .waitFor();
      // The badge is weighed with the grips let go.
      await page
        .locator('cl-shot-page .badges')
        .getByText('falls', { exact: true })
        .first()
        .waitFor();
    }
    expect(await stored(lead.page)).toBe(false);
    expect(await supposes(guest.page).getByRole('button').count()).toBe(0);
    await supposes(animator.page).getByRole('button', { name: 'end the what-if' }).click();
    await supposes(lead.page).waitFor({ state: 'detached' });
    expect(await stored(lead.page)).toBe(false);
  });

  it('is ended by a lead, in its own window too', async () => {
    await askAll(animator.page).click();
    await supposes(lead.page)
      .getByRole('button', { name: /^end .+ what-if$/ })
      .click();
    await supposes(lead.page).waitFor({ state: 'detached' });
    await supposes(animator.page).waitFor({ state: 'detached' });
    // And may be asked again.
    await askAll(animator.page).click();
    await supposes(lead.page).waitFor();
  });

  it('goes with the one who leaves', async () => {
    await animator.page.goto(`${server.url}/r/demo`);
    await supposes(lead.page).waitFor({ state: 'detached' });
  });

  it('is not offered to guests', async () => {
    await openLeaf(guest.page, 'Weigh');
    await guest.page
      .locator('cl-let-go')
      .getByText(/Harvest boy falls backwards/)
      .first()
      .waitFor();
    expect(await guest.page.locator('cl-let-go').getByRole('button').count()).toBe(0);
  });

  it('may be about hands that have closed round a rail', async () => {
    for (const window of [lead, animator]) await toDraft(window, 'KEY-0030', 1);
    const { page } = animator;
    await openLeaf(page, 'Weigh');
    const badge = (window: Window, word: string) =>
      window.page.locator('cl-shot-page .badges').getByText(word, { exact: true }).first();
    await badge(lead, 'holds').waitFor();
    const choices = page.locator('cl-let-go li');
    expect(await choices.count()).toBe(3);
    const ask = page
      .locator('cl-let-go')
      .getByRole('button', { name: 'What if a lets go of rail' });
    await ask.click();
    await supposes(lead.page)
      .getByText(/What if a lets go of rail\? a falls backwards/)
      .waitFor();
    await badge(lead, 'falls').waitFor();
    expect(await ask.getAttribute('aria-pressed')).toBe('true');
    // The list goes on telling of the hands as they are stored.
    expect(await choices.count()).toBe(3);
    await ask.click();
    await badge(lead, 'holds').waitFor();
  });

  it('left no fault behind', () => {
    expect([lead, animator, guest].flatMap(({ faults }) => faults)).toEqual([]);
    expect(server.problems).toEqual([]);
  });
});
