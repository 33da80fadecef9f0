import { join as joinPath } from 'node:path';
import { readVarUint } from 'lib0/decoding';
import { expect, it } from 'vitest';
import type { WebsocketProvider } from 'y-websocket';
import type * as Y from 'yjs';
import { draftEntries, setEntries } from '../../core/document/index.ts';
import { MESSAGE_SAVED } from '../../core/protocol/index.ts';
import { systemClock } from '../../server/clock.ts';
import { DATABASE_FILE, openDatabase } from '../../server/storage/database.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { counted } from '../helpers/counted.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { buildKillable, startKillable } from '../helpers/killable.ts';
import { random } from '../helpers/random.ts';
import { temporaryFolder } from '../helpers/served.ts';
import { barrierFrame, join, stockClient, synced } from '../helpers/sync-client.ts';
import { within } from '../helpers/waiting.ts';

const USER = { source: 'user' } as const;
const SEED = 9;
const WRITERS = 20;
const DRAFT = 'killed';
/** The script of the CI asks for 100. */
const KILLS = Number(process.env.COUNTERLEAN_KILLS ?? 12);

interface Writer {
  readonly client: WebsocketProvider;
  readonly name: string;
  sent: number;
  acknowledged: number;
}

/** Sends one more edit with a barrier behind it. */
function edit(writer: Writer): void {
  writer.sent += 1;
  const key = `${writer.name}.${writer.sent}`;
  setEntries(writer.client.doc, DRAFT, { [key]: writer.sent, [writer.name]: writer.sent }, USER);
  writer.client.ws?.send(barrierFrame(writer.sent) as Uint8Array<ArrayBuffer>);
}

/** The document as the disk has it, read by a new program. */
async function onDisk(data: string): Promise<Y.Doc> {
  const database = openDatabase(joinPath(data, DATABASE_FILE));
  const log = new KeptLog();
  const store = new SqliteUpdateStore(database, systemClock, log);
  const { doc } = await new Rooms(store, log).acquire({ review: 'demo', document: 'scenes' });
  database.close();
  expect(log.problems).toEqual([]);
  return doc;
}

it(
  `${KILLS} kills under ${WRITERS} writers lose no acknowledged edit`,
  async () => {
    const draw = random(SEED);
    let data = '';
    const program = await buildKillable();
    let cookies: string[] = [];
    let acknowledged = 0;
    let unacknowledged = 0;
    let lost = 0;
    let seenAndLost = 0;
    for (let round = 0; round < KILLS; round++) {
      // Each round brings 20 new client ids, which every edit of every window has to look through: after
      // some rounds the windows of this one process would be what is slow.
      if (round % 10 === 0) data = temporaryFolder();
      const server = await startKillable(program, data);
      if (server.links !== null) {
        cookies = [];
        for (let index = 0; index <= WRITERS; index++) {
          cookies.push(await join(index < WRITERS ? server.links.animator : server.links.guest));
        }
      }
      const clients = cookies.map((cookie) =>
        stockClient({ url: server.url, cookie, document: 'scenes' }),
      );
      await Promise.all(clients.map(synced));
      const reader = clients[WRITERS]!;
      const writers = clients.slice(0, WRITERS).map(
        (client, index): Writer => ({
          ...{ client, name: `r${round}w${index}`, sent: 0, acknowledged: 0 },
        }),
      );
      // The moment is an acknowledgement drawn from the seed: somewhere within the first forty rounds.
      let left = 1 + Math.floor(draw() * 40 * WRITERS);
      await within(
        new Promise<void>((resolve) => {
          for (const writer of writers) {
            writer.client.messageHandlers[MESSAGE_SAVED] = (_encoder, decoder) => {
              writer.acknowledged = Math.max(writer.acknowledged, readVarUint(decoder));
              left -= 1;
              if (left === 0) resolve();
              // Never waiting for an answer alone, so that something is always under way.
              else for (let n = writer.acknowledged + 2; writer.sent < n; ) edit(writer);
            };
            edit(writer);
          }
        }),
        'acknowledgements',
      );
      await server.kill();
      const seen = new Map(draftEntries(reader.doc, DRAFT).entries());
      for (const client of clients) {
        client.destroy();
        client.doc.destroy();
      }
      const kept = draftEntries(await onDisk(data), DRAFT);
      for (const writer of writers) {
        for (let n = 1; n <= writer.acknowledged; n++) {
          if (kept.get(`${writer.name}.${n}`) !== n) lost += 1;
        }
        acknowledged += writer.acknowledged;
        unacknowledged += writer.sent - writer.acknowledged;
      }
      for (const [key, value] of seen) {
        if (key.includes('.') && kept.get(key) !== value) seenAndLost += 1;
      }
    }
    expect({ lost, seenAndLost }, `seed ${SEED}`).toEqual({ lost: 0, seenAndLost: 0 });
    expect(acknowledged).toBeGreaterThan(KILLS * WRITERS);
    counted('kills', KILLS);
    console.log(
      `kill -9: ${KILLS} kills under ${WRITERS} writers (seed ${SEED}), ${acknowledged} acknowledged ` +
        `edits, ${lost} lost; ${unacknowledged} were under way; ${seenAndLost} lost that a reader saw`,
    );
  },
  KILLS * 15_000,
);
