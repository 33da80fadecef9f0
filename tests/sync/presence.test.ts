import { describe, expect, it } from 'vitest';
import { Awareness, applyAwarenessUpdate } from 'y-protocols/awareness';
import * as Y from 'yjs';
import { CLOSE } from '../../core/protocol/index.ts';
import { type Holder, PresenceTable } from '../../server/sync/presence.ts';
import { type AwarenessEntry, awarenessFrame } from '../../server/sync/wire.ts';
import { startServer } from '../helpers/served.ts';
import { isAwareness, RawSocket, stockClient, synced } from '../helpers/sync-client.ts';
import { until, within } from '../helpers/waiting.ts';

// The frame is the type, the length of what follows, and the update itself; below 128 bytes of
// update each of the first two is one byte.
const updateOf = (...entries: AwarenessEntry[]): Uint8Array => awarenessFrame(entries).subarray(2);

const state = (client: number, clock: number, value: unknown): AwarenessEntry => ({
  client,
  clock,
  json: JSON.stringify(value),
});

const ada: Holder = { person: 'ada', role: 'lead' };
const bo: Holder = { person: 'bo', role: 'animator' };
const guest: Holder = { person: 'cy', role: 'guest' };

function shown(table: PresenceTable, holder: Holder, ...entries: AwarenessEntry[]) {
  const result = table.show(holder, updateOf(...entries));
  if (result.kind !== 'shown') throw new Error(result.reason);
  return result;
}

describe('who is here', () => {
  it('is relayed as it came, and given to those who come later', () => {
    const table = new PresenceTable();
    const entry = state(7, 1, { cursor: 1 });
    expect(shown(table, ada, entry).entries).toEqual([entry]);
    expect(table.entries()).toEqual([entry]);
  });

  it("refuses a state under another person's client id", () => {
    const table = new PresenceTable();
    shown(table, ada, state(7, 1, { cursor: 1 }));
    const forged = shown(table, bo, state(7, 2, { cursor: 99 }));
    expect(forged).toMatchObject({
      entries: [],
      refused: 'this presence belongs to somebody else',
    });
    expect(table.entries()).toEqual([state(7, 1, { cursor: 1 })]);
    // Nor can anybody else say that Ada has left.
    expect(shown(table, bo, state(7, 2, null)).entries).toEqual([]);
    expect(table.entries()).toHaveLength(1);
  });

  it('passes over echoes of others without a word, as stock clients send them', () => {
    const table = new PresenceTable();
    shown(table, ada, state(7, 4, { cursor: 1 }));
    expect(shown(table, bo, state(7, 4, { cursor: 1 }), state(8, 1, {}))).toEqual({
      kind: 'shown',
      entries: [state(8, 1, {})],
      corrections: [],
      refused: '',
    });
  });

  it('refuses a state that names somebody else', () => {
    const table = new PresenceTable();
    expect(shown(table, bo, state(8, 1, { person: 'ada' })).refused).toMatch(/somebody else/);
    expect(shown(table, bo, state(8, 1, { person: 'bo' })).refused).toBe('');
  });

  it("refuses a guest's mark, which every window would draw", () => {
    const table = new PresenceTable();
    const mark = { draft: 'd', kind: 'ink', view: 'front', points: [0, 1, 0, 1] };
    expect(shown(table, guest, state(9, 1, { person: 'cy', mark })).refused).toMatch(/not draw/);
    expect(shown(table, guest, state(9, 2, { person: 'cy', mark: null })).entries).toHaveLength(1);
    expect(shown(table, bo, state(8, 1, { person: 'bo', mark })).entries).toHaveLength(1);
  });

  it("refuses a guest's drag, which every window would weigh", () => {
    const table = new PresenceTable();
    const drag = { draft: 'd', entries: { 'figure/f/position': [0, 1, 0] } };
    expect(shown(table, guest, state(9, 1, { person: 'cy', drag })).refused).toMatch(/not move/);
    expect(shown(table, guest, state(9, 2, { person: 'cy', drag: null })).entries).toHaveLength(1);
    expect(shown(table, bo, state(8, 1, { person: 'bo', drag })).entries).toHaveLength(1);
  });

  it("takes a reviewer's what-if, not a guest's, and an end of others' from leads alone", () => {
    const table = new PresenceTable();
    const whatIf = { id: 'w', draft: 'd', open: ['g'] };
    const reviewer: Holder = { person: 'di', role: 'reviewer' };
    expect(shown(table, guest, state(9, 1, { person: 'cy', whatIf })).refused).toMatch(/what if/);
    expect(shown(table, reviewer, state(6, 1, { person: 'di', whatIf })).refused).toBe('');
    expect(shown(table, bo, state(8, 1, { person: 'bo', ends: 'w' })).refused).toMatch(/lead/);
    expect(shown(table, ada, state(7, 1, { person: 'ada', ends: 'w' })).refused).toBe('');
    expect(
      shown(table, guest, state(9, 2, { person: 'cy', whatIf: null, ends: null })).refused,
    ).toBe('');
  });

  it('lets a lead alone ask everyone along', () => {
    const table = new PresenceTable();
    expect(shown(table, bo, state(8, 1, { person: 'bo', along: 1 })).refused).toMatch(
      /a lead asks/,
    );
    expect(shown(table, ada, state(7, 1, { person: 'ada', along: 1 })).entries).toHaveLength(1);
  });

  it.each([
    { camera: { view: 'front', target: [0, 0, 0], wide: -1, tall: 1, yaw: 0, pitch: 0 } },
    { cursor: { view: 'elevation', point: [1e300, 0, 0] } },
    { ping: { count: 1, view: 'elevation', point: 'here' } },
    { with: ['ada'] },
    { hand: 'up' },
    { name: 7 },
  ])('refuses a broken field and keeps what was shown before: %j', (broken) => {
    const table = new PresenceTable();
    const good = state(8, 1, { person: 'bo', shot: 's' });
    shown(table, bo, good);
    const { entries, refused } = shown(table, bo, state(8, 2, { person: 'bo', ...broken }));
    expect({ entries, refused }).toEqual({
      entries: [],
      refused: `the ${Object.keys(broken)[0]} of this presence is not one`,
    });
    expect(table.entries()).toEqual([good]);
  });

  it('bounds the client ids of one connection and the size of a state', () => {
    const table = new PresenceTable();
    const many = Array.from({ length: 5 }, (_, index) => state(index, 1, {}));
    expect(shown(table, bo, ...many).entries).toHaveLength(4);
    const huge = awarenessFrame([state(1, 9, { text: 'x'.repeat(40_000) })]).subarray(4);
    expect(table.show(bo, huge)).toEqual({ kind: 'malformed', reason: 'a presence is too large' });
  });

  it('takes a connection away with all that it showed, and keeps its id for the same person', () => {
    const table = new PresenceTable();
    shown(table, bo, state(8, 3, { cursor: 1 }));
    expect(table.leave(bo)).toEqual([state(8, 4, null)]);
    expect(table.entries()).toEqual([]);
    expect(shown(table, ada, state(8, 9, { cursor: 2 })).refused).toMatch(/somebody else/);
    const boAgain: Holder = { ...bo };
    expect(shown(table, boAgain, state(8, 9, { cursor: 3 })).entries).toHaveLength(1);
  });

  it('tells a window that comes back with an old clock that it was taken for gone', () => {
    const table = new PresenceTable();
    shown(table, bo, state(8, 3, { cursor: 1 }));
    table.leave(bo);
    const { entries, corrections } = shown(table, { ...bo }, state(8, 3, { cursor: 1 }));
    expect({ entries, corrections }).toEqual({ entries: [], corrections: [state(8, 4, null)] });
    // What y-protocols/awareness makes of it: it shows itself again with a newer clock.
    const doc = new Y.Doc();
    doc.clientID = 8;
    const awareness = new Awareness(doc);
    awareness.setLocalState({ cursor: 1 });
    applyAwarenessUpdate(awareness, updateOf(...corrections), 'server');
    expect(awareness.getLocalState()).toEqual({ cursor: 1 });
    expect(awareness.meta.get(8)?.clock).toBe(5);
    awareness.destroy();
  });
});

