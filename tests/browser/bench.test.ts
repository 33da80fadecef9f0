import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { anglesOf } from '../../core/pose/index.ts';
import {
  badge,
  handle,
  PATIENCE,
  pull,
  sceneOf,
  showsItsMargin,
  toShot,
  view,
} from '../helpers/bench-page.ts';
import { openLeaf, testWindows, type Window } from '../helpers/browser.ts';

const DEGREE = Math.PI / 180;
const CLIP = new URL('../fixtures/clips/cmu_02_01_walk.bvh', import.meta.url).pathname;

const { server, open } = testWindows();
let lead: Window;
let animator: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator');
});

const verdict = (page: Page, word: string): Promise<void> =>
  badge(page).getByText(word, { exact: true }).waitFor();

const plumbX = async (
  page: Page,
  part: 'cl-elevation .lines' | 'cl-plan [data-plumb-x]',
): Promise<number> => Number(await page.locator(part).getAttribute('data-plumb-x'));

describe('the bench in two windows', () => {
  it('shows a drag of the hips in both while it lasts, until both say falls', async () => {
    await toShot(lead.page, 'FER-0020');
    await toShot(animator.page, 'FER-0020');
    await verdict(lead.page, 'holds');
    await verdict(animator.page, 'holds');
    const before = await sceneOf(lead.page);
    await view(lead.page, 'Side');
    await pull(lead.page, handle('porter', 'pelvis'), 60, 16);
    await verdict(lead.page, 'falls');
    await verdict(animator.page, 'falls');
    await lead.page
      .locator('cl-elevation')
      .getByText('Planted: left foot and right foot.')
      .waitFor();
    // Nothing is stored yet: giving it up brings the pose back everywhere.
    await lead.page.keyboard.press('Escape');
    await lead.page.mouse.up();
    await verdict(lead.page, 'holds');
    await verdict(animator.page, 'holds');
    expect(await sceneOf(lead.page)).toEqual(before);
  });

  it('stores a drag once at its end, with equal numbers everywhere', async () => {
    await pull(lead.page, handle('porter', 'pelvis'), 60, 16);
    await lead.page.mouse.up();
    await verdict(animator.page, 'falls');
    await lead.page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).waitFor();
    const stored = await sceneOf(lead.page);
    await expect.poll(() => sceneOf(animator.page), PATIENCE).toEqual(stored);
    const group = await showsItsMargin(lead.page);
    expect(group.verdict).toBe('falls');
    expect(await showsItsMargin(animator.page)).toEqual(group);
  });

  it('takes the whole drag back with one undo, in both windows', async () => {
    await lead.page.locator('cl-top-bar').getByRole('button', { name: 'Undo' }).click();
    await verdict(lead.page, 'holds');
    await verdict(animator.page, 'holds');
    const back = await sceneOf(lead.page);
    await expect.poll(() => sceneOf(animator.page), PATIENCE).toEqual(back);
  });

  it('shows to the other window what is selected, in its ink and with its name', async () => {
    await lead.page.locator('cl-elevation [data-handle="porter/handR"]').focus();
    await lead.page.keyboard.press('Enter');
    const marked = animator.page.locator('cl-elevation .person.selects');
    await marked.waitFor({ state: 'attached' });
    const hand = lead.page.locator('cl-elevation [data-handle="porter/handR"]');
    expect(await hand.getAttribute('aria-pressed')).toBe('true');
    expect(lead.faults).toEqual([]);
    expect(animator.faults).toEqual([]);
  });
});

