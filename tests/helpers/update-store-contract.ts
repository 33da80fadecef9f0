import { expect, it } from 'vitest';
import type { DocumentKey, UpdateStore } from '../../server/storage/update-store.ts';
import type { ManualClock } from './manual-clock.ts';

export interface StoreUnderTest {
  readonly store: UpdateStore;
  readonly clock: ManualClock;
  /** A new store on the same storage, as after the process was killed: what waited is lost. */
  reopen(): StoreUnderTest;
}

const SCENES: DocumentKey = { review: 'r', document: 'scenes' };
const NOTES: DocumentKey = { review: 'r', document: 'notes' };
const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values);
const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** Longer than any store lets a batch wait. */
const TICK_MS = 50;

/** What every UpdateStore must do. */
export function updateStoreContract(open: () => StoreUnderTest): void {
  it('reads back what was appended, in order and by document', async () => {
    const { store } = open();
    void store.append(SCENES, bytes(1));
    void store.append(NOTES, bytes(9));
    void store.append(SCENES, bytes(2, 2));
    const scenes = await store.load(SCENES);
    expect(scenes.snapshot).toBeNull();
    expect(scenes.updates.map((update) => [...update.bytes])).toEqual([[1], [2, 2]]);
    expect((await store.load(NOTES)).updates).toHaveLength(1);
    expect((await store.load({ ...SCENES, review: 'other' })).updates).toEqual([]);
  });

  it('says durable only after the commit, and then for all of the tick together', async () => {
    const { store, clock } = open();
    let durable = 0;
    const count = (): void => {
      durable += 1;
    };
    const first = store.append(SCENES, bytes(1)).durable.then(count);
    const second = store.append(NOTES, bytes(2)).durable.then(count);
    await settled();
    expect(durable).toBe(0);
    clock.advance(TICK_MS);
    await Promise.race([first, second]);
    await settled();
    expect(durable).toBe(2);
  });

  it('has after a kill what was durable, and not what was waiting', async () => {
    const first = open();
    void first.store.append(SCENES, bytes(1));
    first.clock.advance(TICK_MS);
    void first.store.append(SCENES, bytes(2));
    const { store } = first.reopen();
    expect((await store.load(SCENES)).updates.map((update) => [...update.bytes])).toEqual([[1]]);
  });

  it('replaces the log by a snapshot, with what was waiting inside it', async () => {
    const first = open();
    void first.store.append(SCENES, bytes(1));
    const last = first.store.append(SCENES, bytes(2));
    void first.store.append(NOTES, bytes(7));
    await first.store.compact(SCENES, bytes(12));
    await last.durable;
    void first.store.append(SCENES, bytes(3));
    first.clock.advance(TICK_MS);
    const { store } = first.reopen();
    const stored = await store.load(SCENES);
    expect([...(stored.snapshot ?? [])]).toEqual([12]);
    expect(stored.updates.map((update) => [...update.bytes])).toEqual([[3]]);
    expect((await store.load(NOTES)).updates).toHaveLength(1);
  });

  it('keeps only the newest snapshot', async () => {
    const { store } = open();
    void store.append(SCENES, bytes(1));
    await store.compact(SCENES, bytes(11));
    void store.append(SCENES, bytes(2));
    await store.compact(SCENES, bytes(12));
    const stored = await store.load(SCENES);
    expect([...(stored.snapshot ?? [])]).toEqual([12]);
    expect(stored.updates).toEqual([]);
  });

  it('takes a row out of the log when told to, and keeps the others', async () => {
    const { store } = open();
    for (const value of [1, 2, 3]) void store.append(SCENES, bytes(value));
    const [, second] = (await store.load(SCENES)).updates;
    await store.quarantine(SCENES, second!, 'it cannot be applied');
    const left = (await store.load(SCENES)).updates.map((update) => [...update.bytes]);
    expect(left).toEqual([[1], [3]]);
  });

  it('commits what is waiting when it closes', async () => {
    const first = open();
    const { durable } = first.store.append(SCENES, bytes(1));
    await first.store.close();
    await durable;
    expect((await first.reopen().store.load(SCENES)).updates).toHaveLength(1);
  });
}
