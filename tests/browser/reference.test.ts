import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildBody } from '../../core/body/index.ts';
import { type Picture, readPictures } from '../../core/document/index.ts';
import { FRAME_WIDTH_MM, lineUp, type Vec2 } from '../../core/geometry/index.ts';
import { restPose } from '../../core/pose/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import { bringIn, toShot } from '../helpers/bench-page.ts';
import { openLeaf, saved, testWindows, type Window } from '../helpers/browser.ts';
import { pictured } from '../helpers/keypoint-files.ts';
import { bentScene } from '../helpers/small-review.ts';

const SIZE: Vec2 = [1200, 800];
/** The camera that the picture is drawn by: level, looking at the figure from its front. */
const CAMERA = { height: 1.2, distance: 5, focal: 50 };
const STATURE = 1.7;
const FOCAL_PIXELS = (CAMERA.focal / FRAME_WIDTH_MM) * SIZE[0];

/** Row of the picture for a height above the floor at the figure's distance. */
const row = (height: number): number =>
  SIZE[1] / 2 + ((CAMERA.height - height) / CAMERA.distance) * FOCAL_PIXELS;

const folder = mkdtempSync(join(tmpdir(), 'counterlean-pictures-'));
const { server, open } = testWindows();
let lead: Window;
let other: Window;

/** A drawing of a figure before the sea: horizon at the height of the eye. */
async function drawPicture(
  name: string,
  shirt: readonly [number, number, number],
): Promise<string> {
  const [w, h] = SIZE;
  const pixels = new Uint8Array(w * h * 3);
  const fill = (x: number, y: number, wide: number, high: number, ink: readonly number[]): void => {
    for (let down = Math.round(y); down < Math.round(y + high); down++)
      for (let across = x; across < x + wide; across++) pixels.set(ink, (down * w + across) * 3);
  };
  const [top, hips, feet] = [row(STATURE), row(STATURE * 0.5), row(0)];
  fill(0, 0, w, h / 2, [223, 230, 234]);
  fill(0, h / 2, w, h / 2, [207, 200, 180]);
  fill(w / 2 - 28, top, 56, 60, [107, 90, 69]);
  fill(w / 2 - 45, top + 60, 90, hips - top - 60, shirt);
  fill(w / 2 - 40, hips, 80, feet - hips, [69, 74, 85]);
  const file = join(folder, name);
  await sharp(pixels, { raw: { width: w, height: h, channels: 3 } })
    .png()
    .toFile(file);
  return file;
}

beforeAll(async () => {
  lead = await open('lead');
  other = await open('animator');
  for (const { page } of [lead, other]) {
    await toShot(page, 'FER-0010');
    await openLeaf(page, 'Reference');
  }
});

afterAll(async () => {
  await server.remove();
  rmSync(folder, { recursive: true, force: true });
});

async function pictureOf(page: Page): Promise<Picture> {
  const entries = await page
    .locator('cl-bench')
    .evaluate((bench) => [...(bench as unknown as Bench).live.entries]);
  const picture = readPictures(new Map(entries as [string, unknown][])).get('camera');
  if (picture === undefined) throw new Error('the draft has no picture in perspective');
  return picture;
}

/** Sets a number of the leaf by its label. */
async function type(page: Page, label: string, value: number, behind = ''): Promise<void> {
  const section = behind === '' ? '' : ` section[data-picture=${behind}]`;
  const field = page
    .locator(`cl-reference${section}`)
    .getByRole('spinbutton', { name: label, exact: true });
  await field.fill(String(value));
  await field.press('Enter');
}

const shownCamera = (page: Page): Promise<string> =>
  page
    .locator('cl-reference [data-camera]')
    .textContent()
    .then((text) => text ?? '');

function saidCamera(picture: Picture): { height: string; distance: string } {
  const found = lineUp(picture);
  if (!found.ok) throw new Error(found.message);
  const cm = (metres: number): string => `${(metres * 100).toFixed(0)} cm`;
  return { height: cm(found.value.height), distance: cm(found.value.distance) };
}

