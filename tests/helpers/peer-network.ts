import SqliteDatabase, { type Database } from 'better-sqlite3';
import { createDecoder, readVarString, readVarUint } from 'lib0/decoding';
import { createEncoder, length, toUint8Array, writeVarUint } from 'lib0/encoding';
import { messageYjsUpdate, readSyncMessage, writeSyncStep1, writeUpdate } from 'y-protocols/sync';
import * as Y from 'yjs';
import type { Person } from '../../core/document/index.ts';
import { type DocumentName, MESSAGE_REFUSED, MESSAGE_SAVED } from '../../core/protocol/index.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { WalSync } from '../../server/storage/wal-sync.ts';
import { Connection } from '../../server/sync/connection.ts';
import type { Room } from '../../server/sync/room.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { Vouchers } from '../../server/sync/vouchers.ts';
import { RecentUpdates } from '../../web/session/recent-updates.ts';
import { KeptLog } from './kept-log.ts';
import { ManualClock } from './manual-clock.ts';
import { memoryDatabase } from './memory-store.ts';
import { random } from './random.ts';
import { barrierFrame } from './sync-client.ts';

const MESSAGE_SYNC = 0;
const NETWORK = 'network';

/** One person's document and its line to the server; frames wait until the script delivers them. */
interface Peer {
  readonly doc: Y.Doc;
  readonly person: Person;
  connection: Connection | null;
  room: Room | null;
  toServer: Uint8Array[];
  toPeer: Uint8Array[];
  /** Edits so far, and how many of them the server has said to have on disk. */
  edits: number;
  savedEdits: number;
  /** Own clock after each edit. */
  readonly clocks: number[];
  /** On this connection the server has asked what it misses, and was answered. */
  answered: boolean;
  readonly recent: RecentUpdates;
}

export interface Network {
  readonly docs: readonly Y.Doc[];
  /** How much of a peer's own work the server has said to have on disk, as a Yjs clock. */
  savedClock(peer: number): number;
  /** Lets a peer edit its own document; the edit and a barrier behind it wait in its line. */
  edit(peer: number, change: (doc: Y.Doc) => void): void;
  /** Delivers a few waiting frames, in an order drawn from the seed. */
  deliver(count: number): Promise<void>;
  /** Delivers everything and lets updates be written, while the disk does not end a sync. */
  travel(): Promise<void>;
  /** Cuts a peer off; what was under way is lost. */
  partition(peer: number): void;
  /** Connects a peer again. */
  heal(peer: number): Promise<void>;
  /** Kills the server: what was not in the log is lost, everybody is cut off. */
  crash(): void;
  /** Cuts the server's power: what was not on disk is lost, everybody is cut off. */
  cutPower(): void;
  /** Delivers everything and lets commits happen until nothing is under way. */
  settle(): Promise<void>;
  /** The document as the server would read it back. */
  readBack(): Promise<Y.Doc>;
}

/**
 * `count` peers and the real server parts (rooms, gate, connections, log) in one process, joined by a
 * scripted network. The same seed gives the same run.
 * @param options.repeats share of frames that are delivered once more
 */