describe('the bench in one window', () => {
  it('runs the plumb line through elevation and plan at one x', async () => {
    await toShot(lead.page, 'FER-0020');
    for (const name of ['Front', 'Side'] as const) {
      await view(lead.page, name);
      const x = await plumbX(lead.page, 'cl-elevation .lines');
      expect(x, name).toBeGreaterThan(0);
      expect(Math.abs(x - (await plumbX(lead.page, 'cl-plan [data-plumb-x]'))), name).toBeLessThan(
        0.01,
      );
      const [above, below] = await Promise.all(
        ['cl-elevation .lines .plumb', 'cl-plan .plumb'].map((line) =>
          lead.page.locator(line).first().boundingBox(),
        ),
      );
      expect(above?.x, name).toBeCloseTo(below?.x ?? Number.NaN, 1);
      // Unbroken: the lower line begins no lower than the upper one ends (they may overlap).
      const gap = (below?.y ?? 0) - ((above?.y ?? 0) + (above?.height ?? 0));
      expect(gap, name).toBeLessThan(0.01);
      expect(gap, name).toBeGreaterThan(-5);
    }
    await view(lead.page, 'Free');
    await lead.page.locator('cl-plan').getByText('lines up with the elevation').waitFor();
  });

  it('turns a joint by a typed angle', async () => {
    const { page } = lead;
    await openLeaf(page, 'Pose');
    const panel = page.locator('cl-turn');
    await panel.getByLabel('Part').selectOption({ label: 'left thigh' });
    const field = panel.getByRole('spinbutton', { name: 'flexion' });
    await field.fill('35');
    await field.press('Enter');
    await expect
      .poll(async () => {
        const turn = (await sceneOf(page)).figures[0]?.pose.joints.thighL;
        return turn === undefined ? null : anglesOf('thighL', turn).flexion / DEGREE;
      }, PATIENCE)
      .toBeCloseTo(35, 3);
    await field.press('ArrowUp');
    await field.press('Shift+ArrowUp');
    await expect
      .poll(async () => {
        const turn = (await sceneOf(page)).figures[0]?.pose.joints.thighL;
        return turn === undefined ? null : anglesOf('thighL', turn).flexion / DEGREE;
      }, PATIENCE)
      .toBeCloseTo(36.1, 3);
    await showsItsMargin(page);
  });

  it('turns a joint about one axis by dragging that ring', async () => {
    const { page } = lead;
    await view(page, 'Side');
    const box = await page.locator('cl-elevation [data-ring=flexion] .ring').boundingBox();
    if (box === null) throw new Error('no ring');
    const [x, y, r] = [box.x + box.width / 2, box.y + box.height / 2, box.width / 2];
    const before = (await sceneOf(page)).figures[0]?.pose.joints.thighL;
    await page.mouse.move(x + r, y);
    await page.mouse.down();
    for (let step = 1; step <= 6; step++) {
      const angle = (-20 * DEGREE * step) / 6;
      await page.mouse.move(x + r * Math.cos(angle), y + r * Math.sin(angle));
    }
    await page.mouse.up();
    await expect
      .poll(async () => {
        const turn = (await sceneOf(page)).figures[0]?.pose.joints.thighL;
        if (turn === undefined || before === undefined) return null;
        const [a, b] = [turn, before].map((q) => anglesOf('thighL', q).flexion / DEGREE);
        return a! - b!;
      }, PATIENCE)
      // Seen from the right the front is on the right: against the clock lifts the thigh.
      .toBeCloseTo(20, 0);
    const turn = (await sceneOf(page)).figures[0]!.pose.joints.thighL!;
    for (const other of ['abduction', 'rotation'] as const)
      expect(anglesOf('thighL', turn)[other]).toBeCloseTo(anglesOf('thighL', before!)[other], 6);
  });

  it('moves a hand with the arrow keys, 1 cm a press', async () => {
    const { page } = lead;
    const handle = page.locator('cl-elevation [data-handle="porter/handR"]');
    const palm = page.locator('cl-turn').getByRole('spinbutton', { name: 'ahead' });
    await page.locator('cl-turn').getByLabel('Part').selectOption({ label: 'right hand' });
    const before = Number(await palm.getAttribute('aria-valuenow'));
    await handle.focus();
    await handle.press('ArrowRight');
    await handle.press('ArrowRight');
    await expect
      .poll(async () => Number(await palm.getAttribute('aria-valuenow')) - before, PATIENCE)
      .toBeCloseTo(2, 1);
  });

  it('falls once the ball in the hands is heavy enough, and holds again when it is not', async () => {
    const { page } = lead;
    await toShot(lead.page, 'MAR-0010');
    await verdict(page, 'holds');
    await openLeaf(page, 'Things');
    await page.locator('cl-ledger').getByRole('button', { name: 'ball in both hands' }).click();
    const slider = page.locator('cl-load-form').getByRole('slider');
    await slider.waitFor();
    await verdict(page, 'holds');
    // Held out in front by arms that reach ahead.
    await openLeaf(page, 'Pose');
    await page.locator('cl-turn').getByLabel('Part').selectOption({ label: 'left upper arm' });
    for (const part of ['left upper arm', 'right upper arm']) {
      await page.locator('cl-turn').getByLabel('Part').selectOption({ label: part });
      const flexion = page.locator('cl-turn').getByRole('spinbutton', { name: 'flexion' });
      await flexion.fill('85');
      await flexion.press('Enter');
    }
    await openLeaf(page, 'Weigh');
    await page.locator('cl-weigh').getByRole('button', { name: 'ball' }).click();
    await slider.focus();
    await slider.press('End');
    await verdict(page, 'falls');
    const heavy = await showsItsMargin(page);
    expect(heavy.mass).toBeCloseTo(70 + 60, 6);
    await page.locator('cl-ledger [data-cell="total"]').getByText('130.0').waitFor();
    await slider.press('Home');
    await verdict(page, 'holds');
    await showsItsMargin(page);
  });

  it('lifts and plants a contact that is pressed in the plan', async () => {
    const { page } = lead;
    const sole = page.locator('cl-plan [data-contact="porter/soleL"]');
    await sole.focus();
    await sole.press('Enter');
    await sole.press('Enter');
    await expect
      .poll(async () => (await sceneOf(page)).figures[0]?.contacts, PATIENCE)
      .toEqual({ soleL: 'lifted' });
    await showsItsMargin(page);
    await page.locator('cl-plan').getByText('lifted', { exact: true }).waitFor();
  });

  it('adds a second figure and a grip between two hands, and removes them', async () => {
    const { page } = lead;
    const ledger = page.locator('cl-ledger');
    await openLeaf(page, 'Things');
    await ledger.getByRole('button', { name: 'figure', exact: true }).click();
    await ledger.locator('[data-thing]').nth(2).waitFor();
    await ledger.locator('[data-new-grip] summary').click();
    await ledger.getByLabel('Who holds').selectOption({ label: 'left hand of Porter' });
    await ledger.getByLabel('What is held').selectOption({ label: 'right hand of Figure 1' });
    await ledger.getByRole('button', { name: 'take hold' }).click();
    await ledger.getByText('left hand of Porter holds right hand of Figure 1').waitFor();
    expect((await sceneOf(page)).grips).toHaveLength(1);
    await ledger.getByRole('button', { name: 'remove Figure 1' }).click();
    await expect
      .poll(async () => {
        const { figures, grips } = await sceneOf(page);
        return [figures.length, grips.length];
      }, PATIENCE)
      .toEqual([1, 0]);
  });
});

