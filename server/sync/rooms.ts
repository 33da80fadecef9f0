import { CLOSE } from '../../core/protocol/index.ts';
import type { Log } from '../log.ts';
import { type DocumentKey, keyText, type UpdateStore } from '../storage/update-store.ts';
import { Room, type RoomDeps } from './room.ts';
import { Vouchers } from './vouchers.ts';

interface Entry {
  readonly room: Promise<Room>;
  /** How many connections, routes and other rooms need it. */
  holds: number;
  /** Resolves when the room has left memory. */
  readonly gone: Promise<void>;
  readonly forget: () => void;
}

/** What is attached to a room while it is in memory. @returns what to do when it leaves */
export type Attendant = (room: Room) => Promise<() => void>;

/**
 * The rooms that are in memory. A document is loaded once, however many ask for it at the same time,
 * and leaves memory when nobody needs it and everything in it is on disk.
 */
export class Rooms {
  readonly #deps: RoomDeps;
  readonly #entries = new Map<string, Entry>();
  #attend: Attendant = async () => () => undefined;

  constructor(store: UpdateStore, log: Log, vouchers = Vouchers.atRandom()) {
    this.#deps = { store, log, vouchers };
    store.whenRoom(() => void this.#callBack());
  }

  /** Sets what is attached to each room before anybody joins it. */
  attendWith(attend: Attendant): void {
    this.#attend = attend;
  }

  /** Keys of the rooms in memory. */
  get open(): string[] {
    return [...this.#entries.keys()];
  }

  /**
   * Gives a room, loading it if need be. Whoever acquires it must release it once.
   * Rejects when it cannot be loaded.
   */
  async acquire(key: DocumentKey): Promise<Room> {
    const text = keyText(key);
    for (;;) {
      const entry = this.#entries.get(text) ?? this.#load(key);
      entry.holds += 1;
      const room = await entry.room;
      if (!room.isBroken) return room;
      this.#drop(text, entry);
      await entry.gone;
    }
  }

  /** Keeps a room that is in memory there until it is released once more. */
  hold({ key }: Room): void {
    const entry = this.#entries.get(keyText(key));
    if (entry !== undefined) entry.holds += 1;
  }

  /** Gives a room back. */
  release({ key }: Room): void {
    const text = keyText(key);
    const entry = this.#entries.get(text);
    if (entry !== undefined) this.#drop(text, entry);
  }

  /** Runs `use` with a room that is held meanwhile. */
  async with<T>(key: DocumentKey, use: (room: Room) => T | Promise<T>): Promise<T> {
    const room = await this.acquire(key);
    try {
      return await use(room);
    } finally {
      this.release(room);
    }
  }

  /** All rooms that are loaded or being loaded; those that fail to load are left out. */
  async all(): Promise<Room[]> {
    const settled = await Promise.allSettled([...this.#entries.values()].map(({ room }) => room));
    return settled.flatMap((result) => (result.status === 'fulfilled' ? [result.value] : []));
  }

  /** There is room again: those who have work that was not taken bring it once more. */
  async #callBack(): Promise<void> {
    for (const room of await this.all()) {
      for (const connection of [...room.connections]) {
        if (connection.isHeld) connection.close(CLOSE.comeBack, 'there is room again');
      }
    }
  }

  #load(key: DocumentKey): Entry {
    const text = keyText(key);
    let forget: () => void = () => undefined;
    const gone = new Promise<void>((resolve) => {
      forget = resolve;
    });
    let detach: () => void = () => undefined;
    const room = Room.load(key, this.#deps).then(async (loaded) => {
      detach = await this.#attend(loaded);
      return loaded;
    });
    const entry: Entry = { room, holds: 0, gone, forget: () => [detach(), forget()] };
    this.#entries.set(text, entry);
    room.catch(() => {
      // Whoever waits is told by the rejection; the next one tries anew.
      this.#entries.delete(text);
      forget();
    });
    return entry;
  }

  #drop(text: string, entry: Entry): void {
    entry.holds -= 1;
    if (entry.holds > 0) return;
    entry.room.then(
      (room) => this.#unload(text, entry, room),
      () => undefined,
    );
  }

  async #unload(text: string, entry: Entry, room: Room): Promise<void> {
    while (!room.isDurable) await room.durable.catch(() => undefined);
    // Somebody may have come while the last updates were committed.
    if (entry.holds > 0 || this.#entries.get(text) !== entry) return;
    room.tidyUp();
    this.#entries.delete(text);
    room.doc.destroy();
    entry.forget();
  }
}
