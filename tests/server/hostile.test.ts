import { describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import {
  addDraft,
  addNote,
  draftEntries,
  type NewNote,
  sealDraft,
  setEntries,
} from '../../core/document/index.ts';
import { CLOSE, type DocumentName, MESSAGE_REFUSED, type Role } from '../../core/protocol/index.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { Connection } from '../../server/sync/connection.ts';
import type { Room } from '../../server/sync/room.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { MAX_SOCKETS_PER_PERSON, TRAFFIC, Traffic } from '../../server/sync/traffic.ts';
import { awarenessFrame, updateFrame } from '../../server/sync/wire.ts';
import { counted } from '../helpers/counted.ts';
import {
  ATTACKS,
  BROKEN_UPDATES,
  brokenMessage,
  masked,
  NOTHING_TO_BRING,
  soundMessages,
  type Target,
  updateOf,
} from '../helpers/hostile.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { random } from '../helpers/random.ts';
import { startServer } from '../helpers/served.ts';
import { RawSocket, stockClient, synced } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;
const SEED = 606;
const NOTE: NewNote = {
  id: 'n1',
  shot: 's',
  draft: 'd',
  pin: { kind: 'shot' },
  frame: null,
  text: 'Weight is on the wrong foot.',
  state: 'open',
  weight: 'should',
};

const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** A room in which a victim has written something that others must leave alone. */
async function attacked(document: DocumentName) {
  const clock = new ManualClock();
  const log = new KeptLog();
  const rooms = new Rooms(new SqliteUpdateStore(memoryDatabase(), clock, log), log);
  const room = await rooms.acquire({ review: 'r', document });
  const victim = new Y.Doc();
  const owner = plug(room, 'anna', 'lead');
  const bring = (change: (doc: Y.Doc) => void): void =>
    owner.connection.receive(updateFrame(updateOf(victim, change)));
  if (document === 'notes') bring((doc) => addNote(doc, NOTE, USER));
  else {
    const empty = { figures: [], loads: [], surfaces: [], grips: [] };
    bring((doc) => {
      addDraft(doc, { id: 'd', shot: 's', from: null, title: 'first' }, empty, USER);
      setEntries(doc, 'd', { 'figure/f': 1, 'figure/f/position': [0, 1, 0] }, USER);
    });
    bring((doc) => sealDraft(doc, 'd', true, USER));
  }
  clock.advance(10);
  await settled();
  const [root, key] =
    document === 'notes' ? ['notes', 'n1/text'] : ['draft:d', 'figure/f/position'];
  const target: Target = { doc: room.doc, victim: victim.clientID, root, key };
  return { clock, log, room, target };
}

/** A connection of a person, with what it was told. */
function plug(room: Room, id: string, role: Role) {
  const told: { refused: number; closed: number[] } = { refused: 0, closed: [] };
  const connection = new Connection(
    room,
    { id, name: id, ink: 0, role },
    {
      bufferedAmount: 0,
      send: (frame) => {
        if (frame[0] === MESSAGE_REFUSED) told.refused += 1;
      },
      close: (code) => told.closed.push(code),
    },
  );
  // So that nothing it sends is taken for the early edit of a window that has more to bring.
  connection.receive(NOTHING_TO_BRING);
  return { connection, told: Object.assign(told, { refused: 0 }) };
}

describe('hostile updates', () => {
  it.each<[DocumentName, Role, number]>([
    ['scenes', 'animator', 800],
    ['notes', 'reviewer', 600],
    ['notes', 'animator', 300],
    ['notes', 'lead', 300],
  ])('to %s by a %s: none of %i is taken', async (document, role, count) => {
    const { log, room, target } = await attacked(document);
    const draw = random(SEED);
    const attacks = Object.entries(ATTACKS);
    const { connection, told } = plug(room, 'mallory', role);
    const before = Y.encodeStateAsUpdate(room.doc);
    for (let round = 0; round < count; round++) {
      const [name, attack] = attacks[round % attacks.length]!;
      connection.receive(updateFrame(attack(target, draw)));
      expect(told.refused, `seed ${SEED}, round ${round}: ${name}`).toBe(round + 1);
    }
    expect(Y.encodeStateAsUpdate(room.doc)).toEqual(before);
    expect(room.doc.store.pendingStructs).toBeNull();
    expect(room.doc.store.pendingDs).toBeNull();
    expect(told.closed).toEqual([]);
    expect(log.problems).toEqual([]);
    counted('hostile updates', count);
  });

  it.each(Object.entries(BROKEN_UPDATES))('close the socket: one that %s', async (_, make) => {
    const { log, room, target } = await attacked('scenes');
    const draw = random(SEED);
    const before = Y.encodeStateAsUpdate(room.doc);
    for (let round = 0; round < 20; round++) {
      const { connection, told } = plug(room, 'mallory', 'animator');
      connection.receive(updateFrame(make(target, draw)));
      expect(told.closed, `seed ${SEED}`).toEqual([CLOSE.badMessage]);
    }
    expect(Y.encodeStateAsUpdate(room.doc)).toEqual(before);
    expect(room.isBroken).toBe(false);
    expect(log.problems).toEqual([]);
  });

  it('cannot bring client ids without end', async () => {
    const { room } = await attacked('scenes');
    const draw = random(SEED);
    const { connection, told } = plug(room, 'mallory', 'animator');
    for (let id = 1; id <= 1500; id++) {
      const doc = new Y.Doc();
      doc.clientID = id + Math.floor(draw() * 1000) * 10_000;
      setEntries(doc, 'own', { [`figure/f${id}`]: 1 }, USER);
      connection.receive(updateFrame(Y.encodeStateAsUpdate(doc)));
    }
    expect(told.refused).toBeGreaterThan(0);
    expect(draftEntries(room.doc, 'own').size).toBeLessThanOrEqual(1000);
  });

  it('taken twice or out of order change nothing but what their order allows', async () => {
    const { room } = await attacked('scenes');
    const draw = random(SEED);
    const own = masked(room.doc, 4711);
    const updates = Array.from({ length: 40 }, (_, step) =>
      updateOf(own, (doc) => setEntries(doc, 'own', { 'figure/f': step, [`k${step}`]: 1 }, USER)),
    );
    const { connection, told } = plug(room, 'mallory', 'animator');
    for (let round = 0; round < 400; round++) {
      connection.receive(updateFrame(updates[Math.floor(draw() * updates.length)]!));
      const taken = draftEntries(room.doc, 'own').get('figure/f');
      const known = Y.getState(room.doc.store, 4711);
      // What is there is always a beginning of the work, never a part with holes.
      if (taken !== undefined) expect(known, `seed ${SEED}`).toBe(2 * (Number(taken) + 1));
    }
    for (const update of updates) connection.receive(updateFrame(update));
    expect(draftEntries(room.doc, 'own').toJSON()).toEqual(draftEntries(own, 'own').toJSON());
    expect(told.closed).toEqual([]);
  });
});

describe('malformed messages', () => {
  it.each<[Role, DocumentName]>([
    ['reviewer', 'scenes'],
    ['lead', 'record'],
  ])('by a %s to %s, who may not write there: none of 5,000 is taken', async (role, document) => {
    const clock = new ManualClock();
    const log = new KeptLog();
    const rooms = new Rooms(new SqliteUpdateStore(memoryDatabase(), clock, log), log);
    const room = await rooms.acquire({ review: 'r', document });
    void room.write((doc) => setEntries(doc, 'own', { 'figure/f': 0 }, USER));
    const before = Y.encodeStateAsUpdate(room.doc);
    const draw = random(SEED);
    const sound = soundMessages(room.doc);
    let mallory = plug(room, 'mallory', role);
    for (let round = 0; round < 5000; round++) {
      mallory.connection.receive(brokenMessage(sound, draw));
      if (mallory.told.closed.length > 0) mallory = plug(room, 'mallory', role);
    }
    expect(Y.encodeStateAsUpdate(room.doc), `seed ${SEED}`).toEqual(before);
    expect(room.isBroken).toBe(false);
    expect(log.problems).toEqual([]);
    counted('malformed messages', 5000);
  });

  it('by an animator: 10,000 break nothing, and leave what is protected as it was', async () => {
    const { log, room, target } = await attacked('scenes');
    const draw = random(SEED);
    const sound = [
      ...soundMessages(room.doc),
      ...Object.values(ATTACKS).map((attack) => updateFrame(attack(target, draw))),
    ];
    const protectedBefore = JSON.stringify(room.doc.getMap('draft:d').toJSON());
    const known = Y.getState(room.doc.store, target.victim);
    let mallory = plug(room, 'mallory', 'animator');
    for (let round = 0; round < 10_000; round++) {
      mallory.connection.receive(brokenMessage(sound, draw));
      if (room.isBroken) break;
      if (mallory.told.closed.length > 0) mallory = plug(room, 'mallory', 'animator');
    }
    expect(room.isBroken, `seed ${SEED}`).toBe(false);
    expect(log.problems).toEqual([]);
    expect(JSON.stringify(room.doc.getMap('draft:d').toJSON())).toBe(protectedBefore);
    expect(Y.getState(room.doc.store, target.victim)).toBe(known);
    expect(room.doc.store.pendingStructs).toBeNull();
    expect(room.doc.store.pendingDs).toBeNull();
    // What was sound by chance was taken: it must be readable for everybody.
    const reader = new Y.Doc();
    Y.applyUpdate(reader, Y.encodeStateAsUpdate(room.doc));
    expect(reader.getMap('draft:d').toJSON()).toEqual(room.doc.getMap('draft:d').toJSON());
    counted('malformed messages', 10_000);
  });

  it('that never end are dropped with their socket, and the others go on', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const cookie = await server.joinAs('animator');
    for (let round = 0; round < 5; round++) {
      const half = await new RawSocket({ ...place, cookie }).opened();
      await half.barrier(1);
      half.socket.send(Uint8Array.of(0, 2, 200), { fin: false });
      half.socket.terminate();
    }
    const honest = await new RawSocket({ ...place, cookie }).opened();
    await honest.barrier(1);
    expect(server.log.problems).toEqual([]);
  });
});

