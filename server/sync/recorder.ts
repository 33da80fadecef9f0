import { equalityDeep } from 'lib0/function';
import type * as Y from 'yjs';
import type { BalanceReport } from '../../core/balance/index.ts';
import { calledDrafts, callsMap, openCallOn } from '../../core/document/calls.ts';
import { usesCast } from '../../core/document/cast.ts';
import type { Decision } from '../../core/document/decisions.ts';
import { markMaps } from '../../core/document/marks.ts';
import { noteMaps, stateStampKey } from '../../core/document/notes.ts';
import {
  type Recorded,
  readStamp,
  recordMap,
  type Stamp,
  toRecorded,
} from '../../core/document/record.ts';
import { draftEntries, readDraft, readDrafts } from '../../core/document/scenes.ts';
import { SEALED_FIELD } from '../../core/document/seals.ts';
import { SEPARATOR } from '../../core/document/table.ts';
import type { MotionSummary } from '../../core/motion/index.ts';
import type { Kept } from '../calls/hidden-readings.ts';
import { type Clock, type Timer, timeOf } from '../clock.ts';
import type { Log } from '../log.ts';
import type { CallKey } from '../storage/call-store.ts';
import { watchDecisions } from './decisions.ts';
import { personOf } from './person-of.ts';
import { readingOf, UNWEIGHED } from './reading-of.ts';
import type { Room } from './room.ts';
import type { Attendant, Rooms } from './rooms.ts';

/** Weighs a draft as it is stored. May throw or reject where it cannot be weighed. */
export type Weigh = (
  doc: Y.Doc,
  review: string,
  draft: string,
) => BalanceReport | Promise<BalanceReport>;

/** Told what was decided once it is on disk. */
type OnDecided = (review: string, decisions: readonly Decision[]) => void;

/**
 * Weighs every frame of a draft that moves, for the worst of them; null at once for one pose. It may give
 * up, with null, when `isStale` says that the draft is weighed anew.
 */
export type WeighMoving = (
  doc: Y.Doc,
  review: string,
  draft: string,
  isStale: () => boolean,
) => Promise<MotionSummary | null> | null;

/** A draft has settled when nobody has changed it for this long. */
export const SETTLE_MS = 3000;

const DRAFT_ROOT = 'draft:';
const CLIP_FIELD = `${SEPARATOR}clip`;

interface Settling {
  readonly room: Room;
  readonly settle: () => void;
  /** When it will have settled, unless it changes again. */
  due: number;
  timer: Timer;
}

/**
 * Writes what only the server knows into the `record` document of a review: who wrote a note and
 * when, and how a draft balances once it has settled.
 *
 * The record is loaded before `notes` or `scenes` and kept as long as they are, so that a stamp goes
 * into the same commit as the note it belongs to.
 */
export class Recorder {
  readonly #rooms: Rooms;
  readonly #weigh: Weigh;
  readonly #weighMoving: WeighMoving;
  readonly #clock: Clock;
  readonly #log: Log;
  readonly #onDecided: OnDecided;
  readonly #keepHidden: (call: CallKey, kept: Kept) => void;
  readonly #settling = new Map<string, Settling>();
  readonly #underWay = new Set<Promise<void>>();
  /** The newest weighing in motion of each draft: what an earlier one finds is of a draft that has changed. */
  readonly #turns = new Map<string, symbol>();

  constructor(deps: {
    rooms: Rooms;
    weigh: Weigh;
    weighMoving?: WeighMoving;
    clock: Clock;
    log: Log;
    onDecided?: OnDecided;
    keepHidden?: (call: CallKey, kept: Kept) => void;
  }) {
    this.#onDecided = deps.onDecided ?? (() => undefined);
    this.#keepHidden = deps.keepHidden ?? (() => undefined);
    this.#rooms = deps.rooms;
    this.#weigh = deps.weigh;
    this.#weighMoving = deps.weighMoving ?? (() => null);
    this.#clock = deps.clock;
    this.#log = deps.log;
  }

