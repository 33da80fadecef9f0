import { card, launchBrowser, openWindow, TestServer } from '../helpers/browser.ts';
import { bentScene, SMALL_REVIEW } from '../helpers/small-review.ts';
import type { BenchRow } from './rows.ts';

const MOVES = 60;

/**
 * Script time of one step of a drag in the page as built, three figures in the scene, the first one's
 * hand in the mouse: solve, lay the drag over the draft, assess, draw. By the browser's own count of
 * script time over the frames that the draft was weighed anew. Aim: under 8 ms.
 */
export async function run(): Promise<BenchRow[]> {
  const [porter] = bentScene(0).figures;
  const three = {
    ...bentScene(0),
    figures: [0, 1, 2].map((i) => ({
      ...porter!,
      id: `figure-${i}`,
      name: `Figure ${i}`,
      pose: { ...porter!.pose, position: [i * 0.8, porter!.pose.position[1], 0] as const },
    })),
  };
  const shot = SMALL_REVIEW.shots[0]!;
  const server = new TestServer({
    ...SMALL_REVIEW,
    shots: [{ ...shot, drafts: [{ ...shot.drafts[0]!, scene: three }] }],
  });
  await server.start();
  const browser = await launchBrowser();
  try {
    const { page } = await openWindow(browser, server.link('lead'));
    await page.goto(`${server.url}/r/demo`);
    await card(page, shot.code).getByRole('link').first().click();
    const handle = page.locator('cl-elevation [data-handle="figure-0/handR"]');
    await handle.waitFor();
    await page.locator('cl-bench').evaluate((bench) => {
      const { live } = bench as unknown as { live: EventTarget };
      const counted = window as unknown as { steps: number };
      counted.steps = 0;
      live.addEventListener('change', () => {
        counted.steps++;
      });
    });
    const box = (await handle.boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const line = await page.context().newCDPSession(page);
    await line.send('Performance.enable');
    const script = async (): Promise<number> => {
      const { metrics } = await line.send('Performance.getMetrics');
      return metrics.find(({ name }) => name === 'ScriptDuration')!.value;
    };
    const steps = (): Promise<number> =>
      page.evaluate(() => (window as unknown as { steps: number }).steps);
    await page.mouse.move(x, y);
    await page.mouse.down();
    const drag = async (): Promise<void> => {
      for (let i = 0; i < MOVES; i++) {
        const a = (i / MOVES) * 2 * Math.PI;
        await page.mouse.move(x + 40 * (1 - Math.cos(a)), y - 40 * Math.sin(a));
      }
    };
    // The first round is the compiler's.
    await drag();
    const [before, first] = [await script(), await steps()];
    await drag();
    await drag();
    const spent = (await script()) - before;
    const count = (await steps()) - first;
    await page.mouse.up();
    return [
      {
        name: 'one step of a drag, three figures, script time',
        value: (spent * 1e3) / count,
        unit: 'ms',
      },
      { name: 'steps counted', value: count, unit: 'steps' },
    ];
  } finally {
    await browser.close();
    await server.remove();
  }
}
