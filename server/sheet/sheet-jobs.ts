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
/** Finished sheets of one person that are kept; with another one the oldest goes. */
export const MAX_KEPT = 3;
/** A sheet that takes longer is given up: one of 200 shots takes seconds. */
export const LIMIT_MS = 10 * 60 * 1000;
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
  readonly source: () => Promise<SheetSource>;
  worker: Worker | null;
  /** Ends what takes too long, then what has been kept long enough. */
  timer: Timer | null;
}

/** Makes review sheets in a thread of their own, so that nobody's drag waits for somebody's sheet. */
export class SheetJobs {
  readonly #clock: Clock;
  readonly #log: Log;
  readonly #thread: (source: SheetSource) => Worker;
  readonly #jobs = new Map<string, Job>();
  #working = 0;

  constructor({
    clock,
    log,
    thread = sheetThread,
  }: {
    clock: Clock;
    log: Log;
    thread?: (source: SheetSource) => Worker;
  }) {
    this.#clock = clock;
    this.#log = log;
    this.#thread = thread;
  }

  /**
   * Puts a sheet in the line. Throws AppError where too many wait.
   * @param source gathers what it is made from when its turn comes, so that none is kept while it waits
   */
  start(review: string, person: string, source: () => Promise<SheetSource>): SheetJob {
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
      ...{ source, worker: null, timer: null },
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
    this.#stopTimer(job);
    void job.worker?.terminate();
  }

  #stopTimer(job: Job): void {
    if (job.timer !== null) this.#clock.cancel(job.timer);
    job.timer = null;
  }

  #next(): void {
    if (this.#working >= AT_ONCE) return;
    const job = [...this.#jobs.values()].find(({ state }) => state === 'waiting');
    if (job === undefined) return;
    this.#working += 1;
    job.state = 'working';
    this.#make(job)
      .catch((cause: unknown) => this.#log.problem('A review sheet was not made.', cause))
      .finally(() => {
        this.#working -= 1;
        this.#keep(job);
        this.#next();
      });
  }

  /** Resolves when the thread has ended; rejects where there was none. */
  async #make(job: Job): Promise<void> {
    const source = await job.source();
    if (!this.#jobs.has(job.id)) return;
    const worker = this.#thread(source);
    job.worker = worker;
    job.timer = this.#clock.after(LIMIT_MS, () => {
      this.#log.problem(
        `A review sheet was given up: it took longer than ${LIMIT_MS / 60_000} min.`,
      );
      void worker.terminate();
    });
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
    await new Promise<void>((resolve) => worker.on('exit', () => resolve()));
  }

  /** Keeps a sheet that has come to its end for a while, unless it was given up. */
  #keep(job: Job): void {
    job.worker = null;
    this.#stopTimer(job);
    if (job.state === 'working') job.state = 'failed';
    if (!this.#jobs.has(job.id)) return;
    job.timer = this.#clock.after(KEEP_MS, () => this.#jobs.delete(job.id));
    const kept = [...this.#jobs.values()].filter(
      ({ person, state }) => person === job.person && (state === 'made' || state === 'failed'),
    );
    for (const old of kept.slice(0, -MAX_KEPT)) this.#drop(old);
  }
}

/** A thread that makes a sheet. Throws where there can be none. */
const sheetThread = (source: SheetSource): Worker =>
  new Worker(threadEntry(), { workerData: source });

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
