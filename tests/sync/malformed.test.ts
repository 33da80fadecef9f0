import { createEncoder, toUint8Array, writeVarUint } from 'lib0/encoding';
import { describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import { draftEntries, setEntries } from '../../core/document/index.ts';
import { CLOSE } from '../../core/protocol/index.ts';
import { awarenessFrame, updateFrame } from '../../server/sync/wire.ts';
import { NOTHING_TO_BRING } from '../helpers/hostile.ts';
import { random } from '../helpers/random.ts';
import { startServer, type TestServer } from '../helpers/served.ts';
import { RawSocket, stockClient, synced } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;

function soundUpdate(): Uint8Array {
  const doc = new Y.Doc();
  setEntries(doc, 'd', { 'figure/f': 1, 'figure/f/position': [0, 1, 0] }, USER);
  draftEntries(doc, 'd').delete('figure/f');
  return Y.encodeStateAsUpdate(doc);
}

const frameOf = (...numbers: number[]): Uint8Array => {
  const encoder = createEncoder();
  for (const number of numbers) writeVarUint(encoder, number);
  return toUint8Array(encoder);
};

/** JSON of arrays in arrays, deeper than a stack. */
const deep = '['.repeat(20_000) + ']'.repeat(20_000);

// Each is one that a decoder could trip over; what they share is that none is a sound message.
const BROKEN: Record<string, Uint8Array> = {
  nothing: new Uint8Array(),
  'a number that does not end': new Uint8Array(12).fill(0xff),
  'a type nobody knows': frameOf(250),
  'a sync kind nobody knows': frameOf(0, 9, 0),
  'a length beyond the end': frameOf(0, 2, 5000),
  'an update of 2^31 clients': updateFrame(frameOf(2 ** 31)),
  'an update of 2^52 structs': updateFrame(frameOf(1, 2 ** 52, 7, 0)),
  'a deletion of 2^31 clients': updateFrame(frameOf(0, 2 ** 31)),
  'a state vector cut short': frameOf(0, 0, 2, 9, 9),
  'presences of 2^40 clients': frameOf(1, 6, ...[2 ** 40]),
  'a presence that is no JSON': awarenessFrame([{ client: 1, clock: 1, json: '{"a":' }]),
  'a presence nested 20,000 deep': awarenessFrame([{ client: 1, clock: 1, json: deep }]),
};

async function connect(server: TestServer, cookie: string): Promise<RawSocket> {
  const socket = await new RawSocket({ ...server, cookie, document: 'scenes' }).opened();
  socket.send(NOTHING_TO_BRING);
  return socket;
}

/** Closes, or is refused, or goes through: what must not happen is that nothing happens. */
async function outcome(socket: RawSocket, frame: Uint8Array): Promise<number> {
  socket.send(frame);
  const closed = socket.closed.then(({ code }) => code);
  return within(Promise.race([closed, socket.barrier(1).then(() => 0)]), 'an answer or a close');
}

describe('messages that are none', () => {
  it.each(Object.entries(BROKEN))('close the socket with a code: %s', async (_, frame) => {
    const server = await startServer();
    const socket = await connect(server, await server.joinAs('animator'));
    expect(await outcome(socket, frame)).toBe(CLOSE.badMessage);
    expect(server.log.problems).toEqual([]);
  });

  it('close the socket when they are text', async () => {
    const server = await startServer();
    const socket = await connect(server, await server.joinAs('animator'));
    socket.socket.send('hello');
    expect((await within(socket.closed, 'a close')).code).toBe(CLOSE.badMessage);
  });

  it.each([11, 12, 13, 14])('do not harm the document by the hundred (seed %i)', async (seed) => {
    const draw = random(seed);
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const watcher = stockClient({ ...server, cookie, document: 'scenes' });
    try {
      await synced(watcher);
      const sound = [
        updateFrame(soundUpdate()),
        awarenessFrame([{ client: 3, clock: 1, json: '{"cursor":1}' }]),
        frameOf(0, 0, 1, 0),
      ];
      let socket = await connect(server, cookie);
      for (let round = 0; round < 150; round++) {
        const frame = mutate(sound[round % sound.length]!, draw);
        const code = await outcome(socket, frame);
        // Sent away for its bytes, or to come back after an update that broke off half-way.
        if (code !== 0) expect([CLOSE.badMessage, CLOSE.comeBack], `seed ${seed}`).toContain(code);
        await socket.close();
        socket = await connect(server, cookie);
      }
      await socket.barrier(2);
      const late = stockClient({ ...server, cookie, document: 'scenes' });
      await synced(late);
      expect(draftEntries(late.doc, 'qy-010-1').get('figure/porter'), `seed ${seed}`).toBe(1);
      late.destroy();
    } finally {
      watcher.destroy();
    }
  });

  it.each([8 * 1024 * 1024 + 64, 60 * 1024 * 1024])(
    'are refused when %i bytes long',
    async (size) => {
      const server = await startServer();
      const cookie = await server.joinAs('animator');
      const socket = await connect(server, cookie);
      const doc = new Y.Doc();
      doc.getMap('draft:qy-010-1').set('huge', new Uint8Array(size));
      socket.sendUpdate(Y.encodeStateAsUpdate(doc));
      const { code } = await within(socket.closed, 'a close');
      // 1009: beyond twice our limit the socket itself stops reading (RFC 6455, 7.4.1).
      expect([CLOSE.badMessage, 1009, 1006]).toContain(code);
      const reader = stockClient({ ...server, cookie, document: 'scenes' });
      try {
        await synced(reader);
        expect(draftEntries(reader.doc, 'qy-010-1').has('huge')).toBe(false);
      } finally {
        reader.destroy();
      }
    },
  );
});

/** One to four bytes changed, or the end cut off, or both. */
function mutate(sound: Uint8Array, draw: () => number): Uint8Array {
  const bytes = Uint8Array.from(sound);
  const changes = 1 + Math.floor(draw() * 4);
  for (let change = 0; change < changes; change++) {
    bytes[Math.floor(draw() * bytes.length)] = Math.floor(draw() * 256);
  }
  return draw() < 0.3 ? bytes.subarray(0, Math.floor(draw() * bytes.length)) : bytes;
}

describe('slow readers', () => {
  it('are sent away to come back, instead of filling the memory', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const reader = await connect(server, cookie);
    // "I have nothing": from then on it is sent what others do.
    reader.send(Uint8Array.of(0, 0, 1, 0));
    await reader.barrier(1);
    reader.socket.pause();
    const writer = await connect(server, cookie);
    const doc = new Y.Doc();
    doc.on('update', (update: Uint8Array) => writer.sendUpdate(update));
    // 24 MB in pieces: more than the operating system's buffers and the bound of a socket together.
    for (let piece = 0; piece < 24; piece++) {
      doc.getMap('draft:bulk').set('bytes', new Uint8Array(1024 * 1024).fill(piece));
    }
    await writer.barrier(2);
    reader.socket.resume();
    const { code } = await within(reader.closed, 'a close');
    expect([CLOSE.comeBack, 1006]).toContain(code);
    // The writer, who reads, was not touched.
    expect(writer.socket.readyState).toBe(WebSocket.OPEN);
  });
});
