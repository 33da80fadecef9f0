import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { makeId } from '../access/secrets.ts';
import type { Clock, Timer } from '../clock.ts';
import { AppError } from '../errors.ts';
import type { Log } from '../log.ts';
import type { SheetSource } from './make-sheet.ts';
import type { SheetMessage } from './sheet-worker.ts';

/** How long a finished sheet can be fetched. */
export const KEEP_MS = 15 * 60 * 1000;
/** Sheets that are made at the same time; the others wait their turn. */
const AT_ONCE = 1;
/** Sheets of one person that wait or are being made, and of everybody. */
const MAX_OF_PERSON = 3;
const MAX_WAITING = 40;

export type SheetState = 'waiting' | 'working' | 'made' | 'failed';

/** A sheet that was asked for. */
export interface SheetJob {
  readonly id: string;
  readonly review: string;
  readonly person: string;
  readonly state: SheetState;
  /** Shots drawn so far, and in all; 0 of 0 before it begins. */
  readonly done: number;
  readonly of: number;
  /** The file once it is made. */
  readonly bytes: Uint8Array | null;
}

interface Job extends SheetJob {
  state: SheetState;
  done: number;
  of: number;
  bytes: Uint8Array | null;
  readonly source: SheetSource;
  worker: Worker | null;
  expiry: Timer | null;
}

/** Makes review sheets in a thread of their own, so that nobody's drag waits for somebody's sheet. */
export class SheetJobs {
  readonly #clock: Clock;
  readonly #log: Log;
  readonly #jobs = new Map<string, Job>();
  #working = 0;

  constructor({ clock, log }: { clock: Clock; log: Log }) {
    this.#clock = clock;
    this.#log = log;
  }

  /** Puts a sheet in the line. Throws AppError where too many wait. */
  start(review: string, person: string, source: SheetSource): SheetJob {
    const unfinished = [...this.#jobs.values()].filter(
      ({ state }) => state === 'waiting' || state === 'working',
    );
    const own = unfinished.filter((job) => job.person === person).length;
    if (own >= MAX_OF_PERSON || unfinished.length >= MAX_WAITING) {
      throw new AppError(
        'full',
        'Several sheets are being made already.',
        'Wait for them, or cancel one.',
      );
    }
    const job: Job = {
      ...{ id: makeId(), review, person, state: 'waiting', done: 0, of: 0, bytes: null },
      ...{ source, worker: null, expiry: null },
    };
    this.#jobs.set(job.id, job);
    this.#next();
    return job;
  }

  /** A sheet of a review; null if there is none, or not any more. */
  get(review: string, id: string): SheetJob | null {
    const job = this.#jobs.get(id);
    return job?.review === review ? job : null;
  }

  /** Gives a sheet up, made or not. False if there is none. */
  cancel(review: string, id: string): boolean {
    const job = this.#jobs.get(id);
    if (job?.review !== review) return false;
    this.#drop(job);
    return true;
  }

  /** Gives everything up, as when the server stops. */
  close(): void {
    for (const job of [...this.#jobs.values()]) this.#drop(job);
  }

  #drop(job: Job): void {
    this.#jobs.delete(job.id);
    if (job.expiry !== null) this.#clock.cancel(job.expiry);
    void job.worker?.terminate();
  }

  #next(): void {
    if (this.#working >= AT_ONCE) return;
    const job = [...this.#jobs.values()].find(({ state }) => state === 'waiting');
    if (job !== undefined) this.#run(job);
  }

  #run(job: Job): void {
    this.#working += 1;
    job.state = 'working';
    const worker = new Worker(threadEntry(), { workerData: job.source });
    job.worker = worker;
    worker.on('message', (message: SheetMessage) => {
      if (message.kind === 'progress') {
        job.done = message.done;
        job.of = message.of;
      } else {
        job.bytes = message.bytes;
        job.state = 'made';
      }
    });
    worker.on('error', (cause) => this.#log.problem('A review sheet was not made.', cause));
    worker.on('exit', () => {
      this.#working -= 1;
      job.worker = null;
      if (job.state === 'working') job.state = 'failed';
      if (this.#jobs.has(job.id)) {
        job.expiry = this.#clock.after(KEEP_MS, () => this.#jobs.delete(job.id));
      }
      this.#next();
    });
  }
}

/** The thread's program: beside this file when built; as source, by way of what reads TypeScript. */
function threadEntry(): URL {
  const built = new URL('./sheet-worker.js', import.meta.url);
  if (existsSync(fileURLToPath(built))) return built;
  const tsx = dirname(createRequire(import.meta.url).resolve('tsx/package.json'));
  const api = pathToFileURL(join(tsx, 'dist', 'esm', 'api', 'index.mjs')).href;
  const source = new URL('./sheet-worker.ts', import.meta.url).href;
  const program = `import { register } from '${api}'; register(); await import('${source}');`;
  return new URL(`data:text/javascript,${encodeURIComponent(program)}`);
}
