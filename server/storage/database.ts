import { mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import { projectRoot } from '../paths.ts';
import { migrate, readMigrations } from './migrate.ts';

/** Name of a database that lives in memory only. */
export const IN_MEMORY = ':memory:';

/** The database's name in a data folder. */
export const DATABASE_FILE = 'counterlean.sqlite';

/**
 * Opens the database, takes it for this process alone, and brings it to the newest shape.
 * @param file path, or IN_MEMORY
 * @throws Error when another process has it, or a migration fails
 */
export function openDatabase(
  file: string,
  migrations = readMigrations(join(projectRoot(), 'migrations')),
): Database {
  if (file !== IN_MEMORY) mkdirSync(dirname(file), { recursive: true });
  const database = new SqliteDatabase(file, { timeout: 500 });
  try {
    // Two servers on one file would each hold documents in memory that lack the other's updates, and
    // the next compaction would drop those from the log. So the second one does not start.
    database.pragma('locking_mode = EXCLUSIVE');
    database.pragma('journal_mode = WAL');
    // FULL, not NORMAL: in WAL mode NORMAL does not sync the log at a commit, and a power cut could
    // take back what was acknowledged as saved. The cost is one fsync a commit (typically
    // 0.1 to 10 ms). The update log shares it among all updates of a tick and waits for it in
    // another thread (wal-sync.ts).
    database.pragma('synchronous = FULL');
    // The log is copied into the database in the midst of a commit. Four times as rarely as by default
    // costs half as much, because pages that were written many times are copied once; the log may have
    // 16 MB.
    database.pragma('wal_autocheckpoint = 4000');
    database.pragma('foreign_keys = ON');
    migrate(database, migrations);
    // What a program before left in the log may not be on disk yet, though it can be read: from here on
    // all that is read is.
    database.pragma('wal_checkpoint(TRUNCATE)');
    return database;
  } catch (cause) {
    database.close();
    if (cause instanceof Error && /database is locked|SQLITE_BUSY/.test(cause.message)) {
      throw new Error(`another process is using ${file}; stop it, or choose another data folder`, {
        cause,
      });
    }
    throw cause;
  }
}

/** Whether a write failed for want of room: the disk is full, or a quota is used up. */
export const isOutOfRoom = (cause: unknown): boolean =>
  cause instanceof SqliteDatabase.SqliteError &&
  (cause.code === 'SQLITE_FULL' || cause.code === 'SQLITE_IOERR_WRITE');
