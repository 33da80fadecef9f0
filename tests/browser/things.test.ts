import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { distance } from '../../core/geometry/index.ts';
import { palmCentre } from '../../core/pose/index.ts';
import { posedFigures } from '../../core/scene/index.ts';
import { handle, PATIENCE, pull, sceneOf, toShot, view } from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const { open } = testWindows();
let animator: Window;
let lead: Window;

beforeAll(async () => {
  animator = await open('animator');
  lead = await open('lead');
});

const figureNamed = async (page: Page, name: string) => {
  const figure = (await sceneOf(page)).figures.find((one) => one.name === name);
  if (figure === undefined) throw new Error(`no figure ${name}`);
  return figure;
};

/** The open form of a figure or load, by its name. */
async function form(page: Page, name: string, tag: 'cl-figure-form' | 'cl-surface-form') {
  const button = page.locator('cl-things').getByRole('button', { name, exact: true });
  if ((await button.getAttribute('aria-expanded')) !== 'true') await button.click();
  return page.locator(`cl-things ${tag}`);
}

/** Types a number into a field of a form by its label. */
async function type(inside: Locator, field: string, value: string): Promise<void> {
  const input = inside.locator(`[data-field="${field}"]`).getByRole('spinbutton');
  await input.fill(value);
  await input.press('Enter');
}

/** Drags a handle onto the middle of another one; the button stays down. */
async function dragOnto(page: Page, handle: string, onto: string): Promise<void> {
  const middle = async (id: string) => {
    const box = await page.locator(`cl-elevation [data-handle="${id}"]`).boundingBox();
    if (box === null) throw new Error(`no handle ${id}`);
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  };
  const [from, to] = [await middle(handle), await middle(onto)];
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  for (let step = 1; step <= 8; step++) {
    const share = step / 8;
    await page.mouse.move(from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share);
  }
}

describe('stylised figures', () => {
  it('get a tail with its mass, and the sums close', async () => {
    const { page } = animator;
    await toShot(animator.page, 'FER-0010');
    await openLeaf(page, 'Things');
    const porter = await form(page, 'Porter', 'cl-figure-form');
    await porter.locator('cl-extras-form > *, cl-extras-form').first().waitFor();
    await porter.locator('cl-extras-form').getByText('Tail, wings, hump, long neck').click();
    await porter.getByRole('button', { name: 'tail', exact: true }).click();
    const tail = porter.locator('[data-extra="tail"]');
    await type(tail, 'share of the mass', '10');
    await expect
      .poll(async () => (await figureNamed(page, 'Porter')).body.extras?.tail?.mass, PATIENCE)
      .toBeCloseTo(0.1, 9);
    await porter.getByText('Where each mass comes from').click();
    await porter.locator('[data-mass="tail"]').getByText('7.00').waitFor();
    // de Leva's men: head 6.94 % of the nine tenths that are left of 70 kg.
    await porter.locator('[data-mass="head"]').getByText('4.37').waitFor();
  });

  it('are live while a slider moves, one undo step where it stops', async () => {
    const { page } = animator;
    const porter = await form(page, 'Porter', 'cl-figure-form');
    const slider = porter.getByRole('slider', { name: 'curled, slider' });
    await slider.focus();
    await page.keyboard.press('ArrowRight');
    await expect
      .poll(async () => (await figureNamed(page, 'Porter')).body.extras?.tail?.curl ?? 0, PATIENCE)
      .toBeGreaterThan(0);
    await page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();
    await expect
      .poll(async () => (await figureNamed(page, 'Porter')).body.extras?.tail?.curl ?? 0, PATIENCE)
      .toBe(0);
  });

  it('are kept in the cast, reused in another shot, and changed in both at once', async () => {
    const { page } = animator;
    const porter = await form(page, 'Porter', 'cl-figure-form');
    await porter.getByRole('button', { name: 'keep this body in the cast' }).click();
    await porter.getByLabel('cast name').waitFor();

    await toShot(lead.page, 'MAR-0010');
    await openLeaf(lead.page, 'Things');
    await lead.page
      .locator('cl-things')
      .getByRole('button', { name: 'Porter of the cast' })
      .click();
    const copy = 'Porter 1';
    await expect
      .poll(async () => (await figureNamed(lead.page, copy)).body.extras?.tail?.mass, PATIENCE)
      .toBeCloseTo(0.1, 9);

    await type(porter, 'stature', '150');
    await expect
      .poll(async () => (await figureNamed(lead.page, copy)).body.stature, PATIENCE)
      .toBeCloseTo(1.5, 9);
    await expect
      .poll(async () => (await figureNamed(page, 'Porter')).body.stature, PATIENCE)
      .toBeCloseTo(1.5, 9);

    // A change of the one figure alone stays with it.
    await porter.locator('[data-field="changes"]').selectOption('alone');
    await type(porter, 'mass', '90');
    await expect.poll(async () => (await figureNamed(page, 'Porter')).body.mass, PATIENCE).toBe(90);
    expect((await figureNamed(lead.page, copy)).body.mass).toBe(70);
    await porter.getByRole('button', { name: 'follow the cast again' }).click();
    await expect.poll(async () => (await figureNamed(page, 'Porter')).body.mass, PATIENCE).toBe(70);
  });
});

