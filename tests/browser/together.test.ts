import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import { PATIENCE, toShot, view } from '../helpers/bench-page.ts';
import { card, testWindows, type Window } from '../helpers/browser.ts';
import { callMyself, unfoldBar } from '../helpers/top-bar.ts';

const { open } = testWindows();
let lead: Window;
let animator: Window;
let guest: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator', { width: 1100, height: 800 });
  guest = await open('guest', { width: 390, height: 844 });
  await callMyself(lead.page, 'Lea');
  await callMyself(animator.page, 'Ani');
});

async function goWith(page: Page, name: string): Promise<void> {
  await unfoldBar(page);
  const here = page.locator('cl-here-now');
  await here.getByRole('button', { name: /^Here now/ }).click();
  const all = here.getByRole('list', { name: 'Everybody here now' });
  await all.getByRole('button', { name: new RegExp(`^Go with ${name}`) }).click();
  await page.keyboard.press('Escape');
  await all.waitFor({ state: 'detached' });
}

const bar = (page: Page) => page.locator('cl-along-bar');

const codeOf = (page: Page): Promise<string> =>
  page
    .locator('cl-shot-page h1')
    .textContent()
    .then((text) => text?.trim().split(/\s/)[0] ?? '');

const cameraOf = (page: Page) =>
  page.locator('cl-bench').evaluate((bench) => {
    const { looking } = bench as unknown as Bench;
    const { view, axis, orbit } = looking.place;
    const middle = axis.low + looking.sheets.height / 2 / axis.scale;
    return { view, across: axis.centre, middle, yaw: orbit.yaw, pitch: orbit.pitch };
  });

/** Where a window draws a point of the scene, on its page. */
async function drawnAt(page: Page, point: Vec3): Promise<{ x: number; y: number }> {
  const box = await page.locator('cl-elevation').boundingBox();
  const at = await page.locator('cl-bench').evaluate((bench, world) => {
    const { x, y } = (bench as unknown as Bench).looking.eye.project(world as Vec3);
    return { x, y };
  }, point);
  return { x: at.x + (box?.x ?? 0), y: at.y + (box?.y ?? 0) };
}

const handL = (page: Page): Promise<Vec3> =>
  page.locator('cl-bench').evaluate((bench) => {
    const [figure] = [...(bench as unknown as Bench).shown.posed.values()];
    return figure!.segments.handL.position as Vec3;
  });