export async function network(
  count: number,
  {
    seed,
    document = 'scenes',
    repeats = 0,
  }: { seed: number; document?: DocumentName; repeats?: number },
): Promise<Network> {
  const draw = random(seed);
  const key = { review: 'net', document };
  const vouchers = new Vouchers('secret', `seed ${seed}`);
  let clock = new ManualClock();
  let disk = new SlowDisk(memoryDatabase());
  let rooms = open();
  const peers = Array.from({ length: count }, (_, index) => makePeer(index));
  for (const peer of peers) await connect(peer);

  function open(): Rooms {
    const log = new KeptLog();
    const { database } = disk;
    return new Rooms(new SqliteUpdateStore(database, clock, log, disk), log, vouchers);
  }

  /** A new program; the old clock never moves again, so what waited for a commit never gets one. */
  function startAnew(): void {
    for (const peer of peers) disconnect(peer);
    clock = new ManualClock();
    rooms = open();
  }

  async function connect(peer: Peer): Promise<void> {
    if (peer.connection !== null) return;
    peer.room = await rooms.acquire(key);
    peer.connection = new Connection(peer.room, peer.person, {
      bufferedAmount: 0,
      send: (frame) => peer.toPeer.push(frame),
      close: () => disconnect(peer),
    });
    const recent = peer.recent.message();
    if (recent !== null) peer.toServer.push(recent);
    const encoder = createEncoder();
    writeVarUint(encoder, MESSAGE_SYNC);
    writeSyncStep1(encoder, peer.doc);
    peer.toServer.push(toUint8Array(encoder));
  }

  function disconnect(peer: Peer): void {
    if (peer.connection === null) return;
    peer.connection.leave();
    if (peer.room !== null) rooms.release(peer.room);
    Object.assign(peer, {
      connection: null,
      room: null,
      toServer: [],
      toPeer: [],
      answered: false,
    });
  }

  /** Delivers one frame of one line. False when no line has any. */
  function deliverOne(): boolean {
    const lines = peers.flatMap((peer) => [
      ...(peer.toServer.length > 0 ? [{ peer, up: true }] : []),
      ...(peer.toPeer.length > 0 ? [{ peer, up: false }] : []),
    ]);
    const line = lines[Math.floor(draw() * lines.length)];
    if (line === undefined) return false;
    const queue = line.up ? line.peer.toServer : line.peer.toPeer;
    const frame = queue.shift();
    if (frame === undefined) return false;
    // Now and then a frame comes once more later, as after a reconnect whose answer repeats it.
    if (draw() < repeats) queue.splice(Math.floor(draw() * (queue.length + 1)), 0, frame);
    if (line.up) line.peer.connection?.receive(frame);
    else receiveAtPeer(line.peer, frame);
    return true;
  }

  return {
    docs: peers.map(({ doc }) => doc),
    savedClock: (index) => {
      const peer = peers[index];
      return peer?.clocks[peer.savedEdits - 1] ?? 0;
    },
    edit: (index, change) => {
      const peer = peers[index];
      if (peer === undefined) throw new RangeError(`there is no peer ${index}`);
      change(peer.doc);
      peer.edits += 1;
      peer.clocks.push(Y.getState(peer.doc.store, peer.doc.clientID));
      // Before that a barrier would speak of this edit alone, not of those made while cut off.
      if (peer.answered) peer.toServer.push(barrierFrame(peer.edits));
    },
    deliver: async (frames) => {
      for (let delivered = 0; delivered < frames; delivered++) deliverOne();
      if (draw() < 0.5) clock.advance(10);
      await turn();
      if (draw() < 0.3) disk.finish();
      await turn();
    },
    travel: async () => {
      while (deliverOne());
      clock.advance(10);
      await turn();
    },
    partition: (index) => {
      const peer = peers[index];
      if (peer !== undefined) disconnect(peer);
    },
    heal: async (index) => {
      const peer = peers[index];
      if (peer !== undefined) await connect(peer);
    },
    crash: () => {
      disk = new SlowDisk(disk.database);
      startAnew();
    },
    cutPower: () => {
      disk = new SlowDisk(disk.afterPowerCut());
      startAnew();
    },
    settle: async () => {
      for (let rounds = 0; rounds < 1000; rounds++) {
        let moved = false;
        while (deliverOne()) moved = true;
        clock.advance(10);
        await turn();
        disk.finish();
        await turn();
        if (!moved && peers.every(isQuiet)) return;
      }
      throw new Error(`seed ${seed}: the network does not come to rest`);
    },
    readBack: async () => {
      return (await open().acquire(key)).doc;
    },
  };
}

const isQuiet = ({ toServer, toPeer }: Peer): boolean =>
  toServer.length === 0 && toPeer.length === 0;

/** A disk that has what was written only when the script says so, and a database before it. */
class SlowDisk extends WalSync {
  readonly database: Database;
  #kept: Buffer;
  #underWay: { readonly image: Buffer; readonly resolve: () => void } | null = null;

  constructor(database: Database) {
    super(database);
    this.database = database;
    this.#kept = database.serialize();
  }

  override lightly(transaction: () => void): boolean {
    transaction();
    return true;
  }

  override sync(): Promise<void> {
    const image = this.database.serialize();
    return new Promise((resolve) => {
      this.#underWay = { image, resolve };
    });
  }

  /** Lets the sync that is under way end. */
  finish(): void {
    const { image = this.#kept, resolve } = this.#underWay ?? {};
    this.#underWay = null;
    this.#kept = image;
    resolve?.();
  }

  /** What is there after a power cut. */
  afterPowerCut(): Database {
    return new SqliteDatabase(this.#kept);
  }
}

/** Lets promises that are due run; timers of the manual clock do not. */
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

function makePeer(index: number): Peer {
  const doc = new Y.Doc();
  doc.clientID = 1000 + index;
  const peer: Peer = {
    doc,
    person: { id: `person-${index}`, name: `Person ${index}`, ink: index % 12, role: 'animator' },
    ...{ connection: null, room: null, toServer: [], toPeer: [] },
    ...{ edits: 0, savedEdits: 0, clocks: [], answered: false },
    recent: new RecentUpdates(),
  };
  doc.on('update', (update: Uint8Array, origin: unknown) => {
    if (origin === NETWORK || peer.connection === null) return;
    peer.recent.went(update);
    const encoder = createEncoder();
    writeVarUint(encoder, MESSAGE_SYNC);
    writeUpdate(encoder, update);
    peer.toServer.push(toUint8Array(encoder));
  });
  return peer;
}

function receiveAtPeer(peer: Peer, frame: Uint8Array): void {
  const decoder = createDecoder(frame);
  const type = readVarUint(decoder);
  if (type === MESSAGE_REFUSED) {
    throw new Error(`an honest edit was refused: ${readVarString(decoder)}`);
  }
  if (type === MESSAGE_SAVED) peer.savedEdits = Math.max(peer.savedEdits, readVarUint(decoder));
  if (type !== MESSAGE_SYNC) return;
  if (readVarUint(createDecoder(frame.subarray(decoder.pos))) === messageYjsUpdate) {
    peer.recent.came(frame);
  }
  const encoder = createEncoder();
  writeVarUint(encoder, MESSAGE_SYNC);
  readSyncMessage(decoder, encoder, peer.doc, NETWORK);
  if (length(encoder) === 1) return;
  peer.toServer.push(toUint8Array(encoder), barrierFrame(peer.edits));
  peer.answered = true;
}