describe('grips', () => {
  it('are made by dragging a hand onto another one, in one undo step', async () => {
    const { page } = lead;
    await toShot(lead.page, 'FER-0020');
    await openLeaf(page, 'Things');
    await page.locator('cl-things').getByRole('button', { name: 'figure', exact: true }).click();
    await expect.poll(async () => (await sceneOf(page)).figures.length, PATIENCE).toBe(2);
    const second = (await figureNamed(page, 'Figure 1')).id;
    await page.locator('cl-bench').getByRole('button', { name: 'Front', exact: true }).click();
    await page.locator('cl-elevation .sheet[data-view=front]').waitFor();
    await page.locator(`cl-elevation [data-handle="${second}/handR"]`).waitFor();
    const before = await sceneOf(page);
    await dragOnto(page, `${second}/handR`, 'porter/handL');
    await page.locator('cl-elevation .offer').waitFor({ state: 'attached' });
    await page.locator('cl-elevation').getByText('Let go to take hold of').waitFor();
    await page.mouse.up();
    await page.locator('cl-grips li').waitFor();
    const scene = await sceneOf(page);
    expect(scene.grips).toHaveLength(1);
    expect(scene.grips[0]).toMatchObject({
      a: { kind: 'figure', figure: second, segment: 'handR' },
      b: { kind: 'figure', figure: 'porter', segment: 'handL' },
      open: false,
    });
    const posed = posedFigures(scene);
    const gap = distance(
      palmCentre(posed.get(second)!, 'R'),
      palmCentre(posed.get('porter')!, 'L'),
    );
    // The arm alone reaches to 3 cm from where the two stand.
    expect(gap).toBeLessThan(0.05);
    await page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
    await page.locator('cl-top-bar').getByRole('button', { name: 'Redo' }).click();
    await page.locator('cl-grips li').waitFor();
  });

  it('open and close by one press', async () => {
    const { page } = lead;
    const grip = page.locator('cl-grips li');
    await grip.getByRole('button', { name: 'holds' }).click();
    await grip.getByRole('button', { name: 'let go' }).waitFor();
    expect((await sceneOf(page)).grips[0]?.open).toBe(true);
    await grip.getByRole('button', { name: 'let go' }).click();
    await grip.getByRole('button', { name: 'holds' }).waitFor();
  });

  it('are chosen by the keyboard too, and one figure is put on another’s back', async () => {
    const { page } = lead;
    const carry = page.locator('cl-grips [data-carry]');
    await carry.getByText('carry another figure').focus();
    await page.keyboard.press('Enter');
    await carry.getByRole('button', { name: 'carry', exact: true }).press('Enter');
    await expect.poll(async () => (await sceneOf(page)).grips.length, PATIENCE).toBe(4);
    await page.locator('cl-shot-page .badges cl-badge').first().waitFor();
    expect(lead.faults).toEqual([]);
  });
});

describe('surfaces', () => {
  it('are sized by their sides, and take their friction from a pair of materials', async () => {
    const { page } = lead;
    await page.locator('cl-things').getByRole('button', { name: 'table', exact: true }).click();
    const table = await form(page, 'Table 1', 'cl-surface-form');
    const of = async () => (await sceneOf(page)).surfaces.find(({ name }) => name === 'Table 1')!;
    const before = await of();
    const side = page.locator(`cl-elevation [data-handle="side/${before.id}/1+"]`);
    await side.focus();
    await page.keyboard.press('ArrowUp');
    await expect.poll(async () => (await of()).size?.[1], PATIENCE).toBeCloseTo(0.75, 9);
    // The underside stays on the floor.
    const after = await of();
    expect(after.position[1] - after.size![1] / 2).toBeCloseTo(0, 9);
    await table.locator('[data-field="pair"]').selectOption('shoes-ice');
    await expect.poll(async () => (await of()).friction, PATIENCE).toBe(0.1);
    await type(table, 'slope', '10');
    await expect
      .poll(async () => (await of()).rotation[0], PATIENCE)
      .toBeCloseTo(Math.sin((5 * Math.PI) / 180), 9);
  });

  it('a tail turns by the handle at its tip, and its tip is planted as a third leg', async () => {
    const { page } = animator;
    await toShot(page, 'FER-0010');
    await openLeaf(page, 'Things');
    const spec = async () =>
      Object.entries((await figureNamed(page, 'Porter')).body.extras ?? {})[0];
    await expect.poll(async () => (await spec())?.[1].kind, PATIENCE).toBe('tail');
    const [id, before] = (await spec())!;
    await view(page, 'Side');
    await pull(page, handle('porter', `extra/${id}`), 40, -60);
    await page.mouse.up();
    await expect.poll(async () => (await spec())![1].turn, PATIENCE).not.toEqual(before.turn);
    const contacts = page.locator('cl-things section', { hasText: 'Contacts' });
    await contacts.getByText('Other parts').click();
    await contacts.getByLabel('tail tip of Porter').selectOption('planted');
    await expect
      .poll(async () => (await figureNamed(page, 'Porter')).contacts.tailTip, PATIENCE)
      .toBe('planted');
    // However long a column's forms get, it scrolls by itself: the page stays as high as its window.
    expect(await page.evaluate(() => document.documentElement.scrollHeight - innerHeight)).toBe(0);
  });
});