describe('going with a person', () => {
  it('takes two windows of other sizes to the shot, and to how it is looked at', async () => {
    await goWith(animator.page, 'Lea');
    await goWith(guest.page, 'Lea');
    await bar(animator.page).getByText('With Lea').waitFor();
    await lead.page.locator('cl-here-now').getByText('2 with you').waitFor();
    await toShotByCard(lead.page, 'FER-0010');
    for (const { page } of [animator, guest]) {
      await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
      expect(await codeOf(page)).toBe('FER-0010');
    }
    await view(lead.page, 'Free');
    const sheet = lead.page.locator('cl-elevation .sheet');
    await sheet.focus();
    for (let press = 0; press < 4; press++) await sheet.press('ArrowLeft');
    const theirs = await cameraOf(lead.page);
    for (const { page } of [animator, guest]) {
      await expect
        .poll(() => cameraOf(page), PATIENCE)
        .toMatchObject({
          view: 'orbit',
          yaw: expect.closeTo(theirs.yaw, 3),
          pitch: expect.closeTo(theirs.pitch, 3),
        });
    }
    await view(lead.page, 'Side');
    await lead.page.locator('cl-bench').getByRole('button', { name: 'Nearer' }).click();
    const near = await cameraOf(lead.page);
    for (const { page } of [animator, guest]) {
      await expect
        .poll(() => cameraOf(page), PATIENCE)
        .toMatchObject({
          view: 'side',
          across: expect.closeTo(near.across, 2),
          middle: expect.closeTo(near.middle, 2),
        });
    }
  });

  it('selects what the other selects', async () => {
    await lead.page.locator('cl-elevation [data-handle="porter/handR"]').focus();
    await lead.page.keyboard.press('Enter');
    const theirs = animator.page.locator('cl-elevation [data-handle="porter/handR"]');
    await expect.poll(() => theirs.getAttribute('aria-pressed'), PATIENCE).toBe('true');
  });

  it('leaves every drawing as high as it was', async () => {
    for (const { page } of [lead, animator]) {
      const head = await page.locator('cl-top-bar').boundingBox();
      const row = await page.locator('cl-top-bar .title').boundingBox();
      expect(head!.height).toBeLessThan(2.5 * row!.height);
    }
    const high = () =>
      animator.page.locator('cl-elevation').evaluate((drawing) => drawing.clientHeight);
    const along = await high();
    await bar(animator.page).getByRole('button', { name: 'On my own' }).click();
    await bar(animator.page).getByText('With Lea').waitFor({ state: 'detached' });
    expect(await high()).toBe(along);
    await goWith(animator.page, 'Lea');
    await bar(animator.page).getByText('With Lea').waitFor();
    expect(await high()).toBe(along);
  });

  it('ends as soon as one moves, and stays ended', async () => {
    await animator.page
      .locator('cl-bench')
      .getByRole('button', { name: 'Farther', exact: true })
      .click();
    await bar(animator.page).getByText('With Lea').waitFor({ state: 'detached' });
    const mine = await cameraOf(animator.page);
    await view(lead.page, 'Front');
    await expect.poll(async () => (await cameraOf(guest.page)).view, PATIENCE).toBe('front');
    expect(await cameraOf(animator.page)).toEqual(mine);
    await lead.page.locator('cl-here-now').getByText('1 with you').waitFor();
  });

  it('never takes anybody away from a drag', async () => {
    await goWith(animator.page, 'Lea');
    await expect.poll(async () => (await cameraOf(animator.page)).view, PATIENCE).toBe('front');
    const box = await animator.page
      .locator('cl-elevation [data-handle="porter/handR"]')
      .boundingBox();
    await animator.page.mouse.move(box!.x + 12, box!.y + 12);
    await animator.page.mouse.down();
    await animator.page.mouse.move(box!.x + 40, box!.y + 12);
    await toShotByCard(lead.page, 'FER-0020');
    await expect.poll(() => codeOf(guest.page), PATIENCE).toBe('FER-0020');
    expect(await codeOf(animator.page)).toBe('FER-0010');
    await animator.page.keyboard.press('Escape');
    await animator.page.mouse.up();
  });

  it('ends with the button, from where one is', async () => {
    await bar(guest.page).getByRole('button', { name: 'On my own' }).click();
    await bar(guest.page).getByText('With Lea').waitFor({ state: 'detached' });
    expect(await codeOf(guest.page)).toBe('FER-0020');
  });
});

describe('a lead who asks everyone along', () => {
  it('is followed by who says yes, and nobody else', async () => {
    await lead.page.getByRole('button', { name: 'Ask along' }).click();
    await bar(animator.page).getByText('Lea asks everyone along.').waitFor();
    await bar(animator.page).getByRole('button', { name: 'Stay on my own' }).click();
    await bar(guest.page).getByRole('button', { name: 'Go with Lea' }).click();
    await toShotByCard(lead.page, 'MAR-0010');
    await expect.poll(() => codeOf(guest.page), PATIENCE).toBe('MAR-0010');
    expect(await codeOf(animator.page)).toBe('FER-0010');
    expect(await bar(animator.page).getByText('asks everyone').count()).toBe(0);
    await lead.page.getByRole('button', { name: 'Ask along' }).click();
  });

  it('leaves whoever is writing until they are done', async () => {
    const { page } = animator;
    await goWith(page, 'Lea');
    await expect.poll(() => codeOf(page), PATIENCE).toBe('MAR-0010');
    const field = page.locator('cl-notes-panel textarea').first();
    await field.fill('The crate is');
    await toShotByCard(lead.page, 'FER-0020');
    await expect.poll(() => codeOf(guest.page), PATIENCE).toBe('FER-0020');
    expect(await codeOf(page)).toBe('MAR-0010');
    await field.fill('');
    await field.blur();
    await expect.poll(() => codeOf(page), PATIENCE).toBe('FER-0020');
    await bar(page).getByRole('button', { name: 'On my own' }).click();
    await bar(guest.page).getByRole('button', { name: 'On my own' }).click();
  });
});

