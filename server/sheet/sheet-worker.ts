import { parentPort, workerData } from 'node:worker_threads';
import { makeSheet, type SheetSource } from './make-sheet.ts';

/** What the thread tells: how far it is, then the file. A fault ends it with an error. */
export type SheetMessage =
  | { readonly kind: 'progress'; readonly done: number; readonly of: number }
  | { readonly kind: 'made'; readonly bytes: Uint8Array };

const tell = (message: SheetMessage): void => parentPort?.postMessage(message);

const bytes = await makeSheet(workerData as SheetSource, (done, of) =>
  tell({ kind: 'progress', done, of }),
);
tell({ kind: 'made', bytes });
