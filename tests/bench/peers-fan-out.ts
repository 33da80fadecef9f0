import * as Y from 'yjs';
import { BareClient, cpuMs, type ServerUnderLoad } from './peers-kit.ts';
import { later, roomsOn } from './peers-rooms.ts';

const WARM_UP_MS = 4000;
const MEASURED_MS = 3000;
const ROOT = 'draft:bench';

/** Who sends how much to whom: the same in each of some rooms. */
export interface Load {
  readonly rooms: number;
  /** Writers of a room, each with an edit every `everyMs`. */
  readonly writers: number;
  readonly readers: number;
  readonly everyMs: number;
}

export interface FanOut {
  /** Milliseconds from sending an edit to a reader's getting it. */
  readonly p50: number;
  readonly p99: number;
  /** Processor time for a second of this load, as a share of one processor, %. */
  readonly cpu: number;
  /** Frames that readers got, a second. */
  readonly frames: number;
  /** Edits that had not reached a reader a second after the end. */
  readonly missing: number;
}

export async function fanOut(server: ServerUnderLoad, load: Load): Promise<FanOut> {
  const { writing, reading } = await openAll(server, load);
  const sentAt = new Map<string, number>();
  const latencies: number[] = [];
  let measuring = false;
  let frames = 0;
  let sent = 0;
  for (const reader of reading) {
    reader.onUpdate = (update) => {
      if (measuring) frames += 1;
      for (const mark of marksIn(update)) {
        const at = sentAt.get(mark);
        if (at !== undefined) latencies.push(performance.now() - at);
      }
    };
  }
  const makers = writing.map((client, index) => {
    const doc = new Y.Doc();
    doc.on('update', (update: Uint8Array) => client.send(update));
    let n = 0;
    return () => {
      const mark = `${index}:${n++}`;
      if (measuring) {
        sentAt.set(mark, performance.now());
        sent += 1;
      }
      doc.getMap(ROOT).set(`figure/f/w${index}`, `@@${mark}@@`);
    };
  });
  const before = await server.usage();
  const start = performance.now();
  const timers = makers.map((make) => setInterval(make, load.everyMs));
  await later(WARM_UP_MS);
  measuring = true;
  const from = performance.now();
  await later(MEASURED_MS);
  measuring = false;
  for (const timer of timers) clearInterval(timer);
  const [all, wall] = [performance.now() - start, performance.now() - from];
  // What has not arrived by then counts as not delivered; a backlog is not waited for.
  await later(1000);
  const missing = sent * load.readers - latencies.length;
  const after = await server.usage();
  for (const client of [...writing, ...reading]) client.end();
  const sorted = [...latencies].sort((a, b) => a - b);
  const share = (part: number): number => sorted[Math.floor(part * sorted.length)] ?? Number.NaN;
  return {
    p50: share(0.5),
    p99: share(0.99),
    // For all of the load, so that a server that falls behind is not the cheaper for it.
    cpu: (cpuMs(before, after) / all) * 100,
    frames: (frames / wall) * 1000,
    missing,
  };
}

async function openAll(
  server: ServerUnderLoad,
  { rooms, writers, readers }: Load,
): Promise<{ writing: BareClient[]; reading: BareClient[] }> {
  const writing: BareClient[] = [];
  const reading: BareClient[] = [];
  const open = (room: string, cookie: string): BareClient => new BareClient(server, room, cookie);
  if (rooms === 1) {
    // One room of many: no one person may have all of its sockets.
    const cookies = await server.people(Math.ceil((writers + readers) / 50));
    const at = (index: number): string => cookies[index % cookies.length] ?? '';
    for (let index = 0; index < writers; index++) writing.push(open('demo', at(index)));
    for (let index = 0; index < readers; index++) reading.push(open('demo', at(index)));
  } else {
    for (const { room, cookie } of await roomsOn(server, rooms)) {
      for (let index = 0; index < writers; index++) writing.push(open(room, cookie));
      for (let index = 0; index < readers; index++) reading.push(open(room, cookie));
    }
  }
  await Promise.all([...writing, ...reading].map(({ opened }) => opened));
  return { writing, reading };
}

const MARK = Buffer.from('@@');

/** The marks `@@writer:number@@` in an update, wherever they stand. */
function marksIn({ buffer, byteOffset, byteLength }: Uint8Array): string[] {
  const bytes = Buffer.from(buffer, byteOffset, byteLength);
  const marks: string[] = [];
  for (let at = bytes.indexOf(MARK); at !== -1; ) {
    const end = bytes.indexOf(MARK, at + 2);
    if (end === -1) break;
    marks.push(bytes.toString('latin1', at + 2, end));
    at = bytes.indexOf(MARK, end + 2);
  }
  return marks;
}