describe('pointing', () => {
  it('lays a pointer on the same thing in every camera', async () => {
    await toShot(lead.page, 'FER-0020');
    await toShot(animator.page, 'FER-0020');
    await view(lead.page, 'Front');
    await view(animator.page, 'Free');
    const hand = await handL(lead.page);
    const at = await drawnAt(lead.page, hand);
    // Whatever handle lies there, the pointer moves over the drawing.
    await lead.page.mouse.move(at.x - 1, at.y);
    await lead.page.mouse.move(at.x, at.y);
    const expected = await drawnAt(animator.page, hand);
    const theirs = animator.page
      .locator('cl-elevation .person:not(.selects)')
      .filter({ hasText: 'Lea' });
    await expect
      .poll(async () => {
        const box = await theirs.boundingBox();
        return box === null ? 999 : Math.hypot(box.x - expected.x, box.y - expected.y);
      }, PATIENCE)
      // The pointer lies on the hand's skin, a few centimetres from its joint: 250 px a metre.
      .toBeLessThan(20);
  });

  it('shows a ping of P and a press to everybody, and says what is there', async () => {
    const at = await drawnAt(lead.page, await handL(lead.page));
    await lead.page.locator('cl-elevation .sheet').focus();
    await lead.page.keyboard.down('p');
    await lead.page.mouse.move(at.x, at.y);
    await lead.page.mouse.down();
    await lead.page.mouse.up();
    await lead.page.keyboard.up('p');
    await animator.page
      .getByText(/Lea points at the left (hand|forearm)/)
      .first()
      .waitFor();
    await animator.page.locator('cl-elevation .pings span').waitFor();
    await animator.page.locator('cl-elevation .pings').waitFor({ state: 'detached' });
  });

  it('is over when the window loses the keyboard while P is held', async () => {
    const { page } = lead;
    const at = await drawnAt(page, await handL(page));
    await page.locator('cl-elevation .sheet').focus();
    await page.keyboard.down('p');
    // Another window comes to the front, and P is let go over there.
    await page.evaluate(() => window.dispatchEvent(new Event('blur')));
    await page.mouse.click(at.x, at.y);
    const hand = page.locator('cl-elevation [data-handle="porter/handL"]');
    await expect.poll(() => hand.getAttribute('aria-pressed'), PATIENCE).toBe('true');
    await page.keyboard.up('p');
  });

  it('works from the keyboard alone, on what is selected', async () => {
    await lead.page.mouse.move(2, 2);
    await lead.page.locator('cl-elevation [data-handle="porter/handR"]').focus();
    await lead.page.keyboard.press('Enter');
    await lead.page.keyboard.press('p');
    await animator.page.getByText('Lea points at the right hand').first().waitFor();
  });

  it('shows a raised hand', async () => {
    await animator.page.getByRole('button', { name: 'Hand up' }).click();
    await lead.page.locator('cl-here-now').getByText('hand up', { exact: true }).waitFor();
    await animator.page.getByRole('button', { name: 'Hand up' }).click();
    await lead.page
      .locator('cl-here-now')
      .getByText('hand up', { exact: true })
      .waitFor({ state: 'detached' });
    for (const { faults } of [lead, animator, guest]) expect(faults).toEqual([]);
  });
});

/** To a shot as a person goes there, by the board. */
async function toShotByCard(page: Page, code: string): Promise<void> {
  const board = page.locator('cl-shot-page').getByRole('link', { name: 'Board', exact: true });
  if (await board.isVisible()) await board.click();
  await card(page, code).getByRole('link').first().click();
  await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
}
