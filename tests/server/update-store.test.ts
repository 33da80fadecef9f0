import { join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { shouldCompact } from '../../server/storage/compaction.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import type { DocumentKey } from '../../server/storage/update-store.ts';
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
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON update_log WHEN new.review = 'full'
      BEGIN SELECT raise(ABORT, 'disk full'); END`);
    const good = store.append(KEY, Uint8Array.of(1));
    const bad = store.append({ ...KEY, review: 'full' }, Uint8Array.of(2));
    clock.advance(10);
    await expect(good).rejects.toThrow('disk full');
    await expect(bad).rejects.toThrow('disk full');
    expect((await store.load(KEY)).updates).toEqual([]);
    expect(log.problems.join()).toMatch(/could not be committed/);
  });
});

describe('the rule of compaction', () => {
  it('waits for 64 KB of log, and for half of the last snapshot', () => {
    expect(shouldCompact(64 * 1024, 0)).toBe(false);
    expect(shouldCompact(64 * 1024 + 1, 0)).toBe(true);
    expect(shouldCompact(100_000, 400_000)).toBe(false);
    expect(shouldCompact(200_001, 400_000)).toBe(true);
  });
});
