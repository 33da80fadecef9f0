import { describe, expect, it } from 'vitest';
import type * as Y from 'yjs';
import {
  readDrafts,
  readHistory,
  readNotes,
  readPeople,
  readScene,
  readSequences,
  readShots,
  readStamps,
  readTitle,
} from '../../core/document/index.ts';
import type { DocumentName } from '../../core/protocol/index.ts';
import { SMALL_REVIEW, startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { stockClient, synced } from '../helpers/sync-client.ts';

async function read(server: TestServer, cookie: string, document: DocumentName): Promise<Y.Doc> {
  const client = stockClient({ ...server, cookie, document });
  await synced(client);
  client.destroy();
  return client.doc;
}

describe('the demo review', () => {
  it('has its sequences, shots, drafts and scenes as they were given', async () => {
    const server = await startServer();
    const scenes = await read(server, await server.joinAs('guest'), 'scenes');
    expect(readTitle(scenes)).toBe('Small review');
    expect(readSequences(scenes).map(({ title }) => title)).toEqual(['The quay', 'The loft']);
    expect(readShots(scenes)).toMatchObject([
      { id: 'qy-010', code: 'QY 010', sequence: 'quay', state: 'for-review', frames: [1, 48] },
    ]);
    expect(readDrafts(scenes)).toMatchObject([
      { id: 'qy-010-1', number: 1, from: null, title: 'first pass' },
      { id: 'qy-010-2', number: 2, from: 'qy-010-1', title: 'hips back' },
    ]);
    expect(readScene(scenes, 'qy-010-2')).toEqual(SMALL_REVIEW.shots[0]!.drafts[1]!.scene);
  });

  it('has its notes, stamped with its people, and a reading of each draft', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const notes = readNotes(await read(server, cookie, 'notes'));
    expect(notes).toMatchObject([
      { shot: 'qy-010', draft: 'qy-010-2', text: 'The line lands on the toes.', state: 'answered' },
    ]);
    const record = await read(server, cookie, 'record');
    const stamps = readStamps(record);
    const [note] = notes;
    const [reply] = note!.replies;
    expect(stamps.get(note!.id)?.by).toBe('ada');
    expect(stamps.get(reply!.id)?.by).toBe('bo');
    expect(stamps.get(`${note!.id}/state`)?.by).toBe('bo');
    expect(stamps.get(note!.id)!.at < stamps.get(reply!.id)!.at).toBe(true);
    expect(readPeople(record).get('ada')).toEqual({
      id: 'ada',
      name: 'Ada Fenn',
      role: 'lead',
      ink: 3,
    });
    expect([...readHistory(record).keys()].sort()).toEqual(['qy-010-1', 'qy-010-2']);
  });

  it('is put in once: a second start finds it and knows no links any more', async () => {
    const data = temporaryFolder();
    const first = await startServer({ data });
    expect(first.leadLink).toMatch(/\/join\/[\w-]{22}$/);
    const cookie = await first.joinAs('lead');
    await first.close();
    const second = await startServer({ data });
    expect(second.links).toBeNull();
    expect(readShots(await read(second, cookie, 'scenes'))).toHaveLength(1);
  });

  it('is the project’s own when none is given, and every draft of it can be weighed', async () => {
    const server = await startServer({ demo: undefined as never });
    const cookie = await server.joinAs('lead');
    const scenes = await read(server, cookie, 'scenes');
    const drafts = readDrafts(scenes);
    expect(readShots(scenes).length).toBeGreaterThanOrEqual(8);
    expect(drafts.length).toBeGreaterThanOrEqual(16);
    const history = readHistory(await read(server, cookie, 'record'));
    expect(drafts.filter(({ id }) => !history.has(id))).toEqual([]);
    expect(server.log.problems).toEqual([]);
    // A shot that moves is told by its worst frame.
    const told = [...history].flatMap(([id, { moving }]) => (moving ? [[id, moving.verdict]] : []));
    expect(told).toEqual([
      ['ben-0115-1', 'falls'],
      ['ben-0115-2', 'teeters'],
    ]);
  });
});
