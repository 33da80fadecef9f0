import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addNote,
  draftEntries,
  type NewNote,
  readNotes,
  readShots,
  setEntries,
} from '../../core/document/index.ts';
import { CLOSE, type Role } from '../../core/protocol/index.ts';
import { startServer } from '../helpers/served.ts';
import {
  docUntil,
  type Frame,
  isSync,
  join,
  RawSocket,
  stockClient,
  synced,
} from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;

const noteOf = (id: string): NewNote => ({
  id,
  shot: 'qy-010',
  draft: 'qy-010-1',
  pin: { kind: 'shot' },
  frame: null,
  text: 'Weight is on the wrong foot.',
  state: 'open',
  weight: 'should',
});

const toText = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1');

/** An update that turns a joint, made on a fresh document. */
function turnUpdate(angle: number): Uint8Array {
  const doc = new Y.Doc();
  setEntries(doc, 'qy-010-1', { 'figure/porter/joint.chest': [0, 0, angle, 1] }, USER);
  return Y.encodeStateAsUpdate(doc);
}

function noteUpdate(id: string): Uint8Array {
  const doc = new Y.Doc();
  addNote(doc, noteOf(id), USER);
  return Y.encodeStateAsUpdate(doc);
}

describe('rights on sockets', () => {
  it('let two animators edit one pose with the stock client', async () => {
    const server = await startServer();
    const a = stockClient({
      ...server,
      cookie: await server.joinAs('animator'),
      document: 'scenes',
    });
    const b = stockClient({
      ...server,
      cookie: await server.joinAs('animator'),
      document: 'scenes',
    });
    try {
      await Promise.all([synced(a), synced(b)]);
      expect(readShots(b.doc).map(({ code }) => code)).toEqual(['QY 010']);
      setEntries(a.doc, 'qy-010-1', { 'figure/porter/joint.chest': [0, 0, 0.1, 1] }, USER);
      const turned = (): boolean =>
        draftEntries(b.doc, 'qy-010-1').has('figure/porter/joint.chest');
      await docUntil(b.doc, turned, 'the turn at the other animator');
    } finally {
      a.destroy();
      b.destroy();
    }
  });

  it.each<[Role, 'scenes' | 'notes' | 'record']>([
    ['guest', 'scenes'],
    ['guest', 'notes'],
    ['reviewer', 'scenes'],
    ['guest', 'record'],
    ['reviewer', 'record'],
    ['animator', 'record'],
    ['lead', 'record'],
  ])("refuse a %s's edit of %s: it is not applied and reaches nobody", async (role, document) => {
    const server = await startServer();
    const place = { ...server, document };
    const watcher = await new RawSocket({ ...place, cookie: await server.joinAs('lead') }).opened();
    const writer = await new RawSocket({ ...place, cookie: await server.joinAs(role) }).opened();
    await watcher.barrier(1);
    writer.sendUpdate(document === 'notes' ? noteUpdate('forged') : turnUpdate(1));
    expect((await writer.refusal()).text).toMatch(/only the server|may read/);
    await writer.barrier(2);
    await watcher.barrier(3);
    // The server's own writes may reach the watcher meanwhile; nothing of the edit does.
    const carriesEdit = ({ bytes }: Frame): boolean => /forged|joint\.chest/.test(toText(bytes));
    expect(watcher.frames.filter(isSync).filter(carriesEdit)).toEqual([]);
    const late = stockClient({ ...place, cookie: await server.joinAs('lead') });
    try {
      await synced(late);
      expect(draftEntries(late.doc, 'qy-010-1').has('figure/porter/joint.chest')).toBe(false);
      expect(readNotes(late.doc).some(({ id }) => id === 'forged')).toBe(false);
    } finally {
      late.destroy();
    }
  });

  it.each<Role>(['reviewer', 'animator', 'lead'])("take a %s's note", async (role) => {
    const server = await startServer();
    const writer = stockClient({ ...server, cookie: await server.joinAs(role), document: 'notes' });
    const reader = stockClient({
      ...server,
      cookie: await server.joinAs('guest'),
      document: 'notes',
    });
    try {
      await Promise.all([synced(writer), synced(reader)]);
      addNote(writer.doc, noteOf('mine'), USER);
      const arrived = (): boolean => readNotes(reader.doc).some(({ id }) => id === 'mine');
      await docUntil(reader.doc, arrived, 'the note at a guest');
    } finally {
      writer.destroy();
      reader.destroy();
    }
  });

  it('take back from a guest what the document has already, without a refusal', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const guest = stockClient({ ...place, cookie: await server.joinAs('guest') });
    const socket = await new RawSocket({ ...place, cookie: await server.joinAs('guest') }).opened();
    try {
      await synced(guest);
      // The whole document with its deletions, as a client sends it that has it from its own store.
      socket.sendUpdate(Y.encodeStateAsUpdate(guest.doc));
      await socket.barrier(1);
      expect(socket.frames.filter(({ text }) => text !== '')).toEqual([]);
    } finally {
      guest.destroy();
    }
  });

  it('close a socket without a valid cookie, with a code that stock clients take as final', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const lead = await server.joinAs('lead');
    const forged = lead.replace(/=(.)/, (_, first) => `=${first === 'A' ? 'B' : 'A'}`);
    for (const cookie of ['', 'counterlean=nobody.nothing', forged]) {
      const { code } = await within(new RawSocket({ ...place, cookie }).closed, 'a close');
      expect(code, cookie).toBe(CLOSE.notSignedIn);
    }
    const elsewhere = new RawSocket({ ...place, review: 'other', cookie: lead });
    expect((await within(elsewhere.closed, 'a close')).code).toBe(CLOSE.notSignedIn);
    const odd = new RawSocket({ ...place, document: 'secrets' as never, cookie: lead });
    expect((await within(odd.closed, 'a close')).code).toBe(CLOSE.forbidden);
  });

  it("turn another site's page away before the socket opens", async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const, cookie: await server.joinAs('lead') };
    const foreign = new RawSocket(place, { origin: 'http://elsewhere.example' });
    expect((await within(foreign.closed, 'a close')).code).toBe(1006);
    const rebound = new RawSocket(place, { host: 'elsewhere.example' });
    expect((await within(rebound.closed, 'a close')).code).toBe(1006);
    await new RawSocket(place, { origin: server.url }).opened();
  });

  it('close the sockets of a person who is taken out', async () => {
    const server = await startServer();
    const lead = await server.joinAs('lead');
    const guest = await server.joinAs('guest');
    const me = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie: guest } });
    const { person } = (await me.json()) as { person: { id: string } };
    const socket = await new RawSocket({ ...server, cookie: guest, document: 'notes' }).opened();
    await socket.barrier(1);
    const removed = await fetch(`${server.url}/api/reviews/demo/people/${person.id}`, {
      method: 'DELETE',
      headers: { cookie: lead },
    });
    expect(removed.status).toBe(204);
    expect((await within(socket.closed, 'a close')).code).toBe(CLOSE.notSignedIn);
    const again = new RawSocket({ ...server, cookie: guest, document: 'notes' });
    expect((await within(again.closed, 'a close')).code).toBe(CLOSE.notSignedIn);
  });

  it('bring a person back with a new role when a stronger link is opened', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    await socket.barrier(1);
    await join(server.links!.animator, cookie);
    expect((await within(socket.closed, 'a close')).code).toBe(CLOSE.comeBack);
    const back = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    back.sendUpdate(turnUpdate(2));
    await back.barrier(2);
    expect(back.frames.filter(({ text }) => text !== '')).toEqual([]);
  });
});
