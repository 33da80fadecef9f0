import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { assess } from '../../core/balance/index.ts';
import {
  addNote,
  bodyFields,
  type Note,
  putCast,
  readCalls,
  readDecisions,
  readDrafts,
  readHistory,
  readNotes,
  readOneCall,
  readScene,
  readSeals,
  type ShownCall,
  sealDraft,
  setEntries,
  truthOf,
} from '../../core/document/index.ts';
import { DOCUMENTS } from '../../core/protocol/index.ts';
import { ask, begin, holds, MARKED, mine, open, type Seen, traces } from '../helpers/called.ts';
import { docUntil, RawSocket, saved, stockClient, synced } from '../helpers/sync-client.ts';

/** A window that follows the notes of the review. */
async function notesOf({
  server,
  lead,
}: Seen): Promise<{ doc: Y.Doc; client: WebsocketProvider; close: () => void }> {
  const client = stockClient({ ...server, cookie: lead, document: 'notes' });
  await synced(client);
  return { doc: client.doc, client, close: () => client.destroy() };
}

const NOTE = {
  id: 'note',
  ...{ frame: null, text: 'hips' },
  pin: { kind: 'shot' },
  weight: 'should',
} as const;

/** Numbers of readings that are nowhere else: not those that are short or in the scene itself. */
const odd = (values: readonly (number | null | undefined)[]): number[] =>
  values.filter((value): value is number => value != null && String(value).length > 9);

const EXPORTS = [
  ...['shots', 'record/shots.csv', 'record/notes.csv', 'record/review.json'],
  ...['record/notes.jsonld', 'record/review.zip'],
];

/** Everything that a person who comes now is told, over new sockets and by every route. */
async function allThatIsTold({ server, draft }: Seen): Promise<Uint8Array[]> {
  const cookie = await server.joinAs('guest');
  const told: Uint8Array[] = [];
  for (const document of DOCUMENTS) {
    const socket = await new RawSocket({ ...server, cookie, document }).opened();
    // What a new window asks for: everything from the beginning.
    socket.send(new Uint8Array([0, 0, 1, 0]));
    await socket.barrier(9);
    told.push(...socket.frames.map(({ bytes }) => bytes));
    await socket.close();
  }
  for (const path of [...EXPORTS, `drafts/${draft}/report`, `drafts/${draft}/picture.svg`]) {
    const response = await fetch(`${server.url}/api/reviews/demo/${path}`, { headers: { cookie } });
    expect(response.status, path).not.toBe(404);
    const bytes = new Uint8Array(await response.arrayBuffer());
    told.push(...(path.endsWith('.zip') ? Object.values(unzipSync(bytes)) : [bytes]));
  }
  return told;
}

