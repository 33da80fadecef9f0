import { createReadStream, existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import * as Y from 'yjs';
import { systemClock } from '../clock.ts';
import { askServer } from '../control/ask.ts';
import { clipsOf, docsOf, documentsOf } from '../history/documents.ts';
import { consoleLog } from '../log.ts';
import type { Roots } from '../record/review-file.ts';
import { withReviewFile } from '../record/with-review-file.ts';
import type { Environment } from '../settings.ts';
import { makeSheet, type SheetSource } from '../sheet/make-sheet.ts';
import { PAPERS, type PaperName } from '../sheet/paper.ts';
import { DATABASE_FILE, openDatabase } from '../storage/database.ts';
import { FileStore } from '../storage/file-store.ts';
import { ReviewStore } from '../storage/review-store.ts';
import { SqliteUpdateStore } from '../storage/sqlite-update-store.ts';
import { Rooms } from '../sync/rooms.ts';
import { isImage } from '../uploads/kinds.ts';
import { told } from './data-folder.ts';
import { BadInput, type Command } from './types.ts';

type Source = Pick<SheetSource, 'documents' | 'clips'>;

/** `counterlean sheet FILE.pdf`: the review sheet, from the data folder or from a review file. */
export const sheetCommand = (env: Environment): Command => ({
  usage: 'sheet FILE.pdf [--review ID] [--from REVIEW.zip] [--paper a4|letter] [--data FOLDER]',
  summary: 'Makes the review sheet of a review (the demo when left out), or of a review file.',
  async run(args, io) {
    const { file, review, from, paper, data } = read(args, env);
    return told('sheet', async () => {
      const source =
        from === null
          ? ((await ofRunning(data, review)) ?? (await ofStopped(data, review)))
          : await ofFile(createReadStream(from));
      let shots = 0;
      const settings = { ...source, shots: null, paper, at: systemClock.now() };
      const bytes = await makeSheet(settings, (done) => {
        shots = done;
      });
      await writeFile(file, bytes);
      io.out(`${file}: the sheet of ${shots === 1 ? '1 shot' : `${shots} shots`}.\n`);
      return 0;
    });
  },
});

function read(args: readonly string[], env: Environment) {
  const string = { type: 'string' } as const;
  const options = { review: string, from: string, paper: string, data: string };
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options,
      allowPositionals: true,
    });
    const [file, extra] = positionals;
    if (file === undefined) throw new BadInput('sheet needs a file: counterlean sheet FILE.pdf');
    if (extra !== undefined) throw new BadInput(`sheet: "${extra}" is one too many`);
    const paper: PaperName | undefined = PAPERS.find((known) => known === (values.paper ?? 'a4'));
    if (paper === undefined) throw new BadInput(`sheet: --paper is one of ${PAPERS.join(', ')}`);
    const data = values.data ?? (env.COUNTERLEAN_DATA || 'data');
    return { file, paper, data, review: values.review ?? 'demo', from: values.from ?? null };
  } catch (cause) {
    if (cause instanceof BadInput) throw cause;
    throw new BadInput(`sheet: ${cause instanceof Error ? cause.message : String(cause)}`);
  }
}

async function ofRunning(data: string, review: string): Promise<Source | null> {
  const answer = await askServer(data, `/review-file/${encodeURIComponent(review)}`);
  return answer?.body == null ? null : ofFile(answer.body);
}

const ofFile = (bytes: AsyncIterable<Uint8Array>): Promise<Source> =>
  withReviewFile(bytes, async ({ documents, files }) => {
    const clips = new Map<string, Uint8Array<ArrayBuffer>>();
    for (const { from, kind, path } of files) {
      if (!isImage(kind)) clips.set(from, new Uint8Array(await readFile(path)));
    }
    return {
      documents: {
        scenes: stateOf(documents.scenes),
        notes: stateOf(documents.notes),
        record: stateOf(documents.record),
      },
      clips,
    };
  });

function stateOf(roots: Roots): Uint8Array {
  const doc = new Y.Doc();
  for (const [root, entries] of Object.entries(roots)) {
    for (const [key, value] of Object.entries(entries)) doc.getMap<unknown>(root).set(key, value);
  }
  return Y.encodeStateAsUpdate(doc);
}

async function ofStopped(data: string, review: string): Promise<Source> {
  const path = join(data, DATABASE_FILE);
  if (!existsSync(path)) throw new Error(`there is no data at ${path}`);
  const database = openDatabase(path);
  const store = new SqliteUpdateStore(database, systemClock, consoleLog);
  try {
    if (new ReviewStore(database, systemClock).review(review) === null) {
      throw new Error(`there is no review "${review}"`);
    }
    const documents = await documentsOf(new Rooms(store, consoleLog), review);
    const files = new FileStore(database, systemClock);
    return { documents, clips: clipsOf(docsOf(documents), review, files) };
  } finally {
    await store.close();
    database.close();
  }
}
