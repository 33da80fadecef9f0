import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Note } from '../../core/document/index.ts';
import type { Session } from '../../web/session/index.ts';
import { PATIENCE, toShot } from '../helpers/bench-page.ts';
import { saved, testWindows, type Window } from '../helpers/browser.ts';

const { server, open } = testWindows();
let lead: Window;
let animator: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator');
});

const leaf = (page: Page, name: 'Notes' | 'Drafts'): Promise<void> =>
  page.getByRole('tab', { name: new RegExp(`^${name}`) }).click();

const note = (page: Page, text: string): Locator =>
  page.locator('cl-note-item').filter({ hasText: text });

const marksOn = (page: Page, drawing: 'cl-elevation' | 'cl-plan'): Promise<number> =>
  page
    .locator(`${drawing} cl-marks svg`)
    .getAttribute('data-marks')
    .then((count) => Number(count));

/** Draws over the elevation from one share of it to another, with the button down to the end. */
async function pull(
  page: Page,
  from: readonly [number, number],
  to: readonly [number, number],
): Promise<void> {
  const box = await page.locator('cl-elevation').boundingBox();
  if (box === null) throw new Error('the elevation has no place');
  const at = ([x, y]: readonly [number, number]) =>
    [box.x + box.width * x, box.y + box.height * y] as const;
  await page.mouse.move(...at(from));
  await page.mouse.down();
  await page.mouse.move(...at(to), { steps: 8 });
}

describe('notes', () => {
  it('speak to somebody picked by keyboard, who finds them by their name', async () => {
    await toShot(lead.page, 'FER-0010');
    const field = lead.page.getByLabel('A note about');
    await field.focus();
    await lead.page.keyboard.type('Look at the heels @Be');
    const offered = lead.page.locator('cl-mention-field').getByRole('option');
    await offered.filter({ hasText: 'Berta Quill' }).waitFor();
    await lead.page.keyboard.press('Enter');
    await lead.page.keyboard.type('please');
    await lead.page.keyboard.press('Control+Enter');
    await note(lead.page, 'Look at the heels')
      .locator('strong')
      .getByText('@Berta Quill')
      .waitFor();
    await saved(lead.page);
  });

  it('are kept on purpose with the story reason, and fold away', async () => {
    await toShot(animator.page, 'FER-0010');
    const own = note(animator.page, 'Look at the heels');
    await own.getByRole('button', { name: 'More' }).click();
    await own.getByRole('button', { name: 'Keep on purpose' }).click();
    await own.getByLabel('Why the story wants it so').fill('He is half asleep.');
    await own.getByRole('button', { name: 'Keep it on purpose' }).click();
    await lead.page.getByText('1 kept on purpose').click();
    await note(lead.page, 'Look at the heels').getByText('He is half asleep.').waitFor();
  });

  it('are found over all shots, and lead back to their shot by their link', async () => {
    const { page } = lead;
    await page.getByRole('link', { name: 'All notes' }).click();
    await page.getByLabel('Words in the note').fill('heels');
    await expect.poll(() => page.locator('cl-note-item').count(), PATIENCE).toBe(1);
    await page.getByRole('button', { name: 'the whole shot' }).click();
    await page.locator('cl-note-item[chosen]').getByText('Look at the heels').waitFor();
    expect(new URL(page.url()).hash).toMatch(/^#note-/);
  });

  it('of another draft go there from their address, and the step back leads out of it', async () => {
    const { page } = lead;
    await toShot(page, 'FER-0010');
    const board = new URL('/r/demo', page.url()).href;
    const { id, shot, draft } = await note(page, 'The hips need to go back')
      .first()
      .evaluate((item) => (item as unknown as { note: Note }).note);
    const first = await page.locator('cl-shot-page .draft option').first().getAttribute('value');
    expect(first).not.toBe(draft);
    await page.goto(board);
    await page.goto(`${board}/shot/${shot}?draft=${first}#note-${id}`);
    await page.locator('cl-note-item[chosen]').getByText('The hips need').waitFor();
    expect(new URL(page.url()).searchParams.get('draft')).toBe(draft);
    await page.goBack();
    await page.waitForURL(board);
  });

  it('begin from what the readings say, and are not sent by themselves', async () => {
    const { page } = animator;
    await note(page, 'The hips need to go back').first().waitFor();
    const before = await page.locator('cl-note-item').count();
    await page.getByText(/^From the readings/).click();
    await page.locator('cl-note-offers button').first().click();
    expect(await page.getByLabel('A note about').inputValue()).toMatch(/^Centre .*hips back/);
    expect(await page.locator('cl-note-item').count()).toBe(before);
  });
});

describe('marks', () => {
  it('are seen in another window while they are drawn, and stay in their view', async () => {
    await toShot(lead.page, 'FER-0020');
    await toShot(animator.page, 'FER-0020');
    await animator.page.getByRole('button', { name: 'Front', exact: true }).click();
    await lead.page.getByRole('button', { name: 'Front', exact: true }).click();
    await lead.page.getByRole('button', { name: 'Mark', exact: true }).click();
    await lead.page.getByRole('button', { name: 'Ink', exact: true }).click();
    await pull(lead.page, [0.2, 0.3], [0.4, 0.5]);
    await animator.page
      .locator('cl-elevation cl-marks [data-drawing] path')
      .waitFor({ state: 'attached' });
    expect(await marksOn(animator.page, 'cl-elevation')).toBe(0);
    await lead.page.mouse.up();
    await expect.poll(() => marksOn(animator.page, 'cl-elevation'), PATIENCE).toBe(1);
    await animator.page.getByRole('button', { name: 'Side', exact: true }).click();
    await expect.poll(() => marksOn(animator.page, 'cl-elevation'), PATIENCE).toBe(0);
    await animator.page.getByRole('button', { name: 'Front', exact: true }).click();
    await expect.poll(() => marksOn(animator.page, 'cl-elevation'), PATIENCE).toBe(1);
  });

  it('are rubbed out by who drew them and by nobody else', async () => {
    await animator.page.getByRole('button', { name: 'Mark', exact: true }).click();
    await animator.page.getByRole('button', { name: 'Rub out', exact: true }).click();
    await pull(animator.page, [0.25, 0.55], [0.35, 0.25]);
    await animator.page.mouse.up();
    await animator.page.getByText('drew this mark and can rub it out').waitFor();
    expect(await marksOn(animator.page, 'cl-elevation')).toBe(1);
    await lead.page.getByRole('button', { name: 'Rub out', exact: true }).first().click();
    await pull(lead.page, [0.25, 0.55], [0.35, 0.25]);
    await lead.page.mouse.up();
    await expect.poll(() => marksOn(animator.page, 'cl-elevation'), PATIENCE).toBe(0);
    await lead.page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => marksOn(animator.page, 'cl-elevation'), PATIENCE).toBe(1);
  });

  it('measure between joints without a hand, and follow the pose', async () => {
    const { page } = animator;
    await page.getByText('Between joints or typed points').click();
    await page.getByLabel('between: a joint or a point').selectOption('porter/head');
    await page.getByLabel('and: a joint or a point').selectOption('porter/footL');
    await page.getByRole('button', { name: 'Draw it' }).click();
    await page.getByText(/^It measures \d+\.\d\scm\.$/).waitFor();
    const text = lead.page.locator('cl-elevation cl-marks text');
    await text.getByText(/^\d+\.\d\scm$/).waitFor({ state: 'attached' });
  });
});

