/// <reference lib="webworker" />
import type { MovingClip } from '../../core/formats/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import { readJobClip, weighJob } from './job.ts';
import type { FromWorker, ToWorker, WeighJob } from './protocol.ts';

/**
 * The worker that weighs clips. One job at a time: a new one, or `cancel`, gives the one before it up
 * at its next chunk.
 */
declare const self: DedicatedWorkerGlobalScope;

const files = new Map<string, Uint8Array>();
let read: { readonly key: string; readonly clip: MovingClip | null } | null = null;
let current = 0;

const tell = (message: FromWorker): void => self.postMessage(message);

/** Lets messages in between two chunks; a timer would wait four milliseconds each time. */
const breath = new MessageChannel();
const breathe = (): Promise<void> =>
  new Promise((resolve) => {
    breath.port1.onmessage = () => resolve();
    breath.port2.postMessage(null);
  });

async function run(job: WeighJob): Promise<void> {
  const { id } = job;
  current = id;
  try {
    const key = JSON.stringify(job.clip);
    if (read?.key !== key) {
      tell({ kind: 'progress', id, stage: 'reading', done: 0, total: 1 });
      const clip = await readJobClip(job, (file) => files.get(file));
      read = { key, clip };
    }
    for (const message of weighJob(job, read.clip)) {
      await breathe();
      if (current !== id) return;
      tell({ ...message, id } as FromWorker);
    }
  } catch (error) {
    if (current !== id) return;
    tell({ kind: 'failed', id, message: faultWords(error) });
  }
}

self.onmessage = ({ data }: MessageEvent<ToWorker>): void => {
  if (data.kind === 'file') files.set(data.file, data.bytes);
  else if (data.kind === 'cancel') current = 0;
  else void run(data.job);
};
