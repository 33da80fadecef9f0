import { eachWayBack, study } from '../../core/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import type { Answer, Ask } from './messages.ts';

/** A question under way: each step gives an answer; the last step says so. */
interface Job {
  readonly id: number;
  readonly quick: boolean;
  readonly steps: Iterator<Answer, void, void>;
}

type Work = Exclude<Ask, { kind: 'drop' }>;

function* stepsOf(ask: Work): Generator<Answer, void, void> {
  const { id } = ask;
  if (ask.kind === 'study') {
    yield { kind: 'study', id, study: study(ask.scene, ask.options) };
    return;
  }
  const ways = eachWayBack(ask.scene, ask.figure, ask.options);
  for (;;) {
    const next = ways.next();
    if (next.done === true) {
      yield { kind: 'ways', id, ways: next.value };
      return;
    }
    yield { kind: 'way', id, way: next.value };
  }
}

/**
 * The worker's side: does what it is asked step by step. Studies, which are quick, go before ways
 * back; before each step it lets messages in, so that a question that was dropped costs at most the
 * step that was under way.
 */
export class Jobs {
  readonly #answer: (answer: Answer) => void;
  readonly #letIn: () => Promise<void>;
  #jobs: Job[] = [];
  #working = false;

  /** @param letIn resolves after the messages that wait have been taken */
  constructor(answer: (answer: Answer) => void, letIn: () => Promise<void>) {
    this.#answer = answer;
    this.#letIn = letIn;
  }

  take(ask: Ask): void {
    if (ask.kind === 'drop') {
      this.#drop(ask.id);
      return;
    }
    this.#jobs.push({ id: ask.id, quick: ask.kind === 'study', steps: stepsOf(ask) });
    if (!this.#working) void this.#work();
  }

  #drop(id: number): void {
    this.#jobs = this.#jobs.filter((job) => job.id !== id);
  }

  async #work(): Promise<void> {
    this.#working = true;
    for (;;) {
      await this.#letIn();
      const job = this.#jobs.find(({ quick }) => quick) ?? this.#jobs[0];
      if (job === undefined) break;
      this.#step(job);
    }
    this.#working = false;
  }

  #step({ id, steps }: Job): void {
    try {
      const { done, value } = steps.next();
      if (done === true) this.#drop(id);
      else this.#answer(value as Answer);
    } catch (cause) {
      this.#drop(id);
      const message = faultWords(cause);
      this.#answer({ kind: 'fault', id, message });
    }
  }
}
