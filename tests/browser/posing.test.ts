import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { distance, type Vec3 } from '../../core/geometry/index.ts';
import { posedFigures, type Scene } from '../../core/scene/index.ts';
import {
  groupOf,
  handle,
  PATIENCE,
  pull,
  sceneOf,
  showsItsMargin,
  toShot,
  view,
} from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const { open } = testWindows();
let lead: Window;
let page: Page;

beforeAll(async () => {
  lead = await open('lead');
  page = lead.page;
  await toShot(page, 'FER-0020');
  await view(page, 'Side');
  await openLeaf(page, 'Pose');
});

const partAt = (scene: Scene, part: 'footL' | 'footR' | 'handR' | 'chest' | 'head'): Vec3 =>
  posedFigures(scene).get('porter')!.segments[part].position;

const undo = () => page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();

describe('posing with the mouse', () => {
  it('a first hint stands under the drawing until something has been moved', async () => {
    const before = await sceneOf(page);
    const hint = page.locator('cl-elevation').getByText('what is planted stays');
    await hint.waitFor();
    await pull(page, handle('porter', 'chest'), 20, 4);
    await page.mouse.up();
    await expect.poll(() => sceneOf(page), PATIENCE).not.toEqual(before);
    await undo();
    await hint.waitFor({ state: 'detached' });
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });

  it('a hand pulled far ahead takes trunk and hips along; the soles stay; the badge says what assess says', async () => {
    const before = await sceneOf(page);
    await pull(page, handle('porter', 'handR'), 110, -30);
    await page.mouse.up();
    await expect
      .poll(
        async () => distance(partAt(await sceneOf(page), 'handR'), partAt(before, 'handR')),
        PATIENCE,
      )
      .toBeGreaterThan(0.2);
    const after = await sceneOf(page);
    expect(distance(partAt(after, 'chest'), partAt(before, 'chest'))).toBeGreaterThan(0.01);
    for (const foot of ['footL', 'footR'] as const)
      expect(distance(partAt(after, foot), partAt(before, foot))).toBeLessThan(1e-3);
    await showsItsMargin(page);
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });

  it('with the plumb line kept, the same pull leaves the line where it was', async () => {
    const before = await sceneOf(page);
    const keep = page.locator('cl-pose-leaf').getByLabel(/keep the plumb line/);
    await keep.check();
    await pull(page, handle('porter', 'handR'), 60, -30);
    await page.locator('cl-elevation').getByText('The plumb line is kept.').waitFor();
    await page.mouse.up();
    await expect
      .poll(
        async () => distance(partAt(await sceneOf(page), 'handR'), partAt(before, 'handR')),
        PATIENCE,
      )
      .toBeGreaterThan(0.1);
    const [a, b] = [groupOf(before), await showsItsMargin(page)].map(({ plumb }) => plumb!);
    expect(Math.hypot(b![0] - a![0], b![1] - a![1])).toBeLessThan(5e-3);
    await keep.uncheck();
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });

  it('the foot of the line is pulled in the plan, and typed', async () => {
    const before = groupOf(await sceneOf(page)).plumb!;
    await pull(page, 'cl-plan [data-centre="porter"]', 14, 0);
    await page.mouse.up();
    await expect
      .poll(async () => groupOf(await sceneOf(page)).plumb![1] - before[1], PATIENCE)
      .toBeGreaterThan(0.005);
    await showsItsMargin(page);
    const ahead = page.locator('cl-pose-leaf [data-foot="ahead"]').getByRole('spinbutton');
    await ahead.fill((before[1] * 100).toFixed(2));
    await ahead.press('Enter');
    await expect
      .poll(async () => Math.abs(groupOf(await sceneOf(page)).plumb![1] - before[1]), PATIENCE)
      .toBeLessThan(2e-3);
  });

  it('a key that is held keeps a drag to one direction', async () => {
    const before = await sceneOf(page);
    await page.mouse.move(0, 0);
    await pull(page, handle('porter', 'handR'), 5, -5);
    await page.keyboard.down('y');
    await page.locator('cl-elevation').getByText('Only up and down.').waitFor();
    const box = await page.locator(handle('porter', 'handR')).boundingBox();
    await page.mouse.move((box?.x ?? 0) + 60, (box?.y ?? 0) - 40);
    await page.mouse.up();
    await page.keyboard.up('y');
    await expect
      .poll(
        async () => partAt(await sceneOf(page), 'handR')[1] - partAt(before, 'handR')[1],
        PATIENCE,
      )
      .toBeGreaterThan(0.03);
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });
});

describe('the pose leaf', () => {
  it('a start pose is one undo step and keeps place and body; Undo brings the old pose back', async () => {
    const before = await sceneOf(page);
    await page.locator('cl-start-row [data-start="sit"]').focus();
    await page.keyboard.press('Enter');
    await expect
      .poll(async () => (await sceneOf(page)).surfaces.map(({ name }) => name), PATIENCE)
      .toContain('Chair');
    const after = await sceneOf(page);
    expect(after.figures[0]?.body).toEqual(before.figures[0]?.body);
    expect((await showsItsMargin(page)).verdict).toBe('holds');
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });

  it('copies a limb, pastes it on the other side, and blends towards rest with one undo step', async () => {
    const before = await sceneOf(page);
    const leaf = page.locator('cl-pose-leaf');
    await leaf.getByLabel('Part').selectOption({ label: 'left upper arm' });
    const flexion = leaf.getByRole('spinbutton', { name: 'flexion' });
    await flexion.fill('60');
    await flexion.press('Enter');
    await leaf.getByRole('button', { name: 'copy the left arm' }).click();
    await leaf.getByLabel('Part').selectOption({ label: 'right upper arm' });
    await leaf.getByRole('button', { name: 'paste' }).click();
    await expect
      .poll(async () => {
        const { joints } = (await sceneOf(page)).figures[0]!.pose;
        return JSON.stringify(joints.upperArmR?.map(Math.abs).map((v) => v.toFixed(6)));
      }, PATIENCE)
      .toBe(
        JSON.stringify(
          (await sceneOf(page)).figures[0]!.pose.joints.upperArmL?.map(Math.abs).map((v) =>
            v.toFixed(6),
          ),
        ),
      );
    const posed = await sceneOf(page);
    await leaf.getByRole('slider', { name: 'Share of the blend' }).focus();
    await page.keyboard.press('End');
    await expect.poll(() => sceneOf(page), PATIENCE).not.toEqual(posed);
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(posed);
    expect(before).not.toEqual(posed);
    expect(lead.faults).toEqual([]);
  });
});
