import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { assess, STRATEGIES, type Study, type StudyOptions, study } from '../../core/index.ts';
import { anglesOf } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import type { Answer, Ask } from '../../web/study/messages.ts';
import { PATIENCE } from '../helpers/bench-page.ts';
import { card, openLeaf, testWindows, type Window } from '../helpers/browser.ts';
import { bentScene } from '../helpers/small-review.ts';

// The browser's own sine and arc tangent may differ from Node's in the last digit.
expect.addEqualityTesters([
  (a: unknown, b: unknown) =>
    typeof a === 'number' && typeof b === 'number'
      ? Math.abs(a - b) <= 1e-8 * Math.max(1, Math.abs(a), Math.abs(b))
      : undefined,
]);

const { open } = testWindows();
let lead: Window;

beforeAll(async () => {
  lead = await open('lead');
  await card(lead.page, 'FER-0020').getByRole('link').first().click();
  await lead.page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
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

/** The only group of the shot, as the core studies the scene that the window has. */
async function group(page: Page, options: StudyOptions = {}) {
  const { scene } = await settledStudy(page);
  return { scene, group: study(scene, { rate: 24, ...options }).groups[0]! };
}

describe('the readings of the Weigh leaf', () => {
  it('are the shares that the core finds, in the leaf and in the plan', async () => {
    const { page } = lead;
    await openLeaf(page, 'Weigh');
    const { loads } = (await group(page)).group;
    if (loads.kind !== 'told') throw new Error(loads.sentence);
    for (const { side, likelyShare, share } of loads.feet) {
      const row = page.locator(`cl-readings [data-share="porter/sole${side}"]`);
      const said = (await row.textContent())!.replaceAll(/\s+/g, ' ');
      expect(said).toContain(`${side === 'L' ? 'left' : 'right'} foot`);
      expect(said).toContain(`likely ${Math.round(likelyShare * 100)} %`);
      const [least, most] = [share.least!, share.most!].map((end) => Math.round(end * 100));
      expect(said).toContain(`could be ${least} to ${most} %`);
      const number = page.locator(`cl-plan .share-number[data-share="porter/sole${side}"]`);
      expect(await number.textContent()).toContain(`${Math.round(likelyShare * 100)}\u00a0%`);
    }
    await page.locator('cl-plan').getByText('the outline round level contacts').waitFor();
  });

  it('are the pushes at the height that is typed', async () => {
    const { page } = lead;
    await page.locator('cl-readings summary').filter({ hasText: 'Pushes' }).click();
    const field = page.locator('cl-readings [data-push-height]').getByRole('spinbutton');
    await field.fill('70');
    await field.press('Enter');
    const told = (await group(page, { pushHeight: 0.7 })).group.pushes[0];
    if (told?.kind !== 'told') throw new Error('no pushes');
    for (const { from, force_N, ends } of told.pushes) {
      const name = from === 'behind' ? 'from behind' : `from the ${from}`;
      const row = page.locator('cl-readings details .row').filter({ hasText: name });
      await row.getByText(`${Math.round(force_N!)}\u00a0N, then ${ends}`).waitFor();
    }
  });

  it('show an edge and what makes it in the plan, by key and by pointer', async () => {
    const { page } = lead;
    await page.locator('cl-readings summary').filter({ hasText: 'Edges' }).click();
    const edge = page.locator('cl-readings [data-edge]').first();
    await edge.getByRole('button').focus();
    await page.locator('cl-plan .edge-lit').first().waitFor({ state: 'attached' });
    expect(await page.locator('cl-plan .contact.lit').count()).toBeGreaterThan(0);
    await page.locator('cl-readings summary').filter({ hasText: 'Edges' }).focus();
    await expect.poll(() => page.locator('cl-plan .edge-lit').count(), PATIENCE).toBe(0);
    // The sole in the plan shows its row.
    await page.locator('cl-plan [data-contact="porter/soleL"]').hover();
    await page.locator('cl-readings [data-share="porter/soleL"].lit').waitFor();
  });

  it('draw the forces when they are asked for, by press and by key', async () => {
    const { page } = lead;
    const forces = page.locator('cl-elevation .forces');
    expect(await forces.count()).toBe(0);
    await page.locator('cl-bench').getByRole('button', { name: 'Forces' }).click();
    const { loads } = (await group(page)).group;
    if (loads.kind !== 'told') throw new Error(loads.sentence);
    await forces.getByText(`${Math.round(loads.weight_N)} N`).waitFor();
    expect(await forces.locator('.force-contact').count()).toBe(2);
    await page.locator('cl-elevation .sheet').focus();
    await page.keyboard.press('f');
    await forces.waitFor({ state: 'detached' });
  });

  it('are read out, every sentence once', async () => {
    const { page } = lead;
    await page.locator('cl-read-out summary').click();
    const lines = page.locator('cl-read-out li');
    await lines.first().waitFor();
    const { scene, group: found } = await group(page, { pushHeight: 0.7 });
    const verdict = assess(scene).groups[0]!.sentence;
    expect(await lines.allInnerTexts()).toEqual([
      verdict,
      ...found.sentences.map(({ text }) => text),
    ]);
    await page.locator('cl-read-out').getByRole('button', { name: 'Copy' }).click();
    await page
      .locator('cl-read-out')
      .getByText(/^(Copied|Marked)/)
      .waitFor();
    expect(lead.faults).toEqual([]);
  });
});
