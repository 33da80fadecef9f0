import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import type { Bench } from '../../web/bench/index.ts';
import type { MotionWeighing } from '../../web/motion/weighing.ts';
import { PATIENCE, toShot, weighed } from '../helpers/bench-page.ts';
import { card, openLeaf, testWindows, type Window } from '../helpers/browser.ts';
import { BOWING, bentScene, SMALL_REVIEW } from '../helpers/small-review.ts';

const { open } = testWindows({ ...SMALL_REVIEW, shots: [...SMALL_REVIEW.shots, BOWING] });
let lead: Window;
let reviewer: Window;
let guest: Window;

beforeAll(async () => {
  lead = await open('lead');
  reviewer = await open('reviewer', { dark: true });
  guest = await open('guest', { width: 390, height: 844 });
  for (const { page } of [lead, reviewer, guest]) await toCalls(page, 'FER-0010');
});

async function toCalls(page: Page, code: string): Promise<void> {
  await toShot(page, code);
  await page.getByRole('tab', { name: /^Calls/ }).click();
}

/** All text and all names of a page, through its shadow roots, with the numbers of its drawings. */
const everythingIn = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const found: string[] = [];
    const read = (node: Element | ShadowRoot): void => {
      for (const child of node.children) {
        if (child.localName === 'style') continue;
        for (const { name, value } of child.attributes) found.push(`${name}=${value}`);
        for (const part of child.childNodes) {
          if (part.nodeType === Node.TEXT_NODE) found.push(part.textContent ?? '');
        }
        read(child);
        if (child.shadowRoot !== null) read(child.shadowRoot);
      }
    };
    read(document.body);
    return found.join('\n');
  });

/** The calls of the record that a page has. */
const recordedCalls = (page: Page): Promise<Record<string, unknown>[]> =>
  page
    .locator('cl-bench')
    .evaluate((bench) =>
      Object.values(
        (bench as unknown as Bench).session.documents.record.getMap('calls').toJSON() as Record<
          string,
          Record<string, unknown>
        >,
      ),
    );

const panel = (page: Page) => page.locator('cl-calls');

async function place(page: Page, centimetres: Readonly<Record<string, number>>): Promise<void> {
  for (const [name, value] of Object.entries(centimetres)) {
    const field = panel(page).getByRole('spinbutton', { name });
    await field.fill(String(value));
    await field.press('Enter');
  }
}

