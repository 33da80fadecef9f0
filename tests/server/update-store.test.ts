import { join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { shouldCompact, shouldCompactLeft } from '../../server/storage/compaction.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import type { DocumentKey } from '../../server/storage/update-store.ts';
import { WalSync } from '../../server/storage/wal-sync.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { temporaryFolder } from '../helpers/served.ts';
import { type StoreUnderTest, updateStoreContract } from '../helpers/update-store-contract.ts';

const KEY: DocumentKey = { review: 'r', document: 'scenes' };

function openInMemory(database = memoryDatabase()): StoreUnderTest {
  const clock = new ManualClock();
  const store = new SqliteUpdateStore(database, clock, new KeptLog());
  return { store, clock, reopen: () => openInMemory(database) };
}

function openOnFile(file = join(temporaryFolder(), 'log.sqlite')): StoreUnderTest {
  const database = openDatabase(file);
  const clock = new ManualClock();
  const store = new SqliteUpdateStore(database, clock, new KeptLog());
  onTestFinished(() => {
    database.close();
  });
  return {
    store,
    clock,
    reopen: () => {
      database.close();
      return openOnFile(file);
    },
  };
}

describe('the update log in memory', () => updateStoreContract(() => openInMemory()));
describe('the update log in a file', () => updateStoreContract(() => openOnFile()));

describe('a row whose bytes have rotted', () => {
  const rot = (database: Database, table: string): unknown =>
    database.prepare(`UPDATE ${table} SET bytes = x'00ff'`).run();

  it('is put into quarantine and reported; the rest is read', async () => {
    const database = memoryDatabase();
    const log = new KeptLog();
    const store = new SqliteUpdateStore(database, new ManualClock(), log);
    void store.append(KEY, Uint8Array.of(1));
    await store.load(KEY);
    rot(database, 'update_log');
    void store.append(KEY, Uint8Array.of(2));
    const stored = await store.load(KEY);
    expect(stored.quarantined).toBe(1);
    expect(stored.updates.map(({ bytes }) => [...bytes])).toEqual([[2]]);
    expect(log.problems).toEqual([
      'Row 1 (update) of r/scenes was put into quarantine: its checksum does not fit its bytes. The rest was loaded.',
    ]);
    expect(database.prepare('SELECT kind, seq, bytes FROM quarantine').all()).toEqual([
      { kind: 'update', seq: 1, bytes: Buffer.from([0, 255]) },
    ]);
  });

  it('may be a snapshot too', async () => {
    const database = memoryDatabase();
    const store = new SqliteUpdateStore(database, new ManualClock(), new KeptLog());
    void store.append(KEY, Uint8Array.of(1));
    await store.compact(KEY, Uint8Array.of(5));
    rot(database, 'snapshots');
    void store.append(KEY, Uint8Array.of(2));
    const stored = await store.load(KEY);
    expect(stored).toMatchObject({ snapshot: null, quarantined: 1 });
    expect(stored.updates).toHaveLength(1);
    expect(await store.load(KEY)).toMatchObject({ snapshot: null, quarantined: 0 });
  });
});

describe('a commit that fails', () => {
  it('rejects every update of the tick and leaves none of it', async () => {
    const database = memoryDatabase();
    const clock = new ManualClock();
    const log = new KeptLog();
    const store = new SqliteUpdateStore(database, clock, log);
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON documents WHEN new.review = 'full'
      BEGIN SELECT raise(ABORT, 'disk full'); END`);
    const good = store.append(KEY, Uint8Array.of(1));
    const bad = store.append({ ...KEY, review: 'full' }, Uint8Array.of(2));
    clock.advance(10);
    for (const { written, durable } of [good, bad]) {
      await expect(written).rejects.toThrow('disk full');
      await expect(durable).rejects.toThrow('disk full');
    }
    expect((await store.load(KEY)).updates).toEqual([]);
    expect(log.problems.join()).toMatch(/could not be committed/);
    // A document that was new in it is numbered once more.
    void store.append(KEY, Uint8Array.of(3));
    expect((await store.load(KEY)).updates.map(({ bytes }) => [...bytes])).toEqual([[3]]);
  });
});

const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** A disk that answers when and what a test says. */
class ToldDisk extends WalSync {
  readonly asked: { take(): void; refuse(): void }[] = [];

  override sync(): Promise<void> {
    return new Promise((resolve, reject) => {
      this.asked.push({ take: resolve, refuse: () => reject(new Error('EIO')) });
    });
  }
}

describe('a disk that takes its time', () => {
  async function onToldDisk() {
    const database = openDatabase(join(temporaryFolder(), 'told.sqlite'));
    onTestFinished(() => {
      database.close();
    });
    const disk = new ToldDisk(database);
    const clock = new ManualClock();
    const log = new KeptLog();
    const store = new SqliteUpdateStore(database, clock, log, disk);
    // The first commit of a process waits for the disk in the commit itself.
    const first = store.append(KEY, Uint8Array.of(1));
    clock.advance(10);
    await first.durable;
    return { clock, disk, log, store };
  }

  it('is waited for before anything is durable; what is written meanwhile goes together after it', async () => {
    const { clock, disk, store } = await onToldDisk();
    const [written, durable]: [number[], number[]] = [[], []];
    const append = (byte: number): Promise<void> => {
      const appended = store.append(KEY, Uint8Array.of(byte));
      void appended.written.then(() => written.push(byte));
      const kept = appended.durable.then(() => void durable.push(byte));
      clock.advance(10);
      return kept;
    };
    const second = append(2);
    const [third, fourth] = [append(3), append(4)];
    await settled();
    expect(disk.asked).toHaveLength(1);
    expect([written, durable]).toEqual([[2, 3, 4], []]);
    disk.asked[0]?.take();
    await second;
    await settled();
    expect(durable).toEqual([2]);
    expect(disk.asked).toHaveLength(2);
    disk.asked[1]?.take();
    await Promise.all([third, fourth]);
    expect((await store.load(KEY)).updates.map(({ bytes }) => [...bytes])).toEqual([
      ...[[1], [2], [3], [4]],
    ]);
  });

  it('is not left far behind: what comes later is written once it is durable', async () => {
    const { clock, disk, store } = await onToldDisk();
    store.append(KEY, Uint8Array.of(2));
    clock.advance(10);
    clock.advance(5000);
    const late = store.append(KEY, Uint8Array.of(3));
    const told: string[] = [];
    void late.written.then(() => told.push('written'));
    clock.advance(10);
    await settled();
    expect(told).toEqual([]);
    disk.asked[0]?.take();
    await settled();
    expect(told).toEqual([]);
    disk.asked[1]?.take();
    await late.durable;
    await settled();
    expect(told).toEqual(['written']);
  });

  it('and refuses: nothing is durable, and nobody reads what may be lost until it is on disk', async () => {
    const { clock, disk, log, store } = await onToldDisk();
    let calledBack = 0;
    store.whenRoom(() => {
      calledBack += 1;
    });
    const second = store.append(KEY, Uint8Array.of(2));
    clock.advance(10);
    disk.asked[0]?.refuse();
    await expect(second.durable).rejects.toThrow('EIO');
    expect(store.isFull).toBe(true);
    await expect(store.load(KEY)).rejects.toThrow('the disk did not take');
    expect(log.problems.join()).toMatch(/The disk did not take a group of updates/);
    // The next try copies the log into the database, which syncs it by itself.
    clock.advance(2000);
    expect([store.isFull, calledBack]).toEqual([false, 1]);
    expect((await store.load(KEY)).updates).toHaveLength(2);
  });
});

describe('the rule of compaction', () => {
  it('waits for 64 KB of log, and for half of the last snapshot', () => {
    expect(shouldCompact(64 * 1024, 0)).toBe(false);
    expect(shouldCompact(64 * 1024 + 1, 0)).toBe(true);
    expect(shouldCompact(100_000, 400_000)).toBe(false);
    expect(shouldCompact(200_001, 400_000)).toBe(true);
  });

  it('asks for less of a document that everybody has left', () => {
    expect(shouldCompactLeft(16 * 1024, 0)).toBe(false);
    expect(shouldCompactLeft(16 * 1024 + 1, 0)).toBe(true);
    expect(shouldCompactLeft(50_000, 400_000)).toBe(false);
    expect(shouldCompactLeft(50_001, 400_000)).toBe(true);
  });
});
