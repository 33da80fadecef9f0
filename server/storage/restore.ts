import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { join } from 'node:path';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import { makeId } from '../access/secrets.ts';
import { projectRoot } from '../paths.ts';
import { DATABASE_FILE } from './database.ts';
import { checkKept, type Kept } from './kept.ts';
import { migrate, readMigrations } from './migrate.ts';
import { setGeneration } from './server-state.ts';

export interface Restored extends Kept {
  /** Folder with the data that was there before; null if there was none. */
  readonly aside: string | null;
}

/**
 * Puts a kept database in the place of a data folder's own, and begins a new generation. What was
 * there is moved to a folder beside it, never overwritten; the secret stays.
 * @param now names that folder
 * @throws Error when a server is using the data folder, or the kept file cannot be used; then nothing
 * has changed
 */
export function restore(data: string, file: string, now: Date): Restored {
  mkdirSync(data, { recursive: true });
  const migrations = readMigrations(join(projectRoot(), 'migrations'));
  const own = join(data, DATABASE_FILE);
  const incoming = join(data, `restoring-${makeId()}.sqlite`);
  try {
    copyFileSync(file, incoming);
    const kept = checkKept(incoming, migrations.length);
    prepare(incoming, migrations);
    const aside = replace(own, incoming, asideFolder(data, now));
    return { ...kept, aside };
  } finally {
    for (const end of ['', '-journal', '-wal', '-shm']) rmSync(incoming + end, { force: true });
  }
}

function prepare(file: string, migrations: ReturnType<typeof readMigrations>): void {
  const database = new SqliteDatabase(file);
  try {
    database.pragma('synchronous = FULL');
    migrate(database, migrations);
    setGeneration(database, makeId());
  } finally {
    database.close();
  }
}

/**
 * The old database is locked until the new one is in its place: a server that starts in between meets
 * either the lock or the new file whole.
 */
function replace(own: string, incoming: string, aside: string): string | null {
  if (!existsSync(own)) {
    renameSync(incoming, own);
    syncFolder(join(own, '..'));
    return null;
  }
  const lock = lockedAndWhole(own);
  try {
    mkdirSync(aside);
    linkSync(own, join(aside, DATABASE_FILE));
    for (const end of ['-wal', '-shm']) {
      if (existsSync(own + end)) renameSync(own + end, join(aside, DATABASE_FILE + end));
    }
    renameSync(incoming, own);
    syncFolder(join(own, '..'));
    return aside;
  } finally {
    lock?.close();
  }
}

/** Locks a database and folds its log into it; null for one that is too broken to be locked. */
function lockedAndWhole(file: string): Database | null {
  const database = new SqliteDatabase(file, { timeout: 500 });
  try {
    database.pragma('locking_mode = EXCLUSIVE');
    database.pragma('journal_mode = DELETE');
    // A transaction that writes takes the lock, and exclusive mode keeps it.
    database.exec('BEGIN EXCLUSIVE; COMMIT');
    return database;
  } catch (cause) {
    database.close();
    const code = cause instanceof SqliteDatabase.SqliteError ? cause.code : '';
    if (/^SQLITE_(NOTADB|CORRUPT)/.test(code)) return null;
    if (/^SQLITE_(BUSY|LOCKED)/.test(code)) {
      throw new Error(`a server is using ${file}; stop it first`, { cause });
    }
    throw cause;
  }
}

function asideFolder(data: string, now: Date): string {
  const name = join(data, `before-restore-${now.toISOString().replaceAll(/[:.]/g, '-')}`);
  return existsSync(name) ? `${name}-${makeId()}` : name;
}

function syncFolder(folder: string): void {
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
