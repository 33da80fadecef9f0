import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';
import { assess, type GroupReading } from '../../core/balance/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { marginText } from '../../web/badge/words.ts';
import type { Bench } from '../../web/bench/index.ts';
import { card } from './browser.ts';

/** How long a browser that draws without a graphics card may take, milliseconds. */
export const PATIENCE = { timeout: 20_000, interval: 100 };

/** Goes by the board to the bench of a shot; the page must be in the demo review. */
export async function toShot(page: Page, code: string): Promise<void> {
  await page.goto(new URL('/r/demo', page.url()).href);
  await card(page, code).getByRole('link').first().click();
  await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
}

/** Brings a file in on the board as a shot of that code and opens it; the page must be in the demo review. */
export async function bringIn(
  page: Page,
  name: string,
  bytes: Uint8Array,
  code: string,
): Promise<void> {
  await page.goto(new URL('/r/demo', page.url()).href);
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name, mimeType: 'application/octet-stream', buffer: Buffer.from(bytes) });
  const dialog = page.locator('cl-import-dialog');
  await dialog.getByLabel('Code').fill(code);
  await dialog.getByRole('button', { name: 'Make the shot' }).click();
  await card(page, code).getByRole('link').first().click();
  await page.locator('cl-bench').waitFor();
}

/** The slider of a moving shot's strip. */
export const track = (page: Page): Locator =>
  page.locator('cl-strip').getByRole('slider', { name: 'Frame', exact: true });

/** Waits until the strip of a moving shot has been weighed. */
export async function weighed(page: Page): Promise<void> {
  const timeout = 240_000;
  await page.locator('cl-strip [data-verdict]').waitFor({ state: 'attached', timeout });
  await page.locator('cl-strip [data-progress]').waitFor({ state: 'detached', timeout });
}

/** The scene as this window has it: stored entries with everybody's drags over them. */
export const sceneOf = (page: Page): Promise<Scene> =>
  page.locator('cl-bench').evaluate((bench) => (bench as unknown as Bench).live.scene);

/** The reading of a scene's first group. */
export function groupOf(scene: Scene): GroupReading {
  const [group] = assess(scene).groups;
  if (group === undefined) throw new Error('the scene has no group');
  return group;
}

/** Pulls what `selector` names by pixels with the mouse, in steps; the button stays down. */
export async function pull(page: Page, selector: string, dx: number, dy: number): Promise<void> {
  const { x, y } = await middleOf(page, selector);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let step = 1; step <= 8; step++)
    await page.mouse.move(x + (dx * step) / 8, y + (dy * step) / 8);
}

/** The middle of what a selector names, CSS pixels of the page. */
export async function middleOf(page: Page, selector: string): Promise<{ x: number; y: number }> {
  const box = await page.locator(selector).boundingBox();
  if (box === null) throw new Error(`nothing at ${selector}`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** The handle of a part in the elevation. */
export const handle = (figure: string, part: string): string =>
  `cl-elevation [data-handle="${figure}/${part}"]`;

const VIEWS = { Front: 'front', Side: 'side', Free: 'orbit' } as const;

/** Looks from another side. */
export async function view(page: Page, name: keyof typeof VIEWS): Promise<void> {
  await page.locator('cl-bench').getByRole('button', { name, exact: true }).click();
  await page.locator(`cl-elevation .sheet[data-view=${VIEWS[name]}]`).waitFor();
}

/** The first badge of the shot that is open. */
export const badge = (page: Page): Locator => page.locator('cl-shot-page .badges cl-badge').first();

/**
 * Waits until a window shows exactly the margin that the core finds for its scene. The scene is read
 * anew each time: a frame or an edit that was just asked for is shown a frame of the screen later.
 */
export async function showsItsMargin(page: Page): Promise<GroupReading> {
  let group = groupOf(await sceneOf(page));
  await expect
    .poll(async () => {
      group = groupOf(await sceneOf(page));
      return badge(page).getByText(marginText(group)).count();
    }, PATIENCE)
    .toBeGreaterThan(0);
  return group;
}