describe('drafts', () => {
  it('are laid over each other with the joints that moved', async () => {
    const { page } = lead;
    await toShot(lead.page, 'FER-0010');
    await leaf(page, 'Drafts');
    await page.getByRole('button', { name: 'Lay over' }).click();
    const over = page.locator('cl-lay-over');
    await over.getByText('Matched on the left foot.').waitFor();
    // The trunk is bent by 80 degrees at the hips between the two.
    await over
      .getByRole('row', { name: /waist|chest|hips/ })
      .first()
      .waitFor();
    // Drawn once the sheets have their size.
    await expect.poll(() => over.locator('.layer svg').count(), PATIENCE).toBe(4);
    // The margin goes from inside to outside: its arrow goes to the left, over the edge.
    const place = (which: string): Promise<number> =>
      over.locator(`.margin circle.${which}`).getAttribute('cx').then(Number);
    const edge = Number(await over.locator('.margin .edge').getAttribute('x1'));
    expect(await place('first')).toBeGreaterThan(edge);
    expect(await place('second')).toBeLessThan(edge);
    await over.getByRole('slider').fill('0');
    await expect
      .poll(() => over.locator('.layer.second').first().getAttribute('style'), PATIENCE)
      .toMatch(/opacity:\s*0/);
    await page.getByRole('button', { name: 'Back to the bench' }).click();
    await page.getByRole('button', { name: 'Side by side' }).click();
    await expect.poll(() => page.locator('cl-still canvas').count(), PATIENCE).toBe(2);
    // A pointer there is over a draft that the others do not see in that place: it is not shown to them.
    const cursor = (): Promise<unknown> =>
      page.locator('cl-side-by-side').evaluate((held) => {
        const { session } = held as unknown as { session: Session };
        return session.showing.cursor;
      });
    await page.locator('cl-still cl-plan').last().hover();
    await page.locator('cl-still cl-elevation .sheet').first().hover();
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(drawn)));
    expect(await cursor()).toBeNull();
    await page.getByRole('button', { name: 'Back to the bench' }).click();
    await page.locator('cl-bench cl-elevation .sheet').hover();
    await expect
      .poll(
        () =>
          page
            .locator('cl-bench')
            .evaluate((bench) => (bench as unknown as { session: Session }).session.showing.cursor),
        PATIENCE,
      )
      .not.toBeNull();
  });

  it('that were signed off are sealed with who and when, and a retake opens a new one', async () => {
    await toShot(lead.page, 'MAR-0010');
    await toShot(animator.page, 'MAR-0010');
    await leaf(lead.page, 'Notes');
    await lead.page.getByLabel('A note about').fill('The crate wants to be nearer.');
    await lead.page.getByRole('button', { name: 'Add the note' }).click();
    await lead.page.getByLabel('State of the shot').selectOption('signed-off');
    await leaf(animator.page, 'Drafts');
    await animator.page.getByText(/^sealed by /).waitFor();
    await animator.page.getByLabel('State of the shot').waitFor();
    expect(await animator.page.locator('cl-elevation [data-handle]').count()).toBe(0);
    await lead.page.getByLabel('State of the shot').selectOption('retake');
    await lead.page.waitForURL(/draft=/);
    await leaf(lead.page, 'Notes');
    await note(lead.page, 'The crate wants').getByText('from draft 1').waitFor();
    await expect
      .poll(
        () => animator.page.locator('cl-drafts-leaf ol[aria-label^="Drafts of"] > li').count(),
        PATIENCE,
      )
      .toBe(2);
  });

  it('threw no errors in any window', () => {
    expect([...lead.faults, ...animator.faults]).toEqual([]);
    expect(server.problems).toEqual([]);
  });
});