describe('a reference picture', () => {
  it('is put in, seen by the other, and lined up by numbers to the camera that drew it', async () => {
    const { page } = lead;
    await page.locator('cl-reference select[data-field=view]').selectOption('camera');
    await page
      .locator('cl-reference input[type=file]')
      .setInputFiles(await drawPicture('quay.png', [138, 59, 47]));
    await page.locator('cl-elevation .sheet[data-view=picture]').waitFor();
    await page.locator('cl-bench svg.picture image').waitFor({ state: 'attached' });
    await page.locator('cl-reference summary').click();
    await type(page, 'feet on the floor, down', Math.round(row(0)));
    await type(page, 'top of the head, down', Math.round(row(STATURE)));
    await type(page, 'horizon, left, down', SIZE[1] / 2);
    await type(page, 'horizon, right, down', SIZE[1] / 2);
    await type(page, 'height of that figure', STATURE * 100);
    // Marks are whole pixels here; the picture's own camera is found to a centimetre in height.
    await expect.poll(() => shownCamera(page)).toContain('120 cm');
    const { distance } = saidCamera(await pictureOf(page));
    expect(Math.abs(Number.parseFloat(distance) - 500)).toBeLessThan(2);
    await saved(page);
    await other.page
      .locator('cl-bench')
      .getByRole('button', { name: 'Picture', exact: true })
      .click();
    await other.page.locator('cl-bench svg.picture image').waitFor({ state: 'attached' });
    await expect.poll(() => shownCamera(other.page)).toContain('120 cm');
  });

  it('shows the camera of a mark that is dragged with the mouse, in both windows; undo brings it back', async () => {
    const { page } = lead;
    const before = await pictureOf(page);
    const mark = page.locator('cl-line-up-marks [data-mark=head]');
    const box = (await mark.boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 3, y + 20, { steps: 4 });
    await page.mouse.up();
    await expect
      .poll(async () => (await pictureOf(page)).head[1])
      .toBeGreaterThan(before.head[1] + 5);
    await saved(page);
    const after = saidCamera(await pictureOf(page));
    for (const window of [lead, other]) {
      await expect.poll(() => shownCamera(window.page)).toContain(after.height);
      await expect.poll(() => shownCamera(window.page)).toContain(after.distance);
    }
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => pictureOf(other.page)).toEqual(before);
  });

  it('moves a mark by arrow keys, and stays when it is locked', async () => {
    const { page } = lead;
    const { feet } = await pictureOf(page);
    await page.locator('cl-line-up-marks [data-mark=feet]').press('Shift+ArrowDown');
    await expect.poll(async () => (await pictureOf(page)).feet[1]).toBeGreaterThan(feet[1]);
    await page.locator('cl-reference').getByRole('button', { name: 'Lock' }).click();
    await page.locator('cl-line-up-marks').waitFor({ state: 'detached' });
    await expect
      .poll(() =>
        page
          .locator('cl-reference')
          .getByRole('spinbutton', { name: 'focal length' })
          .getAttribute('readonly'),
      )
      .toBe('');
  });

  it('takes a set as the frames of the shot, in the order of their names', async () => {
    const { page } = lead;
    await page.locator('cl-reference select[data-field=view]').selectOption('front');
    const files = [
      await drawPicture('f10.png', [60, 90, 140]),
      await drawPicture('f2.png', [60, 140, 90]),
      await drawPicture('f1.png', [140, 90, 60]),
    ];
    await page.locator('cl-reference input[type=file]').setInputFiles(files);
    const section = page.locator('cl-reference section[data-picture=front]');
    await section.getByText('f1.png').waitFor();
    const image = page.locator('cl-bench svg.picture image');
    const first = await image.getAttribute('href');
    await type(page, 'picture', 3);
    await expect.poll(() => image.getAttribute('href')).not.toBe(first);
  });

  it('carries the notes and the marks that lie on it, also when it is lined up anew', async () => {
    const { page } = lead;
    const image = page.locator('cl-bench svg.picture image');
    const sheet = (await page.locator('cl-elevation .sheet').boundingBox())!;
    const lies = (await image.boundingBox())!;
    // A corner of what is seen of the picture, far from the figure.
    const left = Math.max(sheet.x, lies.x) + 40;
    const top = Math.max(sheet.y, lies.y) + 40;
    await page.mouse.click(left, top);
    const field = page.getByLabel('A note about a point of the front reference');
    await field.fill('The gull belongs here.');
    await field.press('Control+Enter');
    const flag = page.locator('cl-elevation .pins button').filter({ hasText: '2' });
    await flag.waitFor();
    const tools = page.locator('cl-bench');
    await tools.getByRole('button', { name: 'Mark', exact: true }).click();
    await tools.getByRole('button', { name: 'Ink', exact: true }).click();
    // The tools take some of the sheet's height.
    const on = (await page.locator('cl-elevation .sheet').boundingBox())!;
    await page.mouse.move(on.x + 120, on.y + 60);
    await page.mouse.down();
    await page.mouse.move(on.x + 180, on.y + 80, { steps: 5 });
    await page.mouse.up();
    const ink = page.locator('cl-elevation cl-marks path.ink');
    await ink.waitFor();
    await tools.getByRole('button', { name: 'Mark', exact: true }).click();
    /** Where both lie on the picture, as shares of it. */
    const onPicture = async (): Promise<number[]> => {
      const [on, drawn] = [(await image.boundingBox())!, (await ink.boundingBox())!];
      const over = (await page.locator('cl-elevation .sheet').boundingBox())!;
      const pin = await flag.evaluate((button) => {
        const { left: x, top: y } = (button as HTMLElement).style;
        return [Number.parseFloat(x), Number.parseFloat(y)] as const;
      });
      const shares = (x: number, y: number) => [(x - on.x) / on.width, (y - on.y) / on.height];
      const middle = shares(drawn.x + drawn.width / 2, drawn.y + drawn.height / 2);
      return [...shares(over.x + pin[0], over.y + pin[1]), ...middle];
    };
    // Boxes are read one after the other, so a layout under way makes one reading false.
    const pressed = [(left - lies.x) / lies.width, (top - lies.y) / lies.height];
    await expect
      .poll(async () => (await onPicture()).slice(0, 2))
      .toEqual(pressed.map((share) => expect.closeTo(share, 2)));
    const before = await onPicture();
    await page.locator('cl-reference section[data-picture=front] summary').click();
    await type(page, 'feet on the floor, down', 700, 'front');
    await type(page, 'top of the head, down', 200, 'front');
    await expect.poll(async () => (await image.boundingBox())?.height).not.toBe(lies.height);
    await expect.poll(onPicture).toEqual(before.map((share) => expect.closeTo(share, 2)));
  });

  it('says what is no picture, and changes nothing', async () => {
    const { page } = lead;
    await page.locator('cl-reference input[type=file]').setInputFiles({
      name: 'fake.png',
      mimeType: 'image/png',
      buffer: Buffer.from('not a picture at all'),
    });
    await page.locator('cl-reference').getByRole('alert').getByText('fake.png').waitFor();
    await page.locator('cl-reference section[data-picture=front]').getByText('f1.png').waitFor();
    expect(other.faults).toEqual([]);
  });
});

