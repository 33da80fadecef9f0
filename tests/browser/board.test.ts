import { beforeAll, describe, expect, it } from 'vitest';
import {
  card,
  focusedText,
  renameShot,
  saved,
  testWindows,
  type Window,
} from '../helpers/browser.ts';
import { callMyself } from '../helpers/top-bar.ts';

const { server, open } = testWindows();
let lead: Window;
let animator: Window;

beforeAll(async () => {
  lead = await open('lead');
  animator = await open('animator');
});

describe('a board with two people', () => {
  it('shows each shot with its verdict, state, open notes and drawing', async () => {
    const shot = card(lead.page, 'FER-0010');
    await shot.locator('cl-badge').getByText('falls').waitFor();
    await shot.getByText('1 open note').waitFor();
    await shot.getByText('in work').waitFor();
    await shot.locator('a.drawing svg').waitFor();
    await card(lead.page, 'FER-0020').locator('cl-badge').getByText('holds').waitFor();
  });

  it('shows a renamed shot in the other window, and says when it is saved', async () => {
    await renameShot(lead.page, 'FER-0020', 'FER-0025');
    await card(animator.page, 'FER-0025').waitFor();
    await saved(lead.page);
  });

  it('shows who is here, and on which shot', async () => {
    await callMyself(animator.page, 'Ottilie Brand');
    const here = lead.page.getByRole('region', { name: 'Here now' });
    await here.getByRole('button', { name: /^Here now: 2/ }).click();
    await here.getByText('Ottilie Brand').first().waitFor();
    await card(animator.page, 'MAR-0010').getByRole('link').click();
    await here.getByRole('link', { name: 'MAR-0010' }).waitFor();
    await card(lead.page, 'MAR-0010').getByText('Ottilie Brand').waitFor();
    await animator.page.getByRole('link', { name: 'Board', exact: true }).click();
  });

  it('takes back only what one did oneself', async () => {
    await renameShot(animator.page, 'MAR-0010', 'MAR-0012');
    await card(lead.page, 'MAR-0012').waitFor();
    await lead.page.getByRole('button', { name: 'Undo', exact: true }).click();
    // The lead's own rename is taken back; the animator's later one stays.
    await card(animator.page, 'FER-0020').waitFor();
    expect(await card(lead.page, 'MAR-0012').count()).toBe(1);
    await lead.page.keyboard.press('Control+Shift+Z');
    await card(animator.page, 'FER-0025').waitFor();
  });

  it('leaves alone what somebody else has changed since, and says so', async () => {
    await renameShot(lead.page, 'FER-0025', 'FER-0026');
    await card(animator.page, 'FER-0026').waitFor();
    await renameShot(animator.page, 'FER-0026', 'FER-0027');
    await card(lead.page, 'FER-0027').waitFor();
    await lead.page.getByRole('button', { name: 'Undo', exact: true }).click();
    await lead.page.getByText('Someone has worked on this since').waitFor();
    expect(await card(lead.page, 'FER-0027').count()).toBe(1);
  });

  it('moves a shot by keys and keeps the focus on it', async () => {
    const { page } = lead;
    await card(page, 'FER-0010').getByRole('link').focus();
    await page.keyboard.press('Alt+ArrowRight');
    const codes = () =>
      animator.page.locator('cl-sequence-row').first().locator('h3').allTextContents();
    await expect
      .poll(async () => (await codes()).map((text) => text.slice(0, 8)))
      .toEqual(['FER-0027', 'FER-0010']);
    await page.getByRole('status').getByText('FER-0010 moved right.').waitFor();
    expect(await focusedText(page)).toContain('FER-0010');
    await page.keyboard.press('Alt+ArrowLeft');
    await expect.poll(async () => (await codes())[0]).toContain('FER-0010');
  });

  it('adds a shot whose figure stands, duplicates it and removes it with undo as the way back', async () => {
    const { page } = lead;
    await page.getByRole('button', { name: 'Add a shot to On the market' }).click();
    const added = card(page, 'MAR-0020');
    await added.locator('cl-badge').getByText('holds').waitFor();
    await added.getByRole('button', { name: 'Duplicate' }).click();
    await card(animator.page, 'MAR-0020-2').waitFor();
    await added.getByRole('button', { name: 'Remove', exact: true }).click();
    await expect.poll(() => card(animator.page, 'MAR-0020').count()).toBe(0);
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await card(animator.page, 'MAR-0020').locator('cl-badge').getByText('holds').waitFor();
  });

  it('threw no errors in any window', () => {
    expect([...lead.faults, ...animator.faults]).toEqual([]);
    expect(server.problems).toEqual([]);
  });
});

describe('notes', () => {
  it('are seen at once with the name that the server knows, and so are replies', async () => {
    await card(animator.page, 'FER-0010').getByRole('link').click();
    const mine = animator.page.locator('cl-notes-panel');
    await mine.getByLabel('A note about').fill('Trunk up, or a hand on the rail.');
    await mine.getByRole('button', { name: 'Add the note' }).click();

    await card(lead.page, 'FER-0010').getByText('2 open notes').waitFor();
    await card(lead.page, 'FER-0010').getByRole('link').click();
    const note = lead.page.locator('cl-note-item').filter({ hasText: 'a hand on the rail' });
    await note.locator('.author').getByText('Ottilie Brand').waitFor();
    await note.getByRole('button', { name: 'Reply', exact: true }).click();
    await note.getByLabel('Reply').fill('The rail it is.');
    await lead.page.keyboard.press('Control+Enter');

    const seen = animator.page.locator('cl-note-item').filter({ hasText: 'a hand on the rail' });
    await seen.getByText('The rail it is.').waitFor();
    await expect.poll(() => seen.locator('.replies .author').allTextContents()).not.toEqual([]);
    await note.getByRole('button', { name: 'Settle' }).click();
    await animator.page.getByText('1 settled').waitFor();
  });

  it('say which thing they are about, and choosing one keeps it open to read', async () => {
    const note = lead.page.locator('cl-note-item').filter({ hasText: 'back a hand' });
    await note.getByRole('button', { name: 'hips of Porter' }).click();
    expect(await note.getAttribute('chosen')).not.toBeNull();
    await note.locator('.author').getByText('Berta Quill').waitFor();
  });
});

describe('a guest', () => {
  it('sees the board and the bench, and no way to change either', async () => {
    const { page, context, faults } = await open('guest');
    await page.getByText('As a guest you look and read').waitFor();
    for (const name of [/^Change/, /^Add a/, /^Undo/, /^Rename the/, /^Bring in/]) {
      expect(await page.getByRole('button', { name }).count()).toBe(0);
    }
    await card(page, 'FER-0010').getByRole('link').click();
    await page.getByText('As a guest you read notes').waitFor();
    for (const name of [/^New draft/, /^Add the note/, /^Reply/, /^Settle/]) {
      expect(await page.getByRole('button', { name }).count()).toBe(0);
    }
    expect(faults).toEqual([]);
    await context.close();
  });
});
