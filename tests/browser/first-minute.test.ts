import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { groupOf, handle, PATIENCE, pull, sceneOf, toShot, view } from '../helpers/bench-page.ts';
import { openLeaf, testWindows } from '../helpers/browser.ts';
import { bentScene, SMALL_REVIEW } from '../helpers/small-review.ts';

// A shot with a floor and nobody on it.
const [shot] = SMALL_REVIEW.shots;
const { open } = testWindows({
  ...SMALL_REVIEW,
  shots: [{ ...shot!, drafts: [{ title: 'bare', scene: { ...bentScene(0), figures: [] } }] }],
});
let page: Page;
let faults: readonly string[];

beforeAll(async () => {
  ({ page, faults } = await open('animator'));
  await toShot(page, shot!.code);
});

/** What a person did, counted: each press, choice or drag is one. */
let deeds = 0;
async function deed(work: Promise<unknown>): Promise<void> {
  await work;
  deeds += 1;
}

describe('the first minute with a new figure', () => {
  it('needs six deeds to a crouch that goes deeper, reaches up and holds', async () => {
    await deed(openLeaf(page, 'Things'));
    await deed(
      page.locator('cl-things .add').getByRole('button', { name: 'figure', exact: true }).click(),
    );
    await expect.poll(async () => (await sceneOf(page)).figures.length, PATIENCE).toBe(1);
    const [{ id }] = (await sceneOf(page)).figures as unknown as readonly [{ id: string }];
    await view(page, 'Side');
    await deed(openLeaf(page, 'Pose'));
    const before = await sceneOf(page);
    await deed(page.locator('cl-start-row [data-start="crouch"]').click());
    await expect.poll(() => sceneOf(page), PATIENCE).not.toEqual(before);
    const crouch = await sceneOf(page);
    const drag = async (part: string, dx: number, dy: number): Promise<void> => {
      const start = await sceneOf(page);
      await pull(page, handle(id, part), dx, dy);
      await page.mouse.up();
      await expect.poll(() => sceneOf(page), PATIENCE).not.toEqual(start);
    };
    await deed(drag('handR', 50, -60));
    await deed(drag('pelvis', 4, 12));
    const posed = await sceneOf(page);
    expect(deeds).toBe(6);
    expect(groupOf(posed).verdict).toBe('holds');
    // It is another pose than the start pose, with the same feet on the floor.
    expect(groupOf(posed).support.contacts).toEqual(groupOf(crouch).support.contacts);
    expect(groupOf(posed).centre![1]).toBeLessThan(groupOf(crouch).centre![1]);
    expect(faults).toEqual([]);
  });
});