  /** To be attached to every room. */
  readonly attend: Attendant = async (room) => {
    const { review, document } = room.key;
    if (document === 'record') return () => undefined;
    const record = await this.#rooms.acquire({ review, document: 'record' });
    record.whenFailed(() => room.fail());
    let forgetCalls = ignore;
    if (document === 'notes') {
      room.knowHidden((shot) => openCallOn(record.doc, shot) !== null);
      this.#stampNotes(room, record);
    } else {
      forgetCalls = knowCalls(room, record);
      this.#watchDrafts(room, record);
      watchDecisions(room, record, {
        clock: this.#clock,
        onDecided: (review, decisions, onDisk) => {
          // A decision that did not get there has sent everybody away; nobody is told of it.
          this.#wait(onDisk.then(() => this.#onDecided(review, decisions), ignore));
        },
        readingOf: (doc, draft) => this.#readingNow(record, draft, doc),
        keepHidden: ({ id, ...fields }) =>
          this.#hide(record, fields.shot, { decisions: { [id]: fields } }),
      });
    }
    return () => {
      forgetCalls();
      this.#rooms.release(record);
    };
  };

  /** Records the reading of a draft that may have changed while its readings were hidden. */
  weighAgain(scenes: Room, record: Room, draft: string): void {
    const later = this.#recordReading(record, draft, scenes.doc);
    if (later !== null) this.#wait(later);
  }