describe('who is here, over sockets', () => {
  it('is seen by stock clients, and gone when a window closes', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const a = stockClient({ ...place, cookie: await server.joinAs('animator') });
    const b = stockClient({ ...place, cookie: await server.joinAs('guest') });
    try {
      await Promise.all([synced(a), synced(b)]);
      a.awareness.setLocalState({ shot: 'qy-010' });
      const client = a.awareness.clientID;
      const here = (): boolean => b.awareness.getStates().has(client);
      await until(b.awareness as never, 'change', here, 'the animator at the guest');
      a.destroy();
      await until(b.awareness as never, 'change', () => !here(), 'the animator gone');
    } finally {
      a.destroy();
      b.destroy();
    }
  });

  it('is gone when a line breaks without a word', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const a = await new RawSocket({ ...place, cookie: await server.joinAs('guest') }).opened();
    const b = stockClient({ ...place, cookie: await server.joinAs('guest') });
    try {
      await synced(b);
      a.sendAwareness([state(77, 1, { cursor: 1 })]);
      const here = (): boolean => b.awareness.getStates().has(77);
      await until(b.awareness as never, 'change', here, 'the first at the second');
      a.socket.terminate();
      await until(b.awareness as never, 'change', () => !here(), 'the first gone');
    } finally {
      b.destroy();
    }
  });

  it('comes back to its own window too, so that a lone stock client stays', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    socket.sendAwareness([state(5, 1, {})]);
    await socket.frame(isAwareness, 'its own presence');
  });

  it('closes a socket that sends a presence too large', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
    socket.sendAwareness([state(5, 1, { text: 'x'.repeat(100_000) })]);
    expect((await within(socket.closed, 'a close')).code).toBe(CLOSE.badMessage);
  });
});
