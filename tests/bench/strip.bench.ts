import { readFileSync } from 'node:fs';
import type { CDPSession, Page } from 'playwright-core';
import { bringIn, track, weighed } from '../helpers/bench-page.ts';
import { launchBrowser, openWindow, TestServer } from '../helpers/browser.ts';
import { ofFrames, WALK } from '../helpers/long-bvh.ts';
import type { BenchRow } from './rows.ts';

const FRAMES = 10_000;
const STEPS = 60;

/**
 * The margin strip of a clip of 10,000 frames in the page as built: script time of one step of scrubbing
 * (another frame shown, weighed and drawn) and of one step of zooming, near and whole, with all that can
 * be drawn on it; by the browser's own count of script time over the frames that were drawn. Aim: under
 * 8 ms, which leaves half of a 60th of a second to the browser. And what the page keeps in memory.
 */
export async function run(): Promise<BenchRow[]> {
  const server = new TestServer();
  await server.start();
  const browser = await launchBrowser();
  try {
    const { page } = await openWindow(browser, server.link('lead'));
    const frame = (): Promise<string | null> => track(page).getAttribute('aria-valuenow');
    const text = ofFrames(readFileSync(WALK, 'utf8'), FRAMES);
    const line = await page.context().newCDPSession(page);
    await line.send('Performance.enable');
    const start = performance.now();
    await bringIn(page, 'long_walk.bvh', new TextEncoder().encode(text), 'LNG-0010');
    await track(page).waitFor({ timeout: 120_000 });
    await weighed(page);
    const seconds = (performance.now() - start) / 1000;
    const meanwhile = await metric(line, 'ScriptDuration');
    for (const look of ['Speed', 'Pressure', 'Contact poses'])
      await page.locator('cl-strip').getByRole('button', { name: look }).click();
    const before = await frame();
    const scrubbed = await perStep(page, line, (at) => ({ type: 'move', at }));
    if ((await frame()) === before) throw new Error('Scrubbing went to no other frame.');
    const zoomed = await perStep(page, line, (at) => ({ type: 'wheel', at }));
    await line.send('HeapProfiler.collectGarbage');
    const { usedSize, backingStorageSize } = await line.send('Runtime.getHeapUsage');
    const memory = (usedSize + backingStorageSize) / 2 ** 20;
    return [
      { name: 'one step of scrubbing, script time', value: scrubbed, unit: 'ms' },
      { name: 'one step of zooming, script time', value: zoomed, unit: 'ms' },
      { name: 'memory of the page, without its worker', value: memory, unit: 'MiB' },
      { name: 'brought in, opened, weighed and drawn', value: seconds, unit: 's' },
      { name: 'script time of the page meanwhile', value: meanwhile, unit: 's' },
    ];
  } finally {
    await browser.close();
    await server.remove();
  }
}

type Step = (at: number) => { readonly type: 'move' | 'wheel'; readonly at: number };

/** Script milliseconds of a step: the first round is the compiler's. */
async function perStep(page: Page, line: CDPSession, step: Step): Promise<number> {
  const box = (await track(page).boundingBox())!;
  const y = box.y + box.height / 2;
  const round = async (): Promise<void> => {
    for (let i = 0; i < STEPS; i++) {
      const { type, at } = step(i / STEPS);
      // Near for the first half, whole again for the second.
      if (type === 'wheel') await page.mouse.wheel(0, at < 0.5 ? -100 : 100);
      else await page.mouse.move(box.x + 80 + at * (box.width - 160), y);
      await drawn(page);
    }
  };
  await page.mouse.move(box.x + box.width / 3, y);
  if (step(0).type === 'move') await page.mouse.down();
  await round();
  const before = await metric(line, 'ScriptDuration');
  await round();
  const spent = (await metric(line, 'ScriptDuration')) - before;
  await page.mouse.up();
  return (spent * 1000) / STEPS;
}

/** Waits until the page has drawn what it was told. */
const drawn = (page: Page): Promise<void> =>
  page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        requestAnimationFrame(() => requestAnimationFrame(() => resolve()));
      }),
  );

async function metric(line: CDPSession, name: string): Promise<number> {
  const { metrics } = await line.send('Performance.getMetrics');
  return metrics.find((one) => one.name === name)!.value;
}
