import { mkdtempSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../../server/paths.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { type Migration, migrate, readMigrations } from '../../server/storage/migrate.ts';
import { temporaryFolder } from '../helpers/served.ts';

const tablesOf = (database: SqliteDatabase.Database): string[] =>
  (
    database.prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name`).all() as {
      name: string;
    }[]
  ).map(({ name }) => name);

const versionOf = (database: SqliteDatabase.Database): unknown =>
  database.pragma('user_version', { simple: true });

const step = (number: number, sql: string): Migration => ({
  number,
  name: `000${number}-x.sql`,
  sql,
});

describe('migrations', () => {
  it('of the project run once, in order', () => {
    const database = new SqliteDatabase(':memory:');
    const migrations = readMigrations(join(projectRoot(), 'migrations'));
    expect(migrate(database, migrations)).toBe(migrations.length);
    expect(versionOf(database)).toBe(migrations.length);
    expect(migrate(database, migrations)).toBe(0);
    expect(tablesOf(database)).toContain('update_log');
  });

  it('roll back whole when one fails in its middle, and keep those before it', () => {
    const database = new SqliteDatabase(':memory:');
    const broken = [
      step(1, 'CREATE TABLE a (x)'),
      step(2, 'CREATE TABLE b (x); INSERT INTO a VALUES (1); INSERT INTO nowhere VALUES (1);'),
      step(3, 'CREATE TABLE c (x)'),
    ];
    expect(() => migrate(database, broken)).toThrow('0002-x.sql failed and was rolled back');
    expect(versionOf(database)).toBe(1);
    expect(tablesOf(database)).toEqual(['a']);
    expect(database.prepare('SELECT count(*) AS n FROM a').get()).toEqual({ n: 0 });
    // Mended, it goes on from there.
    expect(migrate(database, [broken[0]!, step(2, 'CREATE TABLE b (x)'), broken[2]!])).toBe(2);
    expect(tablesOf(database)).toEqual(['a', 'b', 'c']);
  });

  it('keep the rows that were there', () => {
    const file = join(temporaryFolder(), 'kept.sqlite');
    const all = readMigrations(join(projectRoot(), 'migrations'));
    const old = openDatabase(file, all.slice(0, 1));
    old.prepare(`INSERT INTO reviews VALUES ('r', 'Quay', '2031-05-12')`).run();
    old.close();
    const now = openDatabase(file, all);
    expect(now.prepare('SELECT id, title FROM reviews').all()).toEqual([
      { id: 'r', title: 'Quay' },
    ]);
    now.close();
  });

  it('refuse a database that a newer program has made', () => {
    const database = new SqliteDatabase(':memory:');
    database.pragma('user_version = 9');
    expect(() => migrate(database, [step(1, '')])).toThrow(/shape 9, this program knows 1/);
  });

  it('must be numbered without a gap', () => {
    const folder = mkdtempSync(join(temporaryFolder(), 'gap-'));
    writeFileSync(join(folder, '0001-first.sql'), '');
    writeFileSync(join(folder, '0003-third.sql'), '');
    expect(() => readMigrations(folder)).toThrow('0003-third.sql should have the number 2');
  });
});
