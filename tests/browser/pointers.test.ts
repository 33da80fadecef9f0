import type { CDPSession, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { distance, type Vec3 } from '../../core/geometry/index.ts';
import { posedFigures, type Scene } from '../../core/scene/index.ts';
import type { Elevation } from '../../web/bench/elevation.ts';
import { handle, middleOf, PATIENCE, sceneOf, toShot, view } from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const { open } = testWindows();
let lead: Window;
let page: Page;
let line: CDPSession;

beforeAll(async () => {
  lead = await open('lead');
  page = lead.page;
  line = await page.context().newCDPSession(page);
  await line.send('Emulation.setTouchEmulationEnabled', { enabled: true, maxTouchPoints: 5 });
  await toShot(page, 'FER-0020');
  await view(page, 'Side');
});

interface Finger {
  readonly x: number;
  readonly y: number;
}

type Kind = 'touchStart' | 'touchMove' | 'touchEnd';

/** Fingers on the glass as the browser gets them from a screen. */
const touch = (type: Kind, fingers: readonly Finger[]): Promise<unknown> =>
  line.send('Input.dispatchTouchEvent', {
    type,
    touchPoints: fingers.map(({ x, y }, id) => ({ x, y, id })),
  });

/** Fingers go from here by pixels, each its own way, and stay on the glass. */
async function slide(fingers: readonly Finger[], ways: readonly Finger[]): Promise<void> {
  await touch('touchStart', fingers);
  for (let step = 1; step <= 6; step++)
    await touch(
      'touchMove',
      fingers.map(({ x, y }, i) => ({
        x: x + (ways[i]!.x * step) / 6,
        y: y + (ways[i]!.y * step) / 6,
      })),
    );
}

const handAt = (scene: Scene): Vec3 => posedFigures(scene).get('porter')!.segments.handR.position;

const moved = async (before: Scene): Promise<number> =>
  distance(handAt(await sceneOf(page)), handAt(before));

const undo = () => page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();

/** How the elevation is looked at: the eye's directions and what lies in its middle. */
const eyeOf = (): Promise<{ towards: Vec3; right: Vec3; middle: Vec3 }> =>
  page.locator('cl-elevation').evaluate((element) => {
    const { eye } = element as unknown as Elevation;
    return { towards: eye.towards, right: eye.right, middle: eye.unproject(200, 200, [0, 1, 0]) };
  });

describe('a finger', () => {
  it('drags the part that it lies on, as one step of undo', async () => {
    const before = await sceneOf(page);
    const at = await middleOf(page, handle('porter', 'handR'));
    await slide([at], [{ x: 50, y: -40 }]);
    await touch('touchEnd', []);
    await expect.poll(() => moved(before), PATIENCE).toBeGreaterThan(0.1);
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });

  it('gives the part back when a second one comes, and both then move the view', async () => {
    const before = await sceneOf(page);
    const seen = await eyeOf();
    const at = await middleOf(page, handle('porter', 'chest'));
    const sheet = (await page.locator('cl-elevation .sheet').boundingBox())!;
    const aside = { x: sheet.x + 40, y: at.y };
    // On the body beside the handle, so that the drawing itself is under the finger.
    const body = { x: at.x, y: at.y + 24 };
    await slide([body], [{ x: 30, y: 0 }]);
    await slide(
      [{ x: body.x + 30, y: body.y }, aside],
      [
        { x: 40, y: 20 },
        { x: 40, y: 20 },
      ],
    );
    await touch('touchEnd', []);
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
    expect(await eyeOf()).not.toEqual(seen);
    await page.locator('cl-bench').getByRole('button', { name: 'Show all' }).click();
  });
});

describe('two fingers in the free view', () => {
  it('turn the camera and change nothing of the draft', async () => {
    await view(page, 'Free');
    const before = await sceneOf(page);
    const seen = await eyeOf();
    const sheet = (await page.locator('cl-elevation .sheet').boundingBox())!;
    const low = sheet.y + sheet.height * 0.3;
    await slide(
      [
        { x: sheet.x + 60, y: low },
        { x: sheet.x + 160, y: low },
      ],
      [
        { x: 80, y: 0 },
        { x: 80, y: 0 },
      ],
    );
    await touch('touchEnd', []);
    await expect
      .poll(async () => distance((await eyeOf()).towards, seen.towards), PATIENCE)
      .toBeGreaterThan(0.1);
    expect(await sceneOf(page)).toEqual(before);
    await view(page, 'Side');
  });
});

describe('a pen', () => {
  it('drags like a finger, however hard it is pressed', async () => {
    const before = await sceneOf(page);
    const at = await middleOf(page, handle('porter', 'handR'));
    const pen = (
      type: 'mousePressed' | 'mouseMoved' | 'mouseReleased',
      by: number,
      force: number,
    ) =>
      line.send('Input.dispatchMouseEvent', {
        ...{ type, x: at.x + by, y: at.y - by, pointerType: 'pen', force },
        ...{ button: 'left', buttons: type === 'mouseReleased' ? 0 : 1, clickCount: 1 },
      });
    await pen('mousePressed', 0, 0.1);
    for (let step = 1; step <= 6; step++) await pen('mouseMoved', step * 8, step / 7);
    await pen('mouseReleased', 48, 0);
    await expect.poll(() => moved(before), PATIENCE).toBeGreaterThan(0.1);
    await undo();
    await expect.poll(() => sceneOf(page), PATIENCE).toEqual(before);
  });
});

describe('pasting', () => {
  it('into a field is left to the field, also with a picture in the clipboard', async () => {
    await openLeaf(page, 'Pose');
    const taken = (selector: string): Promise<boolean> =>
      page
        .locator(selector)
        .first()
        .evaluate(async (target) => {
          const said: string[] = [];
          const app = document.querySelector('cl-app') as unknown as {
            door: {
              session: { on(type: 'message', listener: (text: string) => void): () => void };
            };
          };
          const stop = app.door.session.on('message', (text) => said.push(text));
          const clipboardData = new DataTransfer();
          clipboardData.items.add(new File([new Uint8Array(4)], 'a.png', { type: 'image/png' }));
          target.dispatchEvent(
            new ClipboardEvent('paste', { clipboardData, bubbles: true, composed: true }),
          );
          stop();
          return said.some((text) => text.startsWith('Keeping the picture'));
        });
    expect(await taken('cl-pose-leaf input[type=text], cl-pose-leaf cl-number input')).toBe(false);
    expect(await taken('cl-elevation .sheet')).toBe(true);
  });
});

describe('a drawing in depth that the browser takes away', () => {
  it('is a line drawing meanwhile, says so, and comes back', async () => {
    const elevation = page.locator('cl-elevation');
    await elevation.locator('canvas').evaluate((canvas) => {
      const loser = (canvas as HTMLCanvasElement)
        .getContext('webgl2')!
        .getExtension('WEBGL_lose_context')!;
      (window as unknown as { loser: WEBGL_lose_context }).loser = loser;
      loser.loseContext();
    });
    await elevation.getByText('The drawing in depth was lost and comes back by itself').waitFor();
    expect(await elevation.locator('canvas').count()).toBe(0);
    await page.evaluate(() =>
      (window as unknown as { loser: WEBGL_lose_context }).loser.restoreContext(),
    );
    await elevation.locator('canvas').waitFor();
    await elevation.getByText('The drawing in depth was lost').waitFor({ state: 'detached' });
    // What is drawn can be taken hold of again.
    const before = await sceneOf(page);
    const at = await middleOf(page, handle('porter', 'handR'));
    await slide([at], [{ x: 50, y: -40 }]);
    await touch('touchEnd', []);
    await expect.poll(() => moved(before), PATIENCE).toBeGreaterThan(0.1);
  });
});