describe('a recorded clip', () => {
  it('is scrubbed by pointer and keys, with the badge of each frame', async () => {
    const { page } = lead;
    await page.goto(`${server.url}/r/demo`);
    await page.locator('input[type=file]').first().setInputFiles(CLIP);
    const dialog = page.locator('cl-import-dialog');
    await dialog.locator('button[type=submit]').click();
    const added = page.locator('cl-shot-card').filter({ hasText: 'cmu 02 01 walk' });
    await added.getByRole('link').first().click();
    const track = page.locator('cl-strip').getByRole('slider', { name: 'Frame', exact: true });
    await track.waitFor();
    const last = Number(await track.getAttribute('aria-valuemax'));
    expect(last).toBeGreaterThan(300);
    await track.focus();
    await track.press('ArrowRight');
    await track.press('ArrowRight');
    const frame = (): Promise<string | null> => track.getAttribute('aria-valuenow');
    await expect.poll(frame).toBe('3');
    await showsItsMargin(page);
    const needle = async (): Promise<number> => {
      const drawn = await track.locator('.needle').boundingBox();
      return drawn!.x + drawn!.width / 2;
    };
    await track.press('Home');
    await expect.poll(frame).toBe('1');
    const from = await needle();
    await track.press('End');
    await expect.poll(frame).toBe(String(last));
    const to = await needle();
    const box = (await track.boundingBox())!;
    const x = Math.round(box.x + box.width / 2);
    await page.mouse.click(x, box.y + 30);
    // Frames stand evenly from the first to the last: a press is on the nearest.
    const middle = String(Math.round(1 + ((x - from) / (to - from)) * (last - 1)));
    await expect.poll(frame).toBe(middle);
    await showsItsMargin(page);
    await page.locator('cl-strip [data-progress]').waitFor({ state: 'detached', timeout: 60_000 });
    // The strip says the same as the badge.
    const word = await page.locator('cl-motion-badge [data-verdict]').textContent();
    expect(await track.getAttribute('aria-valuetext')).toContain(`frame ${middle}, ${word}`);
    await page.locator('cl-bench').getByText('The figure follows its clip.').first().waitFor();
    expect(lead.faults).toEqual([]);
  });
});

