import type { Study, StudyOptions, Way, WayOptions, WaysBack } from '../../core/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import type { Answer, Ask } from './messages.ts';

/** What is needed of a Worker. */
export interface WorkerLike {
  postMessage(ask: Ask): void;
  onmessage: ((event: { readonly data: Answer }) => void) | null;
  onerror: ((event: { readonly message?: string }) => void) | null;
  terminate(): void;
}

interface Waiting {
  readonly take: (answer: Answer) => void;
  readonly fail: (cause: unknown) => void;
}

type Question =
  | { readonly kind: 'study'; readonly scene: Scene; readonly options: StudyOptions }
  | {
      readonly kind: 'ways';
      readonly scene: Scene;
      readonly figure: string;
      readonly options: WayOptions;
    };

/**
 * The page's side: asks one worker and hands each answer to whoever asked. The worker is opened at
 * the first question, and opened anew after it broke.
 */
export class Asker {
  readonly #open: () => WorkerLike;
  #worker: WorkerLike | null = null;
  readonly #waiting = new Map<number, Waiting>();
  #last = 0;

  constructor(open: () => WorkerLike) {
    this.#open = open;
  }

  /** See `askStudy`. */
  study(scene: Scene, options: StudyOptions, signal?: AbortSignal): Promise<Study> {
    return this.#ask({ kind: 'study', scene, options }, signal, (answer, done) => {
      if (answer.kind === 'study') done(answer.study);
    });
  }

  /** See `askWays`. */
  ways(
    scene: Scene,
    figure: string,
    { onWay, signal, ...options }: WayOptions & AskWaysOptions,
  ): Promise<WaysBack> {
    return this.#ask({ kind: 'ways', scene, figure, options }, signal, (answer, done) => {
      if (answer.kind === 'way') onWay?.(answer.way);
      else if (answer.kind === 'ways') done(answer.ways);
    });
  }

  #ask<T>(
    question: Question,
    signal: AbortSignal | undefined,
    take: (answer: Answer, done: (value: T) => void) => void,
  ): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      signal?.throwIfAborted();
      const worker = this.#running();
      this.#last += 1;
      const id = this.#last;
      const onAbort = (): void => {
        settle();
        worker.postMessage({ kind: 'drop', id });
        reject(signal?.reason);
      };
      const settle = (): void => {
        this.#waiting.delete(id);
        signal?.removeEventListener('abort', onAbort);
      };
      signal?.addEventListener('abort', onAbort);
      const fail = (cause: unknown): void => {
        settle();
        reject(cause);
      };
      this.#waiting.set(id, {
        take: (answer) => {
          if (answer.kind === 'fault') fail(new Error(answer.message));
          else
            take(answer, (value) => {
              settle();
              resolve(value);
            });
        },
        fail,
      });
      worker.postMessage({ ...question, id });
    });
  }

  #running(): WorkerLike {
    if (this.#worker !== null) return this.#worker;
    const worker = this.#open();
    worker.onmessage = ({ data }) => this.#waiting.get(data.id)?.take(data);
    worker.onerror = ({ message }) => {
      worker.terminate();
      this.#worker = null;
      const why = message === undefined || message === '' ? '' : ` (${message})`;
      const fault = new Error(`The reckoning beside the page stopped${why}. Load the page again.`);
      for (const waiting of [...this.#waiting.values()]) waiting.fail(fault);
    };
    this.#worker = worker;
    return worker;
  }
}

export interface AskWaysOptions {
  /** Hears of each way as it is found, in the order of STRATEGIES. */
  readonly onWay?: (way: Way) => void;
  readonly signal?: AbortSignal | undefined;
}
