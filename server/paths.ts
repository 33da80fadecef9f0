import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * The project's folder: the nearest one above this file that holds `migrations`. Searching instead of
 * counting levels makes the same source work under tsx (server/) and when built (dist/server/).
 */
export function projectRoot(from = dirname(fileURLToPath(import.meta.url))): string {
  if (existsSync(join(from, 'migrations'))) return from;
  const above = dirname(from);
  if (above === from) throw new Error('no folder above the server holds `migrations`');
  return projectRoot(above);
}
