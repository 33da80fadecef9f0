import { createWriteStream, existsSync, linkSync, rmSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { ReadableStream } from 'node:stream/web';
import SqliteDatabase from 'better-sqlite3';
import { askServer } from '../control/ask.ts';
import { projectRoot } from '../paths.ts';
import type { Environment } from '../settings.ts';
import { DATABASE_FILE } from '../storage/database.ts';
import { checkKept, copyDatabase } from '../storage/kept.ts';
import { readMigrations } from '../storage/migrate.ts';
import { readOnData, told } from './data-folder.ts';
import { BadInput, type Command } from './types.ts';

/** `counterlean keep FILE`: one file with everything, from a server that runs or does not. */
export const keepCommand = (env: Environment): Command => ({
  usage: 'keep FILE [--data FOLDER]',
  summary:
    'Copies all data into one file while the server runs, and checks the copy by opening it.',
  async run(args, io) {
    const { data, operand: file } = readOnData('keep', args, env);
    if (file === null) throw new BadInput('keep needs a file: counterlean keep FILE');
    return told('keep', async () => {
      if (existsSync(file)) throw new Error(`${file} is there already; choose another name`);
      const part = `${file}.part`;
      rmSync(part, { force: true });
      try {
        const running = await askServer(data, '/keep');
        if (running === null) await copyStopped(join(data, DATABASE_FILE), part);
        else await copyRunning(running, part);
        const { reviews } = checkKept(part, newestShape());
        await syncFile(part);
        // A link fails where a rename would overwrite.
        linkSync(part, file);
        const what = reviews === 1 ? '1 review' : `${reviews} reviews`;
        io.out(`${file}: ${what} kept, opened and checked.\n`);
        return 0;
      } finally {
        for (const end of ['', '-journal', '-wal', '-shm']) rmSync(part + end, { force: true });
      }
    });
  },
});

const newestShape = (): number => readMigrations(join(projectRoot(), 'migrations')).length;

async function copyRunning({ body }: Response, part: string): Promise<void> {
  if (body === null) throw new Error('the server sent nothing');
  // What is kept holds everything that people wrote: for its owner's eyes only.
  const target = createWriteStream(part, { mode: 0o600 });
  await pipeline(Readable.fromWeb(body as ReadableStream), target);
}

async function copyStopped(source: string, part: string): Promise<void> {
  if (!existsSync(source)) throw new Error(`there is no data at ${source}`);
  const handle = await open(part, 'wx', 0o600);
  await handle.close();
  const database = new SqliteDatabase(source, { timeout: 500 });
  try {
    await copyDatabase(database, part);
  } catch (cause) {
    if (cause instanceof Error && /database is locked/.test(cause.message)) {
      throw new Error(`a server is using ${source} and did not answer`, { cause });
    }
    throw cause;
  } finally {
    database.close();
  }
}

async function syncFile(file: string): Promise<void> {
  const handle = await open(file, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
