import type { Database, Statement } from 'better-sqlite3';

const PREPARED = new WeakMap<Database, Map<string, Statement>>();

/** A statement that is run often: preparing it once more would cost several times what running it does. */
export function prepared(database: Database, sql: string): Statement {
  let statements = PREPARED.get(database);
  if (statements === undefined) {
    statements = new Map();
    PREPARED.set(database, statements);
  }
  let statement = statements.get(sql);
  if (statement === undefined) {
    statement = database.prepare(sql);
    statements.set(sql, statement);
  }
  return statement;
}
