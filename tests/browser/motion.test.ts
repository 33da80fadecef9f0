import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildBody } from '../../core/body/index.ts';
import { clipSettings, plainLink } from '../../core/document/index.ts';
import { readMoving } from '../../core/formats/index.ts';
import { weighClip } from '../../core/motion/index.ts';
import { restPose } from '../../core/pose/index.ts';
import type { DemoShot } from '../../demo-data/types.ts';
import { bringIn, sceneOf, track, weighed } from '../helpers/bench-page.ts';
import { card, openLeaf, saved, testWindows, type Window } from '../helpers/browser.ts';
import { pictured } from '../helpers/keypoint-files.ts';
import { skinnedGlb } from '../helpers/skinned-glb.ts';
import { BOWING, bentScene, SMALL_REVIEW } from '../helpers/small-review.ts';

/** The bowing man beside one who stands still: two groups. */
const PAIR: DemoShot = {
  ...BOWING,
  code: 'FER-0040',
  drafts: [
    {
      ...BOWING.drafts[0],
      scene: {
        ...BOWING.drafts[0].scene,
        loads: [
          {
            ...{ id: 'keg', name: 'Keg', mass: 12 },
            shape: { kind: 'box', size: [0.3, 0.3, 0.3] },
            place: { kind: 'standing', position: [-1.2, 0.15, 0], rotation: [0, 0, 0, 1] },
          },
        ],
        figures: [
          ...BOWING.drafts[0].scene.figures,
          ...bentScene(0).figures.map((figure) => ({
            ...{ ...figure, id: 'straight', name: 'Straight' },
            pose: { ...figure.pose, position: [1.2, figure.pose.position[1], 0] as const },
          })),
        ],
      },
    },
  ],
};
const { server, open } = testWindows({ ...SMALL_REVIEW, shots: [...SMALL_REVIEW.shots, PAIR] });
let one: Window;
let two: Window;

beforeAll(async () => {
  one = await open('animator');
  two = await open('animator');
});

async function openShot(page: Page, code: string): Promise<void> {
  await card(page, code).getByRole('link').first().click();
  await page.locator('cl-bench').waitFor();
}

const strip = (page: Page): Locator => page.locator('cl-strip');
const frameOf = (page: Page) => (): Promise<string | null> =>
  track(page).getAttribute('aria-valuenow');
/** Verdicts of all frames as the worker told them. */
const verdicts = (page: Page): Promise<(string | null)[]> =>
  strip(page).evaluate((element) =>
    (
      element as unknown as { weighing: { frames: ({ verdict: string } | null)[] } }
    ).weighing.frames.map((frame) => frame?.verdict ?? null),
  );

const FRAMES = 48;
/** Of the .glb, as core finds it. */
let worst: number | null = null;

describe('a .glb with a skin', () => {
  it('is weighed in motion by the worker as core weighs it, under its own mesh', async () => {
    const { page } = one;
    const bytes = await skinnedGlb(FRAMES, 100);
    await bringIn(page, 'deep_bow.glb', bytes, 'GLB-0010');
    await track(page).waitFor();
    await weighed(page);
    const link = plainLink({
      ...{ file: '', name: 'deep_bow.glb', format: 'gltf', stature: null },
      ...{ mass: 68, table: 'deleva-male' },
    });
    const read = await readMoving({ bytes, text: 'glTF' }, clipSettings(link));
    if (!read.ok) throw new Error(read.message);
    const core = weighClip(read.clip);
    worst = core.worst;
    const said = core.frames.map(({ verdict }) => verdict);
    expect(new Set(said).size).toBeGreaterThan(1);
    expect(await verdicts(page)).toEqual(said);
    await expect
      .poll(() =>
        page
          .locator('cl-elevation')
          .evaluate((element) => (element as unknown as { mesh: unknown }).mesh !== null),
      )
      .toBe(true);
    await strip(page).getByRole('button', { name: 'Own mesh' }).click();
    await expect
      .poll(() =>
        page
          .locator('cl-elevation')
          .evaluate((element) => (element as unknown as { mesh: unknown }).mesh === null),
      )
      .toBe(true);
  });

  it('is stepped, sent to its worst frame and next change, and played to its end', async () => {
    const { page } = one;
    await track(page).focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowRight');
    await expect.poll(frameOf(page)).toBe('2');
    await page.keyboard.press('PageUp');
    await expect.poll(frameOf(page)).toBe('12');
    const all = await verdicts(page);
    await strip(page).getByRole('button', { name: 'Worst frame' }).click();
    await expect.poll(frameOf(page)).toBe(String((worst ?? -1) + 1));
    const badge = page.locator('cl-motion-badge [data-verdict]');
    await expect.poll(() => badge.textContent()).toBe(all[worst ?? -1]);
    await track(page).focus();
    await page.keyboard.press('Home');
    await strip(page).getByRole('button', { name: 'Next change of verdict' }).click();
    const change = all.findIndex((verdict) => verdict !== all[0]);
    await expect.poll(frameOf(page)).toBe(String(change + 1));
    await track(page).focus();
    await page.keyboard.press('Home');
    await strip(page).getByRole('button', { name: 'Play', exact: true }).click();
    await expect.poll(frameOf(page), { timeout: 20_000 }).toBe(String(FRAMES));
    await strip(page).getByRole('button', { name: 'Play', exact: true }).waitFor();
  });

  it('is read another way by hand, for everybody', async () => {
    await one.page.locator('cl-ledger').getByRole('tab', { name: 'Clip' }).click();
    const reading = one.page.locator('cl-reading');
    await reading.getByLabel('Stature, metres').fill('1.9');
    await reading.getByLabel('Stature, metres').press('Enter');
    await reading.getByText('Stature 1.90 m').waitFor();
    await saved(one.page);
    await openShot(two.page, 'GLB-0010');
    await two.page.locator('cl-ledger').getByRole('tab', { name: 'Clip' }).click();
    await two.page.locator('cl-reading').getByText('Stature 1.90 m').waitFor();
    expect([...one.faults, ...two.faults]).toEqual([]);
  });
});