describe('readings that are hidden for a call', () => {
  it('are in nothing that a person who comes then is told, and in all of it before and after', async () => {
    const seen = await begin();
    const { server, lead, shot, draft, record } = seen;
    const notes = await notesOf(seen);
    const words = 'hips back by 3 cm: holds, 7.25 cm of room to the toes';
    const attached = { kind: 'way', draft, words, entries: {} } as const;
    addNote(notes.doc, { ...NOTE, shot, draft, attached }, 'test');
    const { reading } = readNotes(notes.doc).find((note) => note.reading !== null) as Note;
    const recorded = readDrafts(seen.scenes, shot).map(({ id }) => readHistory(record).get(id));
    const numbers = odd([reading, ...recorded].flatMap((one) => one?.centre ?? []));
    expect(numbers.length).toBeGreaterThan(1);
    const marks = traces([...numbers, words]);
    const found = (told: readonly Uint8Array[]): number =>
      marks.filter((mark) => told.some((bytes) => holds(bytes, mark))).length;

    await saved(notes.client);
    const call = await open(seen);
    await docUntil(record, () => readOneCall(record, call) !== null, 'the call');
    expect(found(await allThatIsTold(seen))).toBe(0);
    const later = await notesOf(seen);
    expect(readNotes(later.doc, shot).map((note) => [note.reading, note.attached])).toEqual(
      readNotes(notes.doc, shot).map(() => [null, null]),
    );
    await ask(server, lead, 'POST', `calls/${call}/show`);
    await docUntil(record, () => readHistory(record).has(draft), 'the reading again');
    expect(found(await allThatIsTold(seen))).toBeGreaterThan(numbers.length);
    const again = await notesOf(seen);
    expect(readNotes(again.doc).find(({ id }) => id === NOTE.id)?.attached).toEqual(attached);
    expect(readNotes(again.doc).some((note) => note.reading?.verdict === reading?.verdict)).toBe(
      true,
    );
    for (const one of [notes, later, again]) one.close();
    seen.close();
  });

  it('are refused in a new note, of that shot alone', async () => {
    const seen = await begin();
    const { server, shot, draft } = seen;
    await open(seen);
    const notes = await notesOf(seen);
    const doc = new Y.Doc();
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(notes.doc));
    const reading = { verdict: 'falls', margin: -0.01234567891, centre: null } as const;
    const state = Y.encodeStateVector(doc);
    addNote(doc, { ...NOTE, id: 'told', shot, draft, reading }, 'test');
    const cookie = await server.joinAs('reviewer');
    const socket = await new RawSocket({ ...server, cookie, document: 'notes' }).opened();
    socket.sendUpdate(Y.encodeStateAsUpdate(doc, state));
    expect((await socket.refusal()).text).toMatch(/hidden until its call is shown/);
    addNote(notes.doc, { ...NOTE, id: 'untold', shot, draft }, 'test');
    addNote(notes.doc, { ...NOTE, id: 'other', shot: 'another', draft, reading }, 'test');
    await saved(notes.client);
    const witness = await notesOf(seen);
    const ids = readNotes(witness.doc).map(({ id }) => id);
    expect(ids).toEqual(expect.arrayContaining(['untold', 'other']));
    expect(ids).not.toContain('told');
    await socket.close();
    for (const one of [notes, witness]) one.close();
    seen.close();
  });

  it('of what is decided meanwhile come with the call', async () => {
    const seen = await begin();
    const { server, lead, shot, draft, scenes, record } = seen;
    const before = readHistory(record).get(draft);
    const call = await open(seen);
    const other = readDrafts(scenes, shot).find(({ id }) => id !== draft)!.id;
    const window = stockClient({ ...server, cookie: lead, document: 'scenes' });
    await synced(window);
    sealDraft(window.doc, other, true, 'test');
    await ask(server, lead, 'PATCH', `shots/${shot}`, { state: 'retake' });
    await docUntil(record, () => readDecisions(record).length === 1, 'the decision');
    await docUntil(record, () => readSeals(record).has(other), 'the seal');
    expect(readDecisions(record)).toMatchObject([{ to: 'retake', reading: null }]);
    expect(readSeals(record).get(other)).toMatchObject({ verdict: 'unknown', centre: null });
    await ask(server, lead, 'POST', `calls/${call}/show`);
    await docUntil(record, () => readHistory(record).has(draft), 'the readings again');
    const [decision] = readDecisions(record);
    expect(decision?.reading).toMatchObject({ verdict: before?.verdict, centre: before?.centre });
    expect(readSeals(record).get(other)?.centre).not.toBeNull();
    window.destroy();
    seen.close();
  });
});

