import type { Page } from 'playwright-core';
import { assess, type GroupReading } from '../../core/balance/index.ts';
import type { Scene } from '../../core/scene/index.ts';
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

/** The scene as this window has it: stored entries with everybody's drags over them. */
export const sceneOf = (page: Page): Promise<Scene> =>
  page.locator('cl-bench').evaluate((bench) => (bench as unknown as Bench).live.scene);

/** The reading of a scene's first group. */
export function groupOf(scene: Scene): GroupReading {
  const [group] = assess(scene).groups;
  if (group === undefined) throw new Error('the scene has no group');
  return group;
}
