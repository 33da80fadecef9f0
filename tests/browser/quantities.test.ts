import { beforeAll, describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import type { DemoReview, DemoShot } from '../../demo-data/types.ts';
import { card, testWindows, type Window } from '../helpers/browser.ts';
import { smallClip } from '../helpers/small-clip.ts';
import { bentScene } from '../helpers/small-review.ts';

// What must still work by the job's own quantities (common practice, no source): 60 shots on one board,
// clips of 2,000 frames. (60 people of whom 12 edit: tests/sync.)
const SHOTS = 60;
const FRAMES = 2000;

const shots = Array.from(
  { length: SHOTS },
  (_, i): DemoShot => ({
    code: `QTY-${String((i + 1) * 10).padStart(4, '0')}`,
    title: `Shot ${i + 1}`,
    sequence: i < SHOTS / 2 ? 'a' : 'b',
    rate: 24,
    frames: [1, 1],
    state: 'in-work',
    drafts: [
      { title: 'first', scene: bentScene(0) },
      { title: 'bent', scene: bentScene(i) },
    ],
  }),
);

const REVIEW: DemoReview = {
  title: 'Many shots',
  sequences: [
    { id: 'a', title: 'First half' },
    { id: 'b', title: 'Second half' },
  ],
  shots,
  people: [],
};

const { open } = testWindows(REVIEW);
let lead: Window;

beforeAll(async () => {
  lead = await open('lead');
});

describe('a board of 60 shots', () => {
  it('lists them all and draws the last ones when they are looked at', async () => {
    const { page } = lead;
    await expect.poll(() => page.locator('cl-shot-card').count(), { timeout: 20_000 }).toBe(SHOTS);
    const last = card(page, `QTY-${String(SHOTS * 10).padStart(4, '0')}`);
    await last.scrollIntoViewIfNeeded();
    await last.locator('svg').first().waitFor();
    const verdict = assess(bentScene(SHOTS - 1)).groups[0]?.verdict ?? '';
    expect(verdict).not.toBe('holds');
    await last.getByText(verdict, { exact: true }).first().waitFor();
    expect(lead.faults).toEqual([]);
  });
});

describe('a clip of 2,000 frames', () => {
  it('is brought in, played by key to its end, and weighed to the last frame', async () => {
    const { page } = lead;
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles({
        name: 'long_bow.bvh',
        mimeType: 'text/plain',
        buffer: Buffer.from(smallClip(FRAMES)),
      });
    await page.locator('cl-import-dialog').locator('button[type=submit]').click();
    const added = page.locator('cl-shot-card').filter({ hasText: 'long bow' });
    await added.getByRole('link').first().click();
    const strip = page.locator('cl-strip');
    const track = strip.getByRole('slider', { name: 'Frame', exact: true });
    await track.waitFor();
    expect(Number(await track.getAttribute('aria-valuemax'))).toBe(FRAMES);
    await track.focus();
    await track.press('End');
    await expect.poll(() => track.getAttribute('aria-valuenow')).toBe(String(FRAMES));
    await strip.locator('[data-progress]').waitFor({ state: 'detached', timeout: 90_000 });
    expect(await track.getAttribute('aria-valuetext')).toMatch(
      /^frame 2000, (holds|teeters|falls|cannot tell)/,
    );
    expect(lead.faults).toEqual([]);
  });
});