  /** Weighs every draft that is still settling now, and tells what was decided, as before the server goes down. */
  async settleAll(): Promise<void> {
    for (const { settle } of [...this.#settling.values()]) settle();
    await Promise.all(this.#underWay);
  }

  #stampNotes(notes: Room, record: Room): void {
    const { doc } = notes;
    notes.knowStamps((row) => readStamp(record.doc, row)?.by ?? null);
    for (const map of [...noteMaps(doc), ...markMaps(doc)]) {
      map.observe((event, transaction) => {
        const person = personOf(transaction.origin);
        if (person === null) return;
        const stamp: Stamp = { by: person, at: timeOf(this.#clock) };
        const keys = stampKeys(event);
        if (keys.length === 0) return;
        record.write((target) => {
          const stamps = recordMap(target, 'stamps');
          for (const { key, once } of keys) {
            // A removal that is undone brings the row back: it is still its author's.
            if (!once || !stamps.has(key)) stamps.set(key, stamp);
          }
        });
      });
    }
  }

  #watchDrafts(room: Room, record: Room): void {
    this.#recordSeals(room, record);
    room.whenFailed(() => {
      for (const settling of [...this.#settling.values()]) {
        if (settling.room === room) settling.settle();
      }
    });
    room.doc.on('afterTransaction', ({ changed, doc }: Y.Transaction) => {
      for (const [type, keys] of changed) {
        const root = rootName(doc, type as Y.AbstractType<unknown>);
        if (root === null) continue;
        const settle = (draft: string): void => this.#startSettling(room, record, draft, doc);
        if (root.startsWith(DRAFT_ROOT)) settle(root.slice(DRAFT_ROOT.length));
        else if (root === 'drafts') {
          // A draft that plays a clip may have no scene of its own.
          for (const key of keys) {
            if (key?.endsWith(CLIP_FIELD)) settle(key.slice(0, -CLIP_FIELD.length));
          }
        } else if (root === 'cast') {
          for (const { id } of readDrafts(doc)) if (usesCast(draftEntries(doc, id))) settle(id);
        }
      }
    });
  }

  /** Who sealed a draft and when, with its reading, in the same commit as the seal itself. */
  #recordSeals(scenes: Room, record: Room): void {
    scenes.doc.getMap('drafts').observe(({ changes, target }, { origin }) => {
      const by = personOf(origin);
      if (by === null) return;
      for (const key of changes.keys.keys()) {
        const [draft = '', field] = key.split(SEPARATOR);
        if (field !== SEALED_FIELD || target.get(key) !== true) continue;
        const reading = this.#readingNow(record, draft, scenes.doc);
        const seal = { ...reading, at: timeOf(this.#clock), by };
        const shot = readDraft(scenes.doc, draft)?.shot ?? '';
        const isHidden = this.#hide(record, shot, { seals: { [draft]: seal } });
        const told = isHidden ? { ...seal, ...UNWEIGHED } : seal;
        record.write((doc) => recordMap(doc, 'seals').set(draft, told));
      }
    });
  }

  /** Keeps what tells a reading of a shot until its call is shown. @returns whether one is open */
  #hide(record: Room, shot: string, kept: Kept): boolean {
    const call = openCallOn(record.doc, shot);
    if (call === null) return false;
    this.#keepHidden({ review: record.key.review, call: call.id }, kept);
    return true;
  }

  #startSettling(room: Room, record: Room, draft: string, doc: Y.Doc): void {
    const id = `${room.key.review}/${draft}`;
    const due = this.#clock.now() + SETTLE_MS;
    const earlier = this.#settling.get(id);
    if (earlier !== undefined) {
      // Its timer finds out by itself: a drag would set a new one many times a second.
      earlier.due = due;
      return;
    }
    // The room stays in memory until the draft is weighed, though everybody may have left.
    this.#rooms.hold(room);
    const settle = (): void => {
      const current = this.#settling.get(id);
      if (current === undefined) return;
      this.#clock.cancel(current.timer);
      this.#settling.delete(id);
      const release = (): void => this.#rooms.release(room);
      const later = room.isBroken ? null : this.#recordReading(record, draft, doc);
      if (later === null) release();
      else this.#wait(later.then(release));
    };
    const look = (): void => {
      const left = settling.due - this.#clock.now();
      if (left > 0) settling.timer = this.#clock.after(left, look);
      else settle();
    };
    const settling: Settling = { room, settle, due, timer: this.#clock.after(SETTLE_MS, look) };
    this.#settling.set(id, settling);
  }

  /**
   * Keeps the draft's reading; a promise where more frames than the first are to be weighed. One that is as
   * it was stays with its time.
   */
  #recordReading(record: Room, draft: string, doc: Y.Doc): Promise<void> | null {
    const first = this.#recordFirst(record, draft, doc);
    const moving = (): Promise<void> | null => this.#recordMoving(record, draft, doc);
    return first === null ? moving() : first.then(() => moving() ?? undefined);
  }

  /**
   * Adds the worst of a draft that moves to its reading, unless it is weighed anew meanwhile; the one
   * before stays until then.
   */
  #recordMoving(record: Room, draft: string, doc: Y.Doc): Promise<void> | null {
    const history = recordMap(record.doc, 'history');
    const id = `${record.key.review}/${draft}`;
    const turn = Symbol();
    this.#turns.set(id, turn);
    if (!history.has(draft) || this.#isHidden(record, draft, doc)) return null;
    const isStale = (): boolean => this.#turns.get(id) !== turn;
    const put = (moving: MotionSummary | null): void => {
      if (isStale()) return;
      this.#turns.delete(id);
      const now = toRecorded(history.get(draft));
      if (now === null || this.#isHidden(record, draft, doc)) return;
      const { moving: before, ...reading } = now;
      if (moving === null && before === undefined) return;
      const next = moving === null ? reading : { ...reading, moving };
      if (equalityDeep(now, next)) return;
      record.write((target) => recordMap(target, 'history').set(draft, next));
    };
    const weighing = this.#weighMoving(doc, record.key.review, draft, isStale);
    if (weighing === null) {
      put(null);
      return null;
    }
    return weighing.then(put, (cause) => {
      this.#log.problem('A draft could not be weighed in motion.', cause);
      put(null);
    });
  }

  #recordFirst(record: Room, draft: string, doc: Y.Doc): Promise<void> | null {
    if (draftEntries(doc, draft).size === 0 && readDraft(doc, draft)?.clip == null) {
      record.write((target) => recordMap(target, 'history').delete(draft));
      return null;
    }
    // What is hidden is in no document: it is weighed when the call is shown.
    if (this.#isHidden(record, draft, doc)) return null;
    const keep = (weighed: () => BalanceReport): void => {
      // Its clip may have been read for a while, and a call opened meanwhile.
      if (this.#isHidden(record, draft, doc)) return;
      const before = toRecorded(recordMap(record.doc, 'history').get(draft));
      const reading = readingOf(weighed, this.#clock, this.#log);
      const moving = before?.moving;
      const next = moving === undefined ? reading : { ...reading, moving };
      if (equalityDeep(before, { ...next, at: before?.at })) return;
      record.write((target) => recordMap(target, 'history').set(draft, next));
    };
    const fail = (cause: unknown): void =>
      keep(() => {
        throw cause;
      });
    let report: ReturnType<Weigh>;
    try {
      report = this.#weigh(doc, record.key.review, draft);
    } catch (cause) {
      fail(cause);
      return null;
    }
    if (report instanceof Promise) return report.then((known) => keep(() => known), fail);
    const known = report;
    keep(() => known);
    return null;
  }

  #isHidden(record: Room, draft: string, doc: Y.Doc): boolean {
    const shot = readDraft(doc, draft)?.shot;
    return shot !== undefined && openCallOn(record.doc, shot) !== null;
  }

  /** Remembers what is under way until it is done. */
  #wait(deed: Promise<void>): void {
    const known = deed.finally(() => this.#underWay.delete(known));
    this.#underWay.add(known);
  }

  /**
   * The recorded reading of a draft where it still holds true, else a new one. Of a draft whose clip has
   * to be read first it is the last one that was recorded.
   */
  #readingNow(record: Room, draft: string, doc: Y.Doc): Recorded {
    const isSettling = this.#settling.has(`${record.key.review}/${draft}`);
    const recorded = toRecorded(recordMap(record.doc, 'history').get(draft));
    if (recorded !== null && !isSettling) return recorded;
    if (recorded !== null && readDraft(doc, draft)?.clip != null) return recorded;
    return this.#weighed(record, draft, doc);
  }

  #weighed(record: Room, draft: string, doc: Y.Doc): Recorded {
    const weigh = (): BalanceReport => {
      const report = this.#weigh(doc, record.key.review, draft);
      if (!(report instanceof Promise)) return report;
      report.catch(() => undefined);
      throw new RangeError('The clip of this draft is still being read.');
    };
    return readingOf(weigh, this.#clock, this.#log);
  }
}

/** Tells a room which drafts are called: they are looked up when a call changes, not with every edit. */
function knowCalls(room: Room, record: Room): () => void {
  const calls = callsMap(record.doc);
  let called = calledDrafts(record.doc);
  const look = (): void => {
    called = calledDrafts(record.doc);
  };
  calls.observe(look);
  room.knowCalls(() => called);
  return () => calls.unobserve(look);
}

/**
 * The name of a changed root. One that came with the change and was read for the first time while others
 * looked at it has been made anew by Yjs, with the same entries: they tell that it is the same.
 */
function rootName(doc: Y.Doc, type: Y.AbstractType<unknown>): string | null {
  for (const [name, root] of doc.share) {
    if (root === type || root._map === type._map) return name;
  }
  return null;
}

/** What a change of notes or replies has to be stamped with; `once`: never again. */
function stampKeys({ changes }: Y.YMapEvent<unknown>): { key: string; once: boolean }[] {
  const keys: { key: string; once: boolean }[] = [];
  for (const [key, { action }] of changes.keys) {
    if (action === 'delete') continue;
    const [row = '', field] = key.split(SEPARATOR);
    if (field === undefined) {
      if (action === 'add') keys.push({ key: row, once: true });
    } else if (key === stateStampKey(row) && changes.keys.get(row)?.action !== 'add') {
      // The state that a note is made with is no change of state.
      keys.push({ key, once: false });
    }
  }
  return keys;
}

const ignore = (): void => undefined;
