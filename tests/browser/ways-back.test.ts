import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import { demoReview } from '../../demo-data/index.ts';
import { PATIENCE, sceneOf, toShot } from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const demo = demoReview();
const { server, open } = testWindows({
  ...demo,
  shots: demo.shots
    .filter(({ code }) => ['KEY-0030', 'SCK-0035'].includes(code))
    // One draft each, so that the bench opens on what this test is about.
    .map((shot) => ({ ...shot, drafts: [shot.drafts[0]] })),
});
let animator: Window;
let other: Window;

beforeAll(async () => {
  animator = await open('animator');
  other = await open('lead');
});

const verdictOf = async (page: Page): Promise<string> =>
  assess(await sceneOf(page)).groups[0]!.verdict;

describe('ways back', () => {
  const ways = (page: Page) => page.locator('cl-ways');

  it('come one by one, each with a drawing and its badge, and say what cannot', async () => {
    await toShot(animator.page, 'KEY-0030');
    await toShot(other.page, 'KEY-0030');
    await openLeaf(animator.page, 'Ways back');
    await ways(animator.page)
      .getByRole('status')
      .getByText(/^\d+ ways? back\.$/i)
      .waitFor();
    const step = ways(animator.page).locator('[data-way=step]');
    await step.locator('svg').first().waitFor();
    await step.locator('cl-badge').getByText('holds', { exact: true }).waitFor();
  });

  it('show themselves over the drawing while they are pointed at', async () => {
    const { page } = animator;
    const ghost = page.locator('cl-elevation [data-ghost]');
    expect(await ghost.count()).toBe(0);
    await ways(page)
      .getByRole('button', { name: 'Show this way over the drawing: one step' })
      .focus();
    await ghost.waitFor({ state: 'attached' });
    await page.locator('cl-ledger').getByRole('tab', { name: 'Ways back' }).focus();
    await ghost.waitFor({ state: 'detached' });
  });

  it('stay over the drawing when pressed, until their leaf is left', async () => {
    const { page } = animator;
    const ghost = page.locator('cl-elevation [data-ghost]');
    await ways(page)
      .getByRole('button', { name: 'Show this way over the drawing: one step' })
      .click();
    await page.locator('cl-elevation .sheet').focus();
    await page.mouse.move(0, 0);
    await ghost.waitFor({ state: 'attached' });
    await openLeaf(page, 'Things');
    await ghost.waitFor({ state: 'detached' });
    await openLeaf(page, 'Ways back');
    await ways(page)
      .getByRole('status')
      .getByText(/^\d+ ways? back\.$/i)
      .waitFor();
  });

  it('are taken as one step, which undo takes back', async () => {
    const { page } = animator;
    const before = await sceneOf(page);
    expect(await verdictOf(page)).toBe('falls');
    await ways(page)
      .locator('[data-way=step]')
      .getByRole('button', { name: 'take this way back' })
      .click();
    await expect.poll(() => verdictOf(other.page), PATIENCE).toBe('holds');
    await ways(page).getByRole('status').getByText('no way back is needed').waitFor();
    await page.keyboard.press('Control+z');
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
    await expect.poll(() => verdictOf(other.page), PATIENCE).toBe('falls');
  });

  it('become a new draft, and the old one stays', async () => {
    const { page } = animator;
    await ways(page)
      .getByRole('status')
      .getByText(/^\d+ ways? back\.$/i)
      .waitFor();
    await ways(page)
      .locator('[data-way=step]')
      .getByRole('button', { name: 'as a new draft' })
      .click();
    await expect.poll(() => verdictOf(page), PATIENCE).toBe('holds');
    await page.getByText('Way back: one step').first().waitFor({ state: 'attached' });
    expect(await verdictOf(other.page)).toBe('falls');
  });
});

describe('the weight that a pose implies', () => {
  it('is a slider with its range; where it stops is one step of undo', async () => {
    const { page } = animator;
    await toShot(animator.page, 'SCK-0035');
    await openLeaf(page, 'Weigh');
    await page.locator('cl-weigh tbody').getByRole('button', { name: 'Sack' }).click();
    const field = page.locator('cl-implied-weight');
    await field.getByText(/^Sack reads as any weight up to/).waitFor();
    expect(await field.locator('.holds').count()).toBe(1);
    const slider = field.getByRole('slider');
    await slider.fill('20');
    await expect.poll(async () => (await sceneOf(page)).loads[0]!.mass, PATIENCE).toBe(20);
    await expect.poll(() => verdictOf(page), PATIENCE).toBe('holds');
    await page.locator('cl-elevation .sheet').focus();
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await sceneOf(page)).loads[0]!.mass, PATIENCE).toBeNull();
  });

  it('left no fault behind', () => {
    expect([animator, other].flatMap(({ faults }) => faults)).toEqual([]);
    expect(server.problems).toEqual([]);
  });
});