describe('floods', () => {
  it('of presences close the socket, and a drag at 60 a second does not', () => {
    const clock = new ManualClock();
    const traffic = new Traffic(clock);
    const drag = traffic.meter('10.0.0.1');
    for (let second = 0; second < 60; second++) {
      // A position, an edit and a barrier in each frame, each as large as a whole pose.
      for (let message = 0; message < 180; message++) expect(drag(2500)).toBe(true);
      clock.advance(1000);
    }
    const flood = traffic.meter(null);
    let taken = 0;
    while (flood(100)) taken += 1;
    expect(taken).toBe(TRAFFIC.messagesPerSocket.burst);
    clock.advance(1000);
    for (let n = 0; n < TRAFFIC.messagesPerSocket.perSecond; n++) expect(flood(100)).toBe(true);
    expect(flood(100)).toBe(false);
  });

  it('of bytes close the socket, whoever else shares the address', () => {
    const clock = new ManualClock();
    const traffic = new Traffic(clock);
    const megabyte = 1024 * 1024;
    const sockets = Array.from({ length: 10 }, () => traffic.meter('10.0.0.1'));
    const taken = sockets.map((socket) => {
      let count = 0;
      while (socket(megabyte)) count += 1;
      return count;
    });
    expect(Math.max(...taken)).toBe(32);
    expect(taken.reduce((sum, count) => sum + count)).toBe(128);
    expect(traffic.meter('10.0.0.2')(megabyte)).toBe(true);
  });

  it('of presences over a real socket: it is sent away, the others are not', async () => {
    const server = await startServer();
    const place = { ...server, document: 'scenes' as const };
    const witness = await new RawSocket({
      ...place,
      cookie: await server.joinAs('guest'),
    }).opened();
    await witness.barrier(1);
    const flooder = await new RawSocket({
      ...place,
      cookie: await server.joinAs('guest'),
    }).opened();
    await flooder.barrier(1);
    for (let clock = 1; clock < 8000; clock++) {
      flooder.send(awarenessFrame([{ client: 9, clock, json: '{"cursor":1}' }]));
    }
    expect((await within(flooder.closed, 'a close')).code).toBe(CLOSE.comeBack);
    await witness.barrier(2);
    expect(witness.socket.readyState).toBe(WebSocket.OPEN);
  });

  it('of attempts are turned away from that address alone', async () => {
    const server = await startServer({ proxies: 1 });
    const cookie = await server.joinAs('animator');
    const place = { ...server, document: 'scenes' as const };
    const { burst } = TRAFFIC.attemptsPerAddress;
    const attempts = burst + 200;
    const codes: number[] = [];
    for (let sent = 0; sent < attempts; sent += 50) {
      const some = Array.from(
        { length: 50 },
        () => new RawSocket({ ...place, cookie: '' }, { 'x-forwarded-for': '203.0.113.7' }),
      );
      const closed = await within(Promise.all(some.map((socket) => socket.closed)), 'closes');
      codes.push(...closed.map(({ code }) => code));
    }
    const turnedAway = codes.filter((code) => code === 1006).length;
    expect(codes.filter((code) => code === CLOSE.notSignedIn)).toHaveLength(attempts - turnedAway);
    // The bucket fills by a few while the attempts run.
    expect(turnedAway).toBeGreaterThan(50);
    const honest = await new RawSocket(
      { ...place, cookie },
      { 'x-forwarded-for': '203.0.113.8' },
    ).opened();
    await honest.barrier(1);
    console.log(`connection attempts: ${attempts} from one address, ${turnedAway} turned away`);
  });

  it('of windows of one person end at a bound', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const place = { ...server, cookie, document: 'scenes' as const };
    const windows = Array.from({ length: MAX_SOCKETS_PER_PERSON }, () => new RawSocket(place));
    await Promise.all(windows.map((window) => window.opened()));
    await Promise.all(windows.map((window) => window.barrier(1)));
    const oneMore = new RawSocket(place);
    expect((await within(oneMore.closed, 'a close')).code).toBe(CLOSE.comeBack);
    const other = stockClient({ ...place, cookie: await server.joinAs('guest') });
    try {
      await synced(other);
    } finally {
      other.destroy();
    }
    await windows[0]!.close();
    await (await new RawSocket(place).opened()).barrier(1);
  });

  it('of presences under another window’s id reach nobody', async () => {
    const { room } = await attacked('scenes');
    const shown: string[] = [];
    const watch = new Connection(
      room,
      { id: 'w', name: 'w', ink: 0, role: 'guest' },
      {
        bufferedAmount: 0,
        send: (frame) => shown.push(Buffer.from(frame).toString()),
        close: () => undefined,
      },
    );
    const anna = plug(room, 'anna', 'lead');
    anna.connection.receive(awarenessFrame([{ client: 5, clock: 1, json: '{"person":"anna"}' }]));
    const before = shown.length;
    const mallory = plug(room, 'mallory', 'animator');
    for (let clock = 2; clock < 1000; clock++) {
      const forged = clock % 2 === 0 ? '{"person":"mallory"}' : 'null';
      mallory.connection.receive(awarenessFrame([{ client: 5, clock, json: forged }]));
    }
    expect(shown).toHaveLength(before);
    expect(mallory.told.refused).toBe(998);
    expect(watch.person).toBe('w');
  });
});
