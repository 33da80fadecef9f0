import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import { readDrafts, readShots } from '../../core/document/index.ts';
import { PATIENCE } from '../helpers/bench-page.ts';
import { card, testWindows, type Window } from '../helpers/browser.ts';
import { join, stockClient, synced } from '../helpers/sync-client.ts';

const OTHERS = 49;
const ON_THE_ROPE = 20;

const { server, open } = testWindows();
const clients: WebsocketProvider[] = [];
let lead: Window;

beforeAll(async () => {
  lead = await open('lead');
  for (let i = 0; i < OTHERS; i++) clients.push(await comeIn(i));
});

afterAll(async () => {
  for (const client of clients) client.destroy();
});

/** Somebody with a socket of their own: the first twenty point at the first shot, every tenth has a hand up. */
async function comeIn(i: number): Promise<WebsocketProvider> {
  const cookie = await join(server.link(i < 30 ? 'reviewer' : 'guest'));
  const answer = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });
  const { person } = (await answer.json()) as { person: { id: string; ink: number } };
  const client = stockClient({ url: server.url, cookie, document: 'scenes' });
  await synced(client);
  const [rope] = readShots(client.doc);
  const isThere = i < ON_THE_ROPE;
  client.awareness.setLocalState({
    person: person.id,
    ink: person.ink,
    name: 'as the record says',
    shot: isThere ? rope!.id : null,
    draft: isThere ? readDrafts(client.doc, rope!.id).at(-1)!.id : null,
    cursor: isThere ? { view: 'elevation', point: [0, 0.2 + 0.05 * i, 0.1] } : null,
    hand: i % 10 === 3 ? 1000 + i : null,
  });
  return client;
}

/** Pairs of boxes that lie on each other. */
async function overlaps(all: Locator): Promise<number> {
  const boxes = await all.evaluateAll((items) => items.map((item) => item.getBoundingClientRect()));
  return boxes.flatMap((a, i) =>
    boxes
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom),
  ).length;
}

it('fifty people in one review: the head stays one row, and its list has everybody, to be read', async () => {
  const { page } = lead;
  const number = page.locator('cl-here-now').getByRole('button', { name: /^Here now/ });
  await expect.poll(() => number.textContent(), PATIENCE).toContain('Here now: 50, 5 hands up');
  const row = (await number.boundingBox())!;
  const head = (await page.locator('cl-top-bar').boundingBox())!;
  expect(head.height).toBeLessThan(2 * row.height);
  await number.click();
  const list = page.getByRole('list', { name: 'Everybody here now' });
  await expect.poll(() => list.getByRole('listitem').count(), PATIENCE).toBe(OTHERS);
  expect(await overlaps(list.getByRole('listitem'))).toBe(0);
  const cut = await list
    .getByRole('button')
    .evaluateAll((names) => names.filter((name) => name.scrollWidth > name.clientWidth).length);
  expect(cut).toBe(0);
  // Raised hands come first, the first of them first.
  const first = list.getByRole('listitem').first();
  await first.getByText('hand up', { exact: true }).waitFor();
  await page.keyboard.press('Escape');
  await list.waitFor({ state: 'detached' });
});

it('fifty people: a card counts them, and names on the drawing do not cover each other', async () => {
  const { page } = lead;
  const rope = card(page, 'FER-0010');
  await rope.getByText(`and ${ON_THE_ROPE - 4} more`).waitFor();
  await rope.getByRole('link').first().click();
  await page.locator('cl-elevation .lines').waitFor({ state: 'attached' });
  const pointers = page.locator('cl-elevation .person:not(.selects)');
  await expect.poll(() => pointers.count(), PATIENCE).toBe(ON_THE_ROPE);
  expect(await pointers.locator('span').count()).toBe(0);
  const one = (await pointers.nth(ON_THE_ROPE / 2).boundingBox())!;
  await page.mouse.move(one.x + 20, one.y);
  await page.mouse.move(one.x + 21, one.y);
  const names = pointers.locator('span');
  await expect.poll(() => names.count(), PATIENCE).toBeGreaterThan(1);
  expect(await overlaps(names)).toBe(0);
  expect(lead.faults).toEqual([]);
  expect(server.problems).toEqual([]);
});