describe('the leaves beside the drawing', () => {
  it('are gone through with arrow keys, and the one that was open is open again', async () => {
    const { page } = lead;
    await toShot(lead.page, 'MAR-0010');
    await openLeaf(page, 'Weigh');
    const tab = (name: string): Locator => page.locator('cl-ledger').getByRole('tab', { name });
    const focused = (name: string): Promise<boolean> =>
      tab(name).evaluate((word) => word.matches(':focus'));
    await tab('Weigh').focus();
    for (const next of ['Ways back', 'Pose', 'Things']) {
      await page.keyboard.press('ArrowRight');
      await expect.poll(() => focused(next), PATIENCE).toBe(true);
    }
    await page.locator('cl-things').waitFor();
    expect(await tab('Things').getAttribute('aria-selected')).toBe('true');
    expect(await focused('Things')).toBe(true);
    expect(await tab('Weigh').getAttribute('tabindex')).toBe('-1');
    // Round the ends: left of the first is the last.
    await page.keyboard.press('Home');
    await expect.poll(() => focused('Weigh'), PATIENCE).toBe(true);
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => focused('Weigh'), PATIENCE).toBe(true);
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => focused('Ways back'), PATIENCE).toBe(true);
    await page.keyboard.press('ArrowRight');
    await page.locator('cl-turn').waitFor();
    await page.reload();
    await page.locator('cl-turn').waitFor();
    expect(await tab('Pose').getAttribute('aria-selected')).toBe('true');
  });
});

describe('people who may not pose', () => {
  it('see the bench without handles, and why', async () => {
    const guest = await open('guest');
    await toShot(guest.page, 'FER-0020');
    await guest.page.locator('cl-elevation').getByText('You are here as a guest').waitFor();
    expect(await guest.page.locator('cl-elevation [data-handle]').count()).toBe(0);
    await openLeaf(guest.page, 'Things');
    await guest.page.locator('cl-things').getByText('Contacts').waitFor();
    expect(
      await guest.page.locator('cl-ledger').getByRole('button', { name: 'figure' }).count(),
    ).toBe(0);
    await guest.context.close();
  });
});

describe('a browser without WebGL', () => {
  it('draws in lines, says so, and keeps the plumb line', async () => {
    const plain = await open('lead');
    await plain.context.addInitScript(() => {
      const original = HTMLCanvasElement.prototype.getContext;
      HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string) {
        return kind.startsWith('webgl') ? null : original.call(this, kind as '2d');
      } as typeof original;
    });
    await plain.page.reload();
    await toShot(plain.page, 'FER-0020');
    await plain.page.locator('cl-elevation').getByText('WebGL is missing').waitFor();
    await plain.page.locator('cl-elevation .drawing svg').waitFor();
    const x = await plumbX(plain.page, 'cl-elevation .lines');
    expect(Math.abs(x - (await plumbX(plain.page, 'cl-plan [data-plumb-x]')))).toBeLessThan(0.01);
    await plain.context.close();
  });
});
