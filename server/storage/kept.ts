import SqliteDatabase, { type Database } from 'better-sqlite3';

/** What is in a kept database. */
export interface Kept {
  /** Number of the last migration that it has seen. */
  readonly shape: number;
  readonly reviews: number;
}

/**
 * Copies a database that is in use to a new file, a few pages at a time, so that the server goes on
 * meanwhile (SQLite's online backup). What is committed while it copies is in the copy as well.
 */
export async function copyDatabase(database: Database, file: string): Promise<void> {
  await database.backup(file);
}

/**
 * Opens a kept database and reads all of it.
 * @throws Error with one sentence when it is none of ours, is damaged, or has a newer shape
 */
export function checkKept(file: string, newestShape: number): Kept {
  let database: Database | null = null;
  try {
    database = new SqliteDatabase(file, { fileMustExist: true });
    // The copy is opened where nobody else is, so it needs neither a log nor shared memory beside it.
    database.pragma('locking_mode = EXCLUSIVE');
    const faults = database.pragma('integrity_check(1)', { simple: true });
    if (faults !== 'ok') throw new Error(`${file} is damaged: ${String(faults)}`);
    const shape = database.pragma('user_version', { simple: true }) as number;
    if (shape > newestShape) {
      throw new Error(
        `${file} has shape ${shape}, this program knows ${newestShape}; use a newer program`,
      );
    }
    const tables = database
      .prepare(`SELECT count(*) FROM sqlite_schema WHERE name IN ('reviews', 'update_log')`)
      .pluck()
      .get();
    if (shape < 2 || tables !== 2) throw new Error(`${file} is no data of this program`);
    if ((database.pragma('foreign_key_check') as unknown[]).length > 0) {
      throw new Error(`${file} is damaged: rows name others that are not there`);
    }
    const reviews = database.prepare('SELECT count(*) FROM reviews').pluck().get() as number;
    database.pragma('journal_mode = DELETE');
    return { shape, reviews };
  } catch (cause) {
    if (cause instanceof SqliteDatabase.SqliteError) {
      throw new Error(`${file} cannot be read as a database: ${cause.message}`, { cause });
    }
    throw cause;
  } finally {
    database?.close();
  }
}
