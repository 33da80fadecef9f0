import * as Y from 'yjs';
import type { BalanceReport } from '../../core/balance/types.ts';
import { readScene } from '../../core/document/index.ts';
import type { Role } from '../../core/protocol/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { Connection } from '../../server/sync/connection.ts';
import { Recorder } from '../../server/sync/recorder.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { updateFrame } from '../../server/sync/wire.ts';
import { KeptLog } from './kept-log.ts';
import { ManualClock } from './manual-clock.ts';
import { memoryDatabase } from './memory-store.ts';

/** A report with a margin that tells which scene was weighed. */
export const reportOf = (scene: Scene): BalanceReport => {
  const figure = scene.figures[0];
  if (figure === undefined) throw new RangeError('nobody stands here');
  const reading = {
    mass: figure.body.mass,
    centre: null,
    plumb: null,
    support: { kind: 'none', polygon: [], functional: [], area: 0, contacts: [], exact: true },
    margin: { distance: figure.body.mass / 1000, ratio: 0.5 },
    footPosition: null,
    verdict: 'holds',
    sentence: '',
  };
  return {
    groups: [{ ...reading, id: 'g', members: [figure.id] }],
    figures: [],
    contacts: [],
    loads: {},
  } as unknown as BalanceReport;
};

/** A recorder over rooms in memory, with a clock by hand and windows that are opened on them. */
export async function recorderSetUp(
  settings: Partial<ConstructorParameters<typeof Recorder>[0]> = {},
) {
  const clock = new ManualClock();
  const log = new KeptLog();
  const store = new SqliteUpdateStore(memoryDatabase(), clock, log);
  const rooms = new Rooms(store, log);
  const recorder = new Recorder({
    ...{ rooms, clock, log },
    weigh: (doc, _review, draft) => reportOf(readScene(doc, draft)),
    ...settings,
  });
  rooms.attendWith(recorder.attend);
  const record = await rooms.acquire({ review: 'r', document: 'record' });

  /** A window of a person: its document goes to the server with every edit. */
  const open = async (person: string, document: 'notes' | 'scenes', role: Role = 'animator') => {
    const room = await rooms.acquire({ review: 'r', document });
    const line = { bufferedAmount: 0, send: () => undefined, close: () => undefined };
    const connection = new Connection(room, { id: person, name: person, ink: 0, role }, line);
    const doc = new Y.Doc();
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(room.doc));
    doc.on('update', (update: Uint8Array) => connection.receive(updateFrame(update)));
    const close = (): void => {
      connection.leave();
      rooms.release(room);
    };
    return { doc, close };
  };
  return { clock, rooms, recorder, record: record.doc, log, open };
}

export const timeAt = (clock: ManualClock): string => new Date(clock.now()).toISOString();
/** When promises that were kept have run on. */
export const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
