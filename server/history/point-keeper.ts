import * as Y from 'yjs';
import { boardMaps, readDrafts, readShots } from '../../core/document/index.ts';
import { withReadings } from '../calls/hidden-readings.ts';
import type { Clock } from '../clock.ts';
import type { Log } from '../log.ts';
import type { CallStore } from '../storage/call-store.ts';
import type { Point, PointStore } from '../storage/point-store.ts';
import { personOf } from '../sync/person-of.ts';
import type { Room } from '../sync/room.ts';
import type { Rooms } from '../sync/rooms.ts';

/** Work goes on for at most this long before there is another point to go back to. */
export const POINT_EVERY_MS = 3600 * 1000;

/**
 * Keeps points of reviews while people work: before the first change of every hour, so that an hour
 * without changes costs nothing, and after every sign-off.
 */
export class PointKeeper {
  readonly #points: PointStore;
  readonly #rooms: Rooms;
  readonly #calls: Pick<CallStore, 'keptOf'>;
  readonly #clock: Clock;
  readonly #log: Log;
  readonly #underWay = new Set<Promise<unknown>>();

  constructor(deps: {
    points: PointStore;
    rooms: Rooms;
    calls: Pick<CallStore, 'keptOf'>;
    clock: Clock;
    log: Log;
  }) {
    this.#calls = deps.calls;
    this.#points = deps.points;
    this.#rooms = deps.rooms;
    this.#clock = deps.clock;
    this.#log = deps.log;
  }

  /** To be attached to every room. */
  attend(room: Room): void {
    if (room.key.document !== 'scenes') return;
    const newest = this.#points.list(room.key.review)[0];
    let last = newest === undefined ? Number.NEGATIVE_INFINITY : Date.parse(newest.at);
    const { doc } = room;
    doc.on('beforeTransaction', ({ origin }: Y.Transaction) => {
      if (personOf(origin) === null || this.#clock.now() - last < POINT_EVERY_MS) return;
      last = this.#clock.now();
      // Read now, before the change; where nothing has been drawn there is nothing to go back to.
      if (readDrafts(doc).length > 0) this.#start(room, { why: 'hour', shot: null });
    });
    let before = signedOff(doc);
    const look = (_event: unknown, { origin }: Y.Transaction): void => {
      const now = signedOff(doc);
      const fresh = [...now].filter((shot) => !before.has(shot));
      before = now;
      if (personOf(origin) === null) return;
      for (const shot of fresh) this.#start(room, { why: 'signed-off', shot });
      if (fresh.length > 0) last = this.#clock.now();
    };
    for (const map of boardMaps(doc)) map.observe(look);
  }

  /** Keeps a point of a review as it is now. */
  async take(review: string): Promise<Point> {
    const point = await this.#rooms.with({ review, document: 'scenes' }, (room) =>
      this.#keep(review, { why: 'asked', shot: null }, Y.encodeStateAsUpdate(room.doc)),
    );
    if (point === null) throw new Error('a point that was asked for is always kept');
    return point;
  }

  /** Resolves when the points that are being kept are on disk. */
  async settled(): Promise<void> {
    await Promise.allSettled([...this.#underWay]);
  }

  #start({ doc, key }: Room, about: Pick<Point, 'why' | 'shot'>): void {
    const keeping = this.#keep(key.review, about, Y.encodeStateAsUpdate(doc))
      // A point is a help, not a condition: work goes on without it.
      .catch((cause: unknown) => this.#log.problem('A point of a review was not kept.', cause))
      .finally(() => this.#underWay.delete(keeping));
    this.#underWay.add(keeping);
  }

  async #keep(
    review: string,
    about: Pick<Point, 'why' | 'shot'>,
    scenes: Uint8Array,
  ): Promise<Point | null> {
    const state = (document: 'notes' | 'record'): Promise<Uint8Array> =>
      this.#rooms.with({ review, document }, (room) => Y.encodeStateAsUpdate(room.doc));
    const [notes, record] = [await state('notes'), await state('record')];
    // What is hidden for a call belongs to the review: who comes back here years later has no call to show.
    const whole = withReadings({ scenes, notes, record }, (call) =>
      this.#calls.keptOf({ review, call }),
    );
    return this.#points.add(review, about, whole);
  }
}

const signedOff = (doc: Y.Doc): Set<string> =>
  new Set(
    readShots(doc)
      .filter(({ state }) => state === 'signed-off')
      .map(({ id }) => id),
  );
