import { describe, expect, it } from 'vitest';
import { readDecisions, readDrafts, readSeals } from '../../core/document/index.ts';
import { ask, begin, open } from '../helpers/called.ts';
import { docUntil } from '../helpers/sync-client.ts';

describe('a shot whose state is set by HTTP', () => {
  it('is signed off as on the board: sealed with its reading, a point kept, a retake from it', async () => {
    const seen = await begin();
    const { server, lead, shot, draft, scenes, record } = seen;
    const set = (state: string) => ask(server, lead, 'PATCH', `shots/${shot}`, { state });
    expect((await set('signed-off')).status).toBe(204);
    await docUntil(record, () => readSeals(record).has(draft), 'the seal');
    const { id } = (await ask(server, lead, 'GET', 'me')).body.person;
    expect(readSeals(record).get(draft)).toMatchObject({ by: id });
    expect(readDecisions(record)).toMatchObject([{ to: 'signed-off', draft, by: id }]);
    expect((await set('retake')).status).toBe(204);
    await docUntil(scenes, () => readDrafts(scenes, shot).at(-1)?.from === draft, 'the new draft');
    expect(readDrafts(scenes, shot).find((one) => one.id === draft)?.sealed).toBe(true);
    expect(readDrafts(scenes, shot).at(-1)).toMatchObject({ sealed: false, title: 'retake' });
    const { points } = (await ask(server, lead, 'GET', 'points')).body;
    expect(points).toContainEqual(expect.objectContaining({ why: 'signed-off', shot }));
    seen.close();
  });

  it('is not signed off while a call is open on it', async () => {
    const seen = await begin();
    const { server, lead, shot, scenes } = seen;
    const call = await open(seen);
    const set = (state: string) => ask(server, lead, 'PATCH', `shots/${shot}`, { state });
    expect((await set('signed-off')).status).toBe(409);
    const list = await fetch(`${server.url}/api/reviews/demo/shots/list`, {
      ...{ method: 'POST', headers: { cookie: lead, 'content-type': 'text/csv' } },
      body: 'Shot;Status\nQY 010;signed off\n',
    });
    expect(list.status).toBe(409);
    expect(readDrafts(scenes, shot).some(({ sealed }) => sealed)).toBe(false);
    await ask(server, lead, 'POST', `calls/${call}/show`);
    expect((await set('signed-off')).status).toBe(204);
    seen.close();
  });
});