describe('keypoints of a picture', () => {
  it('mark what is unsure, say that depth is assumed, and judge only what shows', async () => {
    const { page } = one;
    const spec = bentScene(0).figures[0]!.body;
    const shutter = { pixelsPerMetre: 400, origin: [500, 900] } as const;
    const points = pictured(spec, restPose(buildBody(spec)), shutter);
    points[3 * 9 + 2] = 0; // the left wrist is not in the picture
    const file = [{ image_id: 1, category_id: 1, keypoints: points, score: 1 }];
    const bytes = new TextEncoder().encode(JSON.stringify(file));
    await bringIn(page, 'standing.json', bytes, 'KEY-0110');
    await page.locator('cl-elevation [data-doubt="left_wrist"]').waitFor();
    await page.locator('cl-elevation').getByText('Depth is assumed').waitFor();
    const badge = page.locator('cl-shot-page .badges cl-badge');
    await badge.locator('[data-verdict=unknown]').waitFor();
    await badge.getByText('one picture does not show it').first().waitFor();
    // One picture has nothing to be played, and no speed.
    await expect.poll(() => page.locator('cl-strip, cl-motion-badge').count()).toBe(0);
    await page.locator('cl-ledger').getByRole('tab', { name: 'Clip' }).click();
    const reading = page.locator('cl-reading');
    await reading.getByText('what carries is a guess').waitFor();
    await reading.getByLabel('left foot').check();
    await reading.getByText('what carries is a guess').waitFor({ state: 'detached' });
    expect(one.faults).toEqual([]);
  });
});

