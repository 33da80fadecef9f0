import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { STRATEGIES, type Study, study } from '../../core/index.ts';
import { anglesOf } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import type { Answer, Ask } from '../../web/study/messages.ts';
import {
  card,
  launchBrowser,
  openLeaf,
  openWindow,
  TestServer,
  type Window,
} from '../helpers/browser.ts';
import { bentScene } from '../helpers/small-review.ts';

// The browser's own sine and arc tangent may differ from Node's in the last digit.
expect.addEqualityTesters([
  (a: unknown, b: unknown) =>
    typeof a === 'number' && typeof b === 'number'
      ? Math.abs(a - b) <= 1e-8 * Math.max(1, Math.abs(a), Math.abs(b))
      : undefined,
]);

const PATIENCE = { timeout: 20_000, interval: 100 };

const server = new TestServer();
let browser: Browser;
let lead: Window;

beforeAll(async () => {
  await server.start();
  browser = await launchBrowser();
  lead = await openWindow(browser, server.link('lead'));
  await card(lead.page, 'FER-0020').getByRole('link').first().click();
  await lead.page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
});

afterAll(async () => {
  await browser?.close();
  await server.remove();
});

/** The scene as the window has it, and the study of it that the worker gave; null while it works. */
async function studied(page: Page): Promise<{ scene: Scene; study: Study } | null> {
  return page.locator('cl-bench').evaluate((element) => {
    const { live, studying } = element as unknown as Bench;
    const { study, scene } = studying.state;
    return study !== null && scene === live.scene ? { scene, study } : null;
  });
}

/** Waits for the study of what is shown, once the scene is as `when` says. */
async function settledStudy(
  page: Page,
  when: (scene: Scene) => boolean = () => true,
): Promise<{ scene: Scene; study: Study }> {
  let found: { scene: Scene; study: Study } | null = null;
  await expect
    .poll(async () => {
      found = await studied(page);
      return found !== null && when(found.scene);
    }, PATIENCE)
    .toBe(true);
  return found!;
}

const waist = ({ figures }: Scene): number => {
  const turn = figures[0]?.pose.joints.abdomen;
  return turn === undefined ? 0 : anglesOf('abdomen', turn).flexion * (180 / Math.PI);
};

describe('the worker', () => {
  it('studies what is shown as the core does', async () => {
    const found = await settledStudy(lead.page);
    expect(found.study).toEqual(study(found.scene));
  });

  it('studies anew after an edit, and the last of several edits wins', async () => {
    const { page } = lead;
    await openLeaf(page, 'Pose');
    const panel = page.locator('cl-turn');
    await panel.getByLabel('Part').selectOption({ label: 'waist' });
    const field = panel.getByRole('spinbutton', { name: 'flexion' });
    const before = waist((await settledStudy(page)).scene);
    await field.focus();
    for (let press = 0; press < 5; press++) await field.press('ArrowUp');
    const found = await settledStudy(page, (scene) => Math.abs(waist(scene) - before - 5) < 1e-6);
    expect(found.study).toEqual(study(found.scene));
    await page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();
    expect(lead.faults).toEqual([]);
  });

  it('stops looking for ways between two of them when they are not wanted any more', async () => {
    const { page } = lead;
    const script = await page.evaluate(
      () =>
        performance
          .getEntriesByType('resource')
          .map(({ name }) => name)
          .find((name) => name.includes('study-worker')) ?? null,
    );
    expect(script).not.toBeNull();
    const ask: Ask = {
      kind: 'ways',
      id: 1,
      scene: bentScene(80),
      figure: 'porter',
      options: {},
    };
    const answers = await page.evaluate(
      async ([url, first]) => {
        const worker = new Worker(url, { type: 'module' });
        const got: Answer[] = [];
        const done = new Promise<void>((resolve, reject) => {
          worker.onerror = () => reject(new Error('the worker broke'));
          worker.onmessage = ({ data }: MessageEvent<Answer>) => {
            got.push(data);
            if (got.length === 1) {
              worker.postMessage({ kind: 'drop', id: 1 } satisfies Ask);
              worker.postMessage({ ...first, kind: 'ways', id: 2 } as Ask);
            }
            if (data.kind === 'ways') resolve();
          };
        });
        worker.postMessage(first);
        await done;
        worker.terminate();
        return got.map(({ kind, id }) => `${kind} ${id}`);
      },
      [script!, ask] as const,
    );
    const dropped = answers.filter((answer) => answer.endsWith('1'));
    expect(dropped.length).toBeLessThanOrEqual(2);
    expect(dropped).not.toContain('ways 1');
    expect(answers.filter((answer) => answer === 'way 2')).toHaveLength(STRATEGIES.length);
    expect(answers.at(-1)).toBe('ways 2');
  });
});
