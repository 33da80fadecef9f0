import * as Y from 'yjs';
import { awarenessFrame } from '../../server/sync/wire.ts';
import { random } from '../helpers/random.ts';
import { BareClient, ServerUnderLoad } from './peers-kit.ts';
import { later, type Place, roomsOn } from './peers-rooms.ts';
import { flatness } from './soak-flat.ts';

// `npm run soak`: a server at work for half an hour (or as many minutes as its argument says). Windows
// edit, drag, come and go; what the server holds after a collection must not grow. Exits with 1 if it does.
// Each window turns joints of a figure of its own, one for a while and then the next: so the documents
// themselves hardly grow (turns of one joint in a row merge), and what grows is the server's fault. What
// a document grows by at worst is measured in sync.bench.ts.

const SEED = 404;
const ROOMS = 12;
const WRITERS = 3;
const DEFAULT_MINUTES = 30;
const EDIT_MS = 100;
const VISIT_MS = 2000;
const SAMPLES = 60;
const JOINTS = 40;
const TURNS_IN_A_ROW = 100;

const minutes = Number(process.argv[2] ?? process.env.COUNTERLEAN_SOAK_MINUTES ?? DEFAULT_MINUTES);
if (!(minutes > 0 && minutes <= 600)) throw new Error('minutes: a number from 0 to 600');

const draw = random(SEED);

/** A window that edits and drags, and now and then loses its line and comes back with the same document. */
class Window {
  readonly #server: ServerUnderLoad;
  readonly #place: Place;
  readonly #figure: number;
  readonly #doc = new Y.Doc();
  #client: BareClient | null = null;
  #clock = 0;
  edits = 0;
  returns = 0;

  constructor(server: ServerUnderLoad, place: Place, figure: number) {
    this.#server = server;
    this.#figure = figure;
    this.#place = place;
    this.#doc.on('update', (update: Uint8Array) => this.#client?.send(update));
  }

  async come(): Promise<void> {
    const client = new BareClient(this.#server, this.#place.room, this.#place.cookie);
    await client.opened;
    // What it did while its line was down.
    client.send(Y.encodeStateAsUpdate(this.#doc));
    this.#client = client;
    this.returns += 1;
  }

  leave(): void {
    this.#client?.end();
    this.#client = null;
  }

  work(): void {
    const joint = Math.floor(this.edits / TURNS_IN_A_ROW) % JOINTS;
    const key = `figure/${this.#figure}/joint${joint}`;
    this.#doc.getMap('draft:soak').set(key, [draw(), draw(), draw(), draw()]);
    this.edits += 1;
    this.#clock += 1;
    const json = JSON.stringify({ cursor: [draw(), draw()] });
    const entry = { client: this.#doc.clientID, clock: this.#clock, json };
    this.#client?.sendFrame(awarenessFrame([entry]));
  }
}

const server = await ServerUnderLoad.start(await ServerUnderLoad.build(), 'ours');
let isFlat = false;
try {
  const places = await roomsOn(server, ROOMS);
  const windows = places.flatMap((place) =>
    Array.from({ length: WRITERS }, (_, index) => new Window(server, place, index)),
  );
  await Promise.all(windows.map((window) => window.come()));
  const working = setInterval(() => {
    for (const window of windows) if (draw() < 0.3) window.work();
  }, EDIT_MS);
  let swapping: Promise<void> = Promise.resolve();
  const visiting = setInterval(() => {
    // All windows of one room: it is left by everybody, and read back when they return.
    const room = Math.floor(draw() * ROOMS);
    const own = windows.slice(room * WRITERS, (room + 1) * WRITERS);
    swapping = swapping.then(async () => {
      for (const window of own) window.leave();
      await later(VISIT_MS / 2);
      await Promise.all(own.map((window) => window.come()));
    });
  }, VISIT_MS);
  const held: number[] = [];
  const step = (minutes * 60_000) / SAMPLES;
  for (let sample = 1; sample <= SAMPLES; sample++) {
    await later(step);
    const usage = await server.usage(true);
    held.push(usage.held / 1e6);
    const edits = windows.reduce((sum, window) => sum + window.edits, 0);
    const at = ((sample * step) / 60_000).toFixed(2).padStart(6);
    console.log(`${at} min  ${(usage.held / 1e6).toFixed(2).padStart(7)} MB held  ${edits} edits`);
  }
  clearInterval(working);
  clearInterval(visiting);
  await swapping;
  const found = flatness(held);
  isFlat = found.isFlat;
  const returns = windows.reduce((sum, window) => sum + window.returns, 0) - windows.length;
  console.log(
    `soak: ${minutes} min, ${ROOMS} rooms, ${windows.length} windows, ${returns} returns; held ` +
      `${found.early.toFixed(2)} MB early, ${found.late.toFixed(2)} MB late: ${isFlat ? 'flat' : 'NOT flat'}`,
  );
} finally {
  await server.stop();
}
process.exit(isFlat ? 0 : 1);