describe('points of a picture', () => {
  it('are read by its horizon and its person, once that is asked for', async () => {
    const { page, faults } = await open('animator');
    const spec = bentScene(0).figures[0]!.body;
    const shutter = { pixelsPerMetre: 300, origin: [600, 700] } as const;
    const file = [{ image_id: 1, keypoints: pictured(spec, restPose(buildBody(spec)), shutter) }];
    const bytes = new TextEncoder().encode(JSON.stringify(file));
    await bringIn(page, 'points.json', bytes, 'KEY-0120');
    await openLeaf(page, 'Clip');
    const reading = page.locator('cl-reading');
    await reading.getByText('guessed from its longest-looking bones').waitFor();
    expect(await reading.getByRole('button', { name: 'line up with the picture' }).count()).toBe(0);
    await openLeaf(page, 'Reference');
    await page.locator('cl-reference select[data-field=view]').selectOption('camera');
    await page
      .locator('cl-reference input[type=file]')
      .setInputFiles(await drawPicture('points.png', [47, 89, 138]));
    await page.locator('cl-elevation .sheet[data-view=picture]').waitFor();
    await openLeaf(page, 'Clip');
    await reading.getByRole('button', { name: 'line up with the picture' }).click();
    await reading.getByText('from the person that the picture is lined up with').waitFor();
    await reading.getByRole('button', { name: 'leave the line-up out' }).click();
    await reading.getByText('guessed from its longest-looking bones').waitFor();
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
