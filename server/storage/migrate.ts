import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Database } from 'better-sqlite3';

/** One change of the database's shape. Numbers start at 1 and leave no gap. */
export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly sql: string;
}

/** Reads `NNNN-what.sql` files in order. Throws on a name without a number, a gap or a double. */
export function readMigrations(folder: string): Migration[] {
  const migrations = readdirSync(folder)
    .filter((name) => name.endsWith('.sql'))
    .sort()
    .map((name) => ({
      number: Number(/^(\d{4})-/.exec(name)?.[1]),
      name,
      sql: readFileSync(join(folder, name), 'utf8'),
    }));
  migrations.forEach(({ number, name }, index) => {
    if (number !== index + 1) {
      throw new Error(`migration ${name} should have the number ${index + 1}; rename it`);
    }
  });
  return migrations;
}

/**
 * Brings a database up to the newest shape. Each migration and its `user_version` are one
 * transaction, so that a failure leaves the shape that was there before that migration, whole.
 * @returns how many migrations ran
 * @throws Error when a migration fails, or when the database is newer than this program
 */
export function migrate(database: Database, migrations: readonly Migration[]): number {
  const version = database.pragma('user_version', { simple: true }) as number;
  if (version > migrations.length) {
    throw new Error(
      `the database has shape ${version}, this program knows ${migrations.length}; start a newer one`,
    );
  }
  const missing = migrations.slice(version);
  for (const { number, name, sql } of missing) {
    try {
      database.transaction(() => {
        database.exec(sql);
        database.pragma(`user_version = ${number}`);
      })();
    } catch (cause) {
      throw new Error(`migration ${name} failed and was rolled back`, { cause });
    }
  }
  return missing.length;
}