describe('the truth of a call', () => {
  it('is that of the drawing when the readings were hidden, whatever becomes of the cast', async () => {
    const seen = await begin();
    const { server, lead, shot, draft, scenes, record } = seen;
    const animator = stockClient({ ...server, cookie: lead, document: 'scenes' });
    await synced(animator);
    const body = { table: 'deleva-male', stature: 1.75, mass: 70 } as const;
    putCast(animator.doc, { id: 'cast', name: 'Porter', body }, 'test');
    const own = Object.keys(bodyFields(body)).map((field) => [`figure/porter/${field}`, undefined]);
    const follows = { ...Object.fromEntries(own), 'figure/porter/cast': 'cast' };
    setEntries(animator.doc, draft, follows, 'test');
    await saved(animator);
    const before = readScene(animator.doc, draft);
    const call = await open(seen);
    const short = { ...body, stature: 1.2 };
    putCast(animator.doc, { id: 'cast', name: 'Porter', body: short }, 'test');
    await saved(animator, 2);
    await docUntil(scenes, () => readScene(scenes, draft).figures[0]?.body.stature === 1.2, 'cast');
    await ask(server, lead, 'POST', `calls/${call}/show`);
    await docUntil(record, () => readOneCall(record, call)?.state === 'shown', 'the shown call');
    const { truth } = readOneCall(record, call) as ShownCall;
    expect(truth).toEqual(truthOf(before, assess(before)));
    const after = readScene(scenes, draft);
    expect(truth).not.toEqual(truthOf(after, assess(after)));
    expect(readCalls(record, shot)).toHaveLength(1);
    animator.destroy();
    seen.close();
  });
});

describe('a copy of a review', () => {
  it('made of a point has the readings that were hidden when the point was kept', async () => {
    const seen = await begin();
    const { server, lead, draft, record } = seen;
    const before = readHistory(record).get(draft);
    const notes = await notesOf(seen);
    const noted = readNotes(notes.doc).map(({ id, reading }) => ({ id, reading }));
    expect(noted.some(({ reading }) => reading !== null)).toBe(true);
    const call = await open(seen);
    const point = (await ask(server, lead, 'POST', 'points')).body.id as string;
    await ask(server, lead, 'POST', `calls/${call}/show`);
    const title = { title: 'A copy' };
    const { id } = (await ask(server, lead, 'POST', `points/${point}/review`, title)).body;
    const [copied, copiedNotes] = (['record', 'notes'] as const).map((document) =>
      stockClient({ ...server, cookie: lead, document, review: id }),
    );
    await Promise.all([synced(copied!), synced(copiedNotes!)]);
    expect(readHistory(copied!.doc).get(draft)).toEqual(before);
    const there = readNotes(copiedNotes!.doc).map(({ id, reading }) => ({ id, reading }));
    expect(there).toEqual(noted);
    for (const client of [copied, copiedNotes]) client?.destroy();
    notes.close();
    seen.close();
  });

  it('made while a call is open has no open call, and cannot reach the answers of the first', async () => {
    const seen = await begin();
    const { server, lead } = seen;
    const call = await open(seen);
    await mine(server, lead, call, MARKED);
    const point = (await ask(server, lead, 'POST', 'points')).body.id as string;
    const title = { title: 'A copy' };
    const back = (await ask(server, lead, 'POST', `points/${point}/review`, title)).body
      .id as string;
    const file = await fetch(`${server.url}/api/reviews/demo/record/review.zip`, {
      headers: { cookie: lead },
    });
    const brought = await fetch(`${server.url}/api/reviews/demo/beside`, {
      ...{ method: 'POST', headers: { cookie: lead, 'content-type': 'application/zip' } },
      body: await file.arrayBuffer(),
    });
    const beside = ((await brought.json()) as { id: string }).id;
    for (const review of [back, beside]) {
      const client = stockClient({ ...server, cookie: lead, document: 'record', review });
      await synced(client);
      expect(readCalls(client.doc)).toEqual([]);
      client.destroy();
      for (const [method, path] of [
        ['GET', `calls/${call}/mine`],
        ['PUT', `calls/${call}/mine`],
        ['POST', `calls/${call}/show`],
        ['DELETE', `calls/${call}`],
      ] as const) {
        const body = method === 'PUT' ? MARKED : undefined;
        expect((await ask(server, lead, method, path, body, review)).status, path).toBe(404);
      }
    }
    expect((await ask(server, lead, 'GET', `calls/${call}/mine`)).body).toEqual({ answer: MARKED });
    seen.close();
  });
});
