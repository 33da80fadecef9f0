import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { assess } from '../../core/balance/index.ts';
import {
  type Answer,
  readCalls,
  readDrafts,
  readHistory,
  readOneCall,
  readScene,
  type ShownCall,
  sealDraft,
  setDraftTitle,
  setEntries,
  truthOf,
} from '../../core/document/index.ts';
import { DOCUMENTS, type Role } from '../../core/protocol/index.ts';
import { ask, begin, holds, MARKED, mine, open, traces } from '../helpers/called.ts';
import { startServer, temporaryFolder } from '../helpers/served.ts';
import { docUntil, RawSocket, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { until } from '../helpers/waiting.ts';

const MARKED_VALUES = [...MARKED.centre, MARKED.heading ?? ''];

describe('a call', () => {
  it('is in no message to any client before it is shown, and in all of them after', async () => {
    const seen = await begin();
    const { server, lead } = seen;
    const call = await open(seen);
    const roles: readonly Role[] = ['guest', 'reviewer', 'animator', 'lead'];
    const cookies = await Promise.all(roles.map((role) => server.joinAs(role)));
    const sockets = await Promise.all(
      [...cookies, lead].flatMap((cookie) =>
        DOCUMENTS.map(async (document) => {
          const socket = await new RawSocket({ ...server, cookie, document }).opened();
          // What a new window asks for: everything from the beginning.
          socket.send(new Uint8Array([0, 0, 1, 0]));
          return socket;
        }),
      ),
    );
    const told: string[] = [];
    for (const [index, cookie] of cookies.entries()) {
      const { status, text } = await mine(server, cookie, call, MARKED);
      expect(status, roles[index]).toBe(200);
      told.push(text);
    }
    const other = await server.joinAs('reviewer');
    for (const path of [`calls/${call}/mine`, 'points', 'invites', 'me']) {
      for (const cookie of [other, lead]) told.push((await ask(server, cookie, 'GET', path)).text);
    }
    await until(
      seen.record as never,
      'update',
      () => readOneCall(seen.record, call)?.count === 4,
      'four',
    );
    for (const socket of sockets) await socket.barrier(9);
    const bytes = sockets.flatMap(({ frames }) => frames.map((frame) => frame.bytes));
    const all = [...bytes, ...told.map((text) => new TextEncoder().encode(text))];
    expect(bytes.length).toBeGreaterThan(sockets.length);
    for (const trace of traces(MARKED_VALUES))
      expect(all.some((one) => holds(one, trace))).toBe(false);

    expect((await ask(server, lead, 'POST', `calls/${call}/show`)).status).toBe(200);
    // The same search finds it now, at every socket of the record: so it could have found it before.
    for (const socket of sockets) await socket.barrier(10);
    const records = sockets.filter((_, index) => index % DOCUMENTS.length === 2);
    for (const { frames } of records) {
      const found = traces(MARKED_VALUES).filter((trace) =>
        frames.some((frame) => holds(frame.bytes, trace)),
      );
      expect(found.length).toBeGreaterThanOrEqual(4);
    }
    await Promise.all(sockets.map((socket) => socket.close()));
    seen.close();
  });

  it('takes the readings of its shot out of all that the server tells, and gives them back', async () => {
    const seen = await begin();
    const { server, lead, draft, record } = seen;
    const before = readHistory(record).get(draft);
    expect(before).toBeDefined();
    const call = await open(seen);
    await docUntil(record, () => !readHistory(record).has(draft), 'no reading of the draft');
    const later = stockClient({
      ...server,
      cookie: await server.joinAs('guest'),
      document: 'record',
    });
    await synced(later);
    expect(readHistory(later.doc).size).toBe(0);
    for (const what of ['report', 'picture.svg']) {
      const { status, body } = await ask(server, lead, 'GET', `drafts/${draft}/${what}`);
      expect(status, what).toBe(403);
      expect(body.error.message).toMatch(/hidden until its call is shown/);
    }
    await ask(server, lead, 'POST', `calls/${call}/show`);
    await docUntil(record, () => readHistory(record).has(draft), 'the reading again');
    expect(readHistory(record).get(draft)).toEqual(before);
    expect((await ask(server, lead, 'GET', `drafts/${draft}/report`)).status).toBe(200);
    later.destroy();
    seen.close();
  });

  it('is made by thirty people over real sockets and shown to all of them', async () => {
    const seen = await begin();
    const { server, lead, scenes, draft } = seen;
    const call = await open(seen);
    const people = await Promise.all(
      Array.from({ length: 30 }, async (_, index) => {
        const cookie = await server.joinAs(index % 2 === 0 ? 'guest' : 'reviewer');
        const client = stockClient({ ...server, cookie, document: 'record' });
        await synced(client);
        return { cookie, client, index };
      }),
    );
    const answerOf = (index: number): Answer => ({
      ...{ centre: [0, 0.9, index / 100], verdict: index % 3 === 0 ? 'holds' : 'falls' },
      heading: index % 3 === 0 ? null : 'forwards',
    });
    const counts = await Promise.all(
      people.map(async ({ cookie, index }) => {
        // Everybody changes their mind once: the second call counts.
        await mine(server, cookie, call, MARKED);
        return (await mine(server, cookie, call, answerOf(index))).body.count as number;
      }),
    );
    expect(Math.max(...counts)).toBe(30);
    const countAt = (doc: Y.Doc): number => readOneCall(doc, call)?.count ?? 0;
    for (const { client } of people) {
      await docUntil(client.doc, () => countAt(client.doc) === 30, 'thirty calls counted');
      expect(JSON.stringify(readCalls(client.doc))).not.toContain('centre');
    }
    await ask(server, lead, 'POST', `calls/${call}/show`);
    for (const { client } of people) {
      const isShown = (): boolean => readOneCall(client.doc, call)?.state === 'shown';
      await docUntil(client.doc, isShown, 'the shown call');
      const { answers, truth } = readOneCall(client.doc, call) as ShownCall;
      const byDistance = [...answers].sort((a, b) => a.centre[2] - b.centre[2]);
      expect(
        byDistance.map(({ centre, verdict, heading }) => ({ centre, verdict, heading })),
      ).toEqual(people.map(({ index }) => answerOf(index)));
      const scene = readScene(scenes, draft);
      expect(truth).toEqual(truthOf(scene, assess(scene)));
      client.destroy();
    }
    seen.close();
  });

  it('is opened and shown by leads alone, and made by guests where the lead lets them', async () => {
    const seen = await begin();
    const { server, shot, draft, lead } = seen;
    const [guest, animator] = await Promise.all(
      (['guest', 'animator'] as const).map((role) => server.joinAs(role)),
    );
    expect((await ask(server, animator!, 'POST', 'calls', { shot, draft })).status).toBe(403);
    const call = await open(seen, { guests: false });
    expect((await mine(server, guest!, call, MARKED)).status).toBe(403);
    expect((await mine(server, animator!, call, MARKED)).body).toEqual({ count: 1 });
    expect((await ask(server, animator!, 'POST', `calls/${call}/show`)).status).toBe(403);
    expect((await ask(server, animator!, 'DELETE', `calls/${call}`)).status).toBe(403);
    expect((await ask(server, lead, 'POST', 'calls', { shot, draft })).status).toBe(409);
    expect((await ask(server, lead, 'POST', 'calls', { shot, draft: 'none' })).status).toBe(404);
    expect((await mine(server, 'none=1', call, MARKED)).status).toBe(401);
    seen.close();
  });

  it.each([
    { ...MARKED, centre: [0, 1] },
    { ...MARKED, centre: [0, 1, 1e9] },
    { ...MARKED, verdict: 'airborne' },
    { ...MARKED, heading: 'up' },
    {},
  ])('refuses %j and counts nothing', async (said) => {
    const seen = await begin();
    const call = await open(seen);
    expect((await mine(seen.server, seen.lead, call, said as Answer)).status).toBe(400);
    expect(readOneCall(seen.record, call)?.count ?? 0).toBe(0);
    seen.close();
  });

  it('tells each person their own, and takes no more once it is shown', async () => {
    const seen = await begin();
    const { server, lead } = seen;
    const bo = await server.joinAs('reviewer');
    const call = await open(seen);
    await mine(server, bo, call, MARKED);
    expect((await ask(server, bo, 'GET', `calls/${call}/mine`)).body).toEqual({ answer: MARKED });
    expect((await ask(server, lead, 'GET', `calls/${call}/mine`)).body).toEqual({ answer: null });
    await ask(server, lead, 'POST', `calls/${call}/show`);
    expect((await mine(server, lead, call, MARKED)).status).toBe(409);
    expect((await ask(server, lead, 'POST', `calls/${call}/show`)).status).toBe(409);
    seen.close();
  });

  it('taken back leaves nothing behind but the readings', async () => {
    const seen = await begin();
    const { server, lead, draft, record } = seen;
    const before = readHistory(record).get(draft);
    const call = await open(seen);
    await mine(server, lead, call, MARKED);
    expect((await ask(server, lead, 'DELETE', `calls/${call}`)).status).toBe(204);
    await docUntil(record, () => readHistory(record).has(draft), 'the reading again');
    expect(readHistory(record).get(draft)).toEqual(before);
    expect(readCalls(record)).toEqual([]);
    const again = await open(seen);
    expect((await ask(server, lead, 'GET', `calls/${again}/mine`)).body).toEqual({ answer: null });
    seen.close();
  });

  it('keeps its draft as it is meanwhile, and lets the others go on', async () => {
    const seen = await begin();
    const { server, shot, draft } = seen;
    const call = await open(seen);
    const cookie = await server.joinAs('animator');
    const editor = stockClient({ ...server, cookie, document: 'scenes' });
    await synced(editor);
    const other = readDrafts(editor.doc, shot).find(({ id }) => id !== draft);
    setDraftTitle(editor.doc, other!.id, 'goes on', 'test');
    await saved(editor);
    expect(readDrafts(seen.scenes).find(({ id }) => id === other!.id)?.title).toBe('goes on');
    const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    const doc = new Y.Doc();
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(editor.doc));
    const state = Y.encodeStateVector(doc);
    setEntries(doc, draft, { 'figure/porter/position': [0, 1, 0] }, 'test');
    socket.sendUpdate(Y.encodeStateAsUpdate(doc, state));
    expect((await socket.refusal()).text).toMatch(/a call is open on this draft/);
    // Nor is it sealed, which would write the bodies of the cast into it.
    const leads = await new RawSocket({
      ...server,
      cookie: seen.lead,
      document: 'scenes',
    }).opened();
    const sealing = new Y.Doc();
    Y.applyUpdate(sealing, Y.encodeStateAsUpdate(editor.doc));
    const unsealed = Y.encodeStateVector(sealing);
    sealDraft(sealing, draft, true, 'test');
    leads.sendUpdate(Y.encodeStateAsUpdate(sealing, unsealed));
    expect((await leads.refusal()).text).toMatch(/a call is open on this draft/);
    await leads.close();
    await ask(server, seen.lead, 'POST', `calls/${call}/show`);
    editor.destroy();
    await socket.close();
    seen.close();
  });

  it('outlives the server, with what was called so far', async () => {
    const data = temporaryFolder();
    const first = await begin({ data });
    const call = await open(first);
    await mine(first.server, first.lead, call, MARKED);
    first.close();
    await first.server.close();
    const again = await startServer({ data });
    const { body } = await ask(again, first.lead, 'GET', `calls/${call}/mine`);
    expect(body).toEqual({ answer: MARKED });
    expect((await ask(again, first.lead, 'POST', `calls/${call}/show`)).body).toMatchObject({
      ...{ state: 'shown', count: 1 },
    });
  });
});