describe('making the call', () => {
  const [group] = assess(bentScene(80)).groups;
  const centre = group?.centre ?? [0, 0, 0];
  const height = String(Math.round(centre[1] * 100));

  it('takes every reading out of the pages of all, and says so', async () => {
    expect(await everythingIn(reviewer.page)).toContain(group?.sentence);
    await panel(lead.page).getByRole('button', { name: 'Hide the readings' }).click();
    for (const { page } of [lead, reviewer, guest]) {
      await panel(page).getByText('Nobody has called yet.').waitFor();
      await page.getByText('The readings of this shot are hidden').waitFor();
      const all = await everythingIn(page);
      const readings = [group?.sentence ?? '', 'falls forwards', 'of the foot', 'plumb-x='];
      for (const reading of [...readings, 'class=plumb', 'class=support']) {
        expect(all, reading).not.toContain(reading);
      }
      const report = await page
        .locator('cl-bench')
        .evaluate((bench) => JSON.stringify((bench as unknown as Bench).live.report));
      expect(JSON.parse(report)).toEqual({ groups: [], figures: [], contacts: [], loads: {} });
      const ledger = await page
        .locator('cl-ledger')
        .evaluate((element) => element.shadowRoot?.textContent ?? '');
      expect(ledger).not.toContain(height);
    }
  });

  it('hides them on the board as well, for whoever comes now', async () => {
    const late = await open('guest');
    const shot = card(late.page, 'FER-0010');
    await shot.getByText('readings hidden for a call').waitFor();
    expect(await shot.locator('cl-badge').count()).toBe(0);
    // The drawing of a card says its verdict in words, beside a plumb line; of another shot it still does.
    const said = (code: string): Promise<string> =>
      card(late.page, code)
        .locator('svg desc')
        .first()
        .textContent()
        .then((words) => words ?? '');
    await expect.poll(() => said('MAR-0010'), PATIENCE).toMatch(/holds|teeters|falls/i);
    expect(await said('FER-0010')).not.toMatch(/holds|teeters|falls/i);
    await late.context.close();
  });

  it('keeps the pose as it is, for animators and leads too', async () => {
    expect(await lead.page.locator('cl-elevation [data-handle]').count()).toBe(0);
    await lead.page.getByText('the pose stays as it is').first().waitFor();
  });

  it('counts calls, by drag, by keys and by typing, without their values', async () => {
    // Typed.
    await place(lead.page, { Height: centre[1] * 100, 'To the left': 0, Ahead: centre[2] * 100 });
    await panel(lead.page).getByLabel('falls').check();
    await panel(lead.page).getByLabel('Which way').selectOption('forwards');
    await panel(lead.page).getByRole('button', { name: 'Make the call' }).click();
    await panel(reviewer.page).getByText('1 has called.').waitFor();
    // By the keys on the cross in the plan.
    const cross = reviewer.page.locator('cl-call-sheet.plan .cross');
    await cross.focus();
    for (let press = 0; press < 12; press++) await cross.press('ArrowRight');
    await panel(reviewer.page).getByLabel('holds', { exact: true }).check();
    await panel(reviewer.page).getByRole('button', { name: 'Make the call' }).click();
    await panel(guest.page).getByText('2 have called.').waitFor();
    // By dragging the cross in the elevation.
    await guest.page.locator('cl-call-sheet.elevation .cross').scrollIntoViewIfNeeded();
    const box = await guest.page.locator('cl-call-sheet.elevation .cross').boundingBox();
    await guest.page.mouse.move(box!.x + 10, box!.y + 10);
    await guest.page.mouse.down();
    await guest.page.mouse.move(box!.x - 50, box!.y + 20, { steps: 4 });
    await guest.page.mouse.up();
    await panel(guest.page).getByLabel('teeters').check();
    await panel(guest.page).getByLabel('Which way').selectOption('to the left');
    await panel(guest.page).getByRole('button', { name: 'Make the call' }).click();
    await panel(lead.page).getByText('3 have called.').waitFor();
    expect(await lead.page.locator('cl-call-sheet .given').count()).toBe(0);
    // All that a page knows of a call is in its record: how many have called, and nothing of what.
    const [call] = await recordedCalls(lead.page);
    expect(call).toMatchObject({ state: 'open', count: 3 });
    expect(Object.keys(call ?? {}).sort()).toEqual(
      ['at', 'by', 'count', 'draft', 'frame', 'guests', 'shot', 'state'].sort(),
    );
  });

  it('gives my own call back when the page is loaded again', async () => {
    await toCalls(reviewer.page, 'FER-0010');
    await panel(reviewer.page).getByRole('button', { name: 'Your call is made' }).waitFor();
    expect(await panel(reviewer.page).getByLabel('holds', { exact: true }).isChecked()).toBe(true);
  });

  it('lays all calls over the truth for everybody when it is shown', async () => {
    await panel(lead.page).getByRole('button', { name: 'Show it to everybody' }).click();
    for (const { page } of [lead, reviewer, guest]) {
      await panel(page).locator('tbody tr').nth(2).waitFor();
      await expect.poll(() => page.locator('cl-call-sheet.plan .given').count(), PATIENCE).toBe(3);
      await page
        .locator('cl-shot-page .badges cl-badge')
        .first()
        .getByText('falls', { exact: true })
        .waitFor();
      await panel(page).getByText('3 calls; 1 said falls.').waitFor();
      const first = panel(page).locator('tbody tr').first();
      expect(await first.locator('td').allTextContents()).toEqual(['0.0', '0', '0.0']);
    }
    const [call] = await recordedCalls(lead.page);
    expect(call?.answers).toHaveLength(3);
    await panel(guest.page).locator('tbody button').first().click();
    await guest.page.locator('cl-call-sheet.plan .given.marked').waitFor({ state: 'attached' });
  });

  it("keeps the record, with each person's progress, for those who come later", async () => {
    await toCalls(reviewer.page, 'FER-0010');
    await panel(reviewer.page)
      .getByRole('heading', { name: /^Shown/ })
      .waitFor();
    await panel(reviewer.page)
      .getByText(/^1 call, \d+\.\d\scm off\.$/)
      .waitFor();
    for (const { faults } of [lead, reviewer, guest]) expect(faults).toEqual([]);
  });
});