describe('a keyed shot', () => {
  it('is made by two people: one sets a key, the other poses at another frame', async () => {
    for (const { page } of [one, two]) {
      await page.goto(`${server.url}/r/demo`);
      await openShot(page, 'FER-0020');
      await page.locator('cl-ledger').getByRole('tab', { name: 'Frames' }).click();
    }
    await one.page.getByRole('button', { name: 'Set a key for Porter' }).click();
    await track(two.page).waitFor();
    expect(await track(two.page).getAttribute('aria-valuemax')).toBe('24');
    await track(two.page).focus();
    await two.page.keyboard.press('End');
    await expect.poll(frameOf(two.page)).toBe('24');
    const hips = two.page.locator('cl-elevation button[data-handle="porter/pelvis"]');
    await hips.focus();
    for (let i = 0; i < 6; i++) await two.page.keyboard.press('ArrowDown');
    const keys = (page: Page): Locator => page.locator('cl-key-marks button[data-key]');
    await expect.poll(() => keys(one.page).count()).toBe(2);
    await saved(two.page);
    await weighed(one.page);
    const told = await verdicts(one.page);
    expect(told).toHaveLength(24);
    expect(told.every((verdict) => verdict !== null)).toBe(true);
  });

  it('is retimed by key and by hand, and taken back by undo', async () => {
    const { page } = one;
    const key = (frame: number): Locator =>
      page.locator(`cl-key-marks button[data-key="${frame}"]`);
    await key(23).focus();
    await page.keyboard.press('Alt+ArrowLeft');
    await key(22).waitFor();
    const box = await key(22).boundingBox();
    const first = await key(0).boundingBox();
    const [from, start] = [(box?.x ?? 0) + 12, (first?.x ?? 0) + 12];
    const y = (box?.y ?? 0) + 12;
    await page.mouse.move(from, y);
    await page.mouse.down();
    await page.mouse.move((from + start) / 2, y, { steps: 4 });
    await page.mouse.up();
    await key(11).waitFor();
    await expect.poll(() => two.page.locator('cl-key-marks button[data-key="11"]').count()).toBe(1);
    await page.getByRole('button', { name: 'Undo' }).click();
    await key(22).waitFor();
    expect([...one.faults, ...two.faults]).toEqual([]);
  });

  it('shows when each foot carries, to be dragged, moved by keys and typed alike', async () => {
    const { page } = one;
    await openLeaf(page, 'Frames');
    const foot = strip(page).getByRole('group', { name: /^When the left foot carries/ });
    const end = foot.locator('[data-end=to]');
    await expect.poll(() => end.getAttribute('aria-valuenow')).toBe('24');
    const box = (await end.boundingBox())!;
    const row = (await foot.boundingBox())!;
    const y = box.y + box.height / 2;
    await page.mouse.move(box.x + 8, y);
    await page.mouse.down();
    await page.mouse.move(row.x + row.width / 2, y, { steps: 5 });
    await page.mouse.up();
    const dragged = Number(await end.getAttribute('aria-valuenow'));
    expect(dragged).toBeGreaterThan(6);
    expect(dragged).toBeLessThan(20);
    await foot.and(page.locator('.by-hand')).waitFor();
    const typed = page.locator('cl-frames input[data-touch=toesL]');
    await expect.poll(() => typed.inputValue()).toBe(`1-${dragged}`);
    await end.focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => typed.inputValue()).toBe(`1-${dragged + 1}`);
    await typed.fill('1-9');
    await typed.press('Enter');
    await page.locator('cl-frames input[data-touch=soleL]').fill('1-9');
    await page.keyboard.press('Enter');
    await expect.poll(() => end.getAttribute('aria-valuenow')).toBe('9');
    // Everybody has it, and the weighing goes by it.
    const other = strip(two.page).getByRole('group', { name: /^When the left foot carries/ });
    await expect.poll(() => other.locator('[data-end=to]').getAttribute('aria-valuenow')).toBe('9');
    await weighed(page);
    await expect.poll(async () => (await verdicts(page))[20]).not.toBe((await verdicts(page))[3]);
    await page.keyboard.press('Escape');
    expect([...one.faults, ...two.faults]).toEqual([]);
  });
});

describe('two figures apart', () => {
  it('have a strip each, to be chosen', async () => {
    const { page } = one;
    await page.goto(`${server.url}/r/demo`);
    await openShot(page, PAIR.code);
    await track(page).waitFor();
    await weighed(page);
    const choice = strip(page).getByLabel('margins of');
    expect(await choice.locator('option').allTextContents()).toEqual(['Porter', 'Straight']);
    const first = await verdicts(page);
    expect(first.at(-1)).toBe('falls');
    // The card tells the worst frame, which the server found, and not its first pose.
    await page.goto(`${server.url}/r/demo`);
    await card(page, PAIR.code)
      .getByText(/^at worst, frame \d+$/)
      .waitFor();
    await card(page, PAIR.code).locator('.in-motion [data-verdict=falls]').waitFor();
    await openShot(page, PAIR.code);
    await weighed(page);
    await choice.selectOption({ label: 'Straight' });
    await expect.poll(() => verdicts(page)).toEqual(first.map(() => 'holds'));
    await page.locator('cl-motion-badge').getByText('Straight, in motion').waitFor();
    expect(one.faults).toEqual([]);
  });

  it('have a load beside them from one frame to another', async () => {
    const { page } = one;
    await openLeaf(page, 'Frames');
    const loads = async () => (await sceneOf(page)).loads.map(({ name }) => name);
    const to = async (frame: number): Promise<void> => {
      const field = strip(page).getByLabel('frame', { exact: true });
      await field.fill(String(frame));
      await field.press('Enter');
      await expect.poll(frameOf(page)).toBe(String(frame));
    };
    await to(5);
    expect(await loads()).toEqual(['Keg']);
    await page.getByLabel('Keg: first frame').fill('10');
    await page.getByLabel('Keg: first frame').press('Enter');
    await expect.poll(loads).toEqual([]);
    await page.getByLabel('Keg: last frame').fill('20');
    await page.getByLabel('Keg: last frame').press('Enter');
    await to(10);
    await expect.poll(loads).toEqual(['Keg']);
    await to(21);
    await expect.poll(loads).toEqual([]);
    expect(one.faults).toEqual([]);
  });
});
