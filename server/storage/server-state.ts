import type { Database } from 'better-sqlite3';

/**
 * Names the history that the documents of this database belong to. It stays the same over restarts
 * and changes with every restore, so that a page that was away meanwhile can tell.
 */
export function generationOf(database: Database): string {
  const row = database.prepare(`SELECT value FROM server_state WHERE name = 'generation'`).get();
  return (row as { value: string }).value;
}

/** Begins a new history. */
export function setGeneration(database: Database, generation: string): void {
  database.prepare(`UPDATE server_state SET value = ? WHERE name = 'generation'`).run(generation);
}