describe('a call on a shot that moves', () => {
  it('takes what was found of every frame out of the page, in all its leaves', async () => {
    const { page } = lead;
    await toCalls(page, BOWING.code);
    const strip = page.locator('cl-strip');
    await weighed(page);
    await strip.getByRole('button', { name: 'Contact poses' }).click();
    await openLeaf(page, 'Frames');
    await page.locator('cl-frames [data-touch]').first().waitFor();
    // Held beyond the strip, which goes away.
    const weighing = await strip.evaluateHandle(
      (element) => (element as unknown as { weighing: MotionWeighing }).weighing,
    );
    expect(await weighing.evaluate(({ frames, whole }) => [frames.length, whole !== null])).toEqual(
      [24, true],
    );
    await panel(page).getByRole('button', { name: 'Hide the readings' }).click();
    await page.getByText('The margin strip is hidden for the call.').waitFor();
    const known = () =>
      weighing.evaluate(({ frames, resting, whole }) => [frames, resting, whole] as const);
    await expect.poll(known).toEqual([[], [], null]);
    await page.locator('cl-bench input[type=range]').fill('20');
    await page.locator('cl-bench').getByText('Frame 21').waitFor();
    expect(await known()).toEqual([[], [], null]);
    expect(await page.locator('cl-frames [data-touch]').count()).toBe(0);
    expect(await page.locator('cl-elevation .ghosts g').count()).toBe(0);
    await openLeaf(page, 'Things');
    await page.getByText('What touches is hidden for the call.').waitFor();
    const things = await page
      .locator('cl-things')
      .evaluate((element) => element.shadowRoot?.textContent ?? '');
    expect(things).not.toMatch(/no contact|on the floor|on Floor|Nothing touches/i);
  });

  it('weighs it anew when the call is shown', async () => {
    const { page } = lead;
    await panel(page).getByRole('button', { name: 'Show it to everybody' }).click();
    await weighed(page);
    await page.locator('cl-things').getByText('Nothing touches').waitFor({ state: 'detached' });
    expect(lead.faults).toEqual([]);
  });
});

describe('a draft that is called', () => {
  it('keeps its words and its ways back to itself, and says so to who was about to change it', async () => {
    const animator = await open('animator');
    const { page } = animator;
    await toShot(page, 'FER-0020');
    const wayBack = page
      .getByLabel('What goes with the note')
      .locator('option', { hasText: 'a way back' });
    await expect.poll(() => wayBack.count(), PATIENCE).toBe(1);
    await page.getByRole('tab', { name: /^Drafts/ }).click();
    await page.getByRole('button', { name: 'Name and describe' }).click();
    await page.getByLabel('What changed').fill('a lower bow');
    await toCalls(lead.page, 'FER-0020');
    await panel(lead.page).getByRole('button', { name: 'Hide the readings' }).click();
    await page.getByText('The readings of this shot are hidden').waitFor();
    await page.getByRole('button', { name: 'Keep these words' }).click();
    await page.getByText('A call is open on draft 1').waitFor();
    expect(await page.getByRole('button', { name: 'Name and describe' }).count()).toBe(0);
    // What was written stays, for when the call is shown.
    expect(await page.getByLabel('What changed').inputValue()).toBe('a lower bow');
    await page.getByRole('tab', { name: /^Notes/ }).click();
    await page.getByLabel('What goes with the note').waitFor();
    expect(await wayBack.count()).toBe(0);
    await panel(lead.page).getByRole('button', { name: 'Take the call back' }).click();
    await expect.poll(() => wayBack.count(), PATIENCE).toBe(1);
    expect(await page.getByRole('button', { name: 'Kept work' }).count()).toBe(0);
    expect(animator.faults).toEqual([]);
    await animator.context.close();
  });
});
