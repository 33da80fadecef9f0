import { join } from 'node:path';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import { projectRoot } from '../../server/paths.ts';
import { migrate, readMigrations } from '../../server/storage/migrate.ts';

/** An empty database in memory, in the newest shape. */
export function memoryDatabase(): Database {
  const database = new SqliteDatabase(':memory:');
  migrate(database, readMigrations(join(projectRoot(), 'migrations')));
  return database;
}
