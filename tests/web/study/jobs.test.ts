import { describe, expect, it } from 'vitest';
import { STRATEGIES, study, waysBack } from '../../../core/index.ts';
import { Asker, type WorkerLike } from '../../../web/study/asker.ts';
import { Jobs } from '../../../web/study/jobs.ts';
import type { Answer, Ask } from '../../../web/study/messages.ts';
import { bentScene } from '../../helpers/small-review.ts';

const FALLS = bentScene(80);

/** Jobs whose steps are let go one by one. */
class Stepped {
  readonly answers: Answer[] = [];
  readonly jobs = new Jobs(
    (answer) => this.answers.push(answer),
    () => new Promise((resolve) => this.#gates.push(resolve)),
  );
  readonly #gates: (() => void)[] = [];

  /** Lets one step run. */
  async step(): Promise<void> {
    this.#gates.shift()?.();
    // The step itself runs in the microtasks that follow.
    await Promise.resolve();
    await Promise.resolve();
  }
}

const ways = (id: number): Ask => ({
  kind: 'ways',
  id,
  scene: FALLS,
  figure: 'porter',
  options: {},
});
const kinds = ({ answers }: Stepped): string[] => answers.map(({ kind, id }) => `${kind} ${id}`);

describe('jobs of the worker', () => {
  it('gives ways one by one and then all of them, as the core finds them', async () => {
    const work = new Stepped();
    work.jobs.take(ways(1));
    for (let i = 0; i < STRATEGIES.length + 3; i++) await work.step();
    expect(kinds(work)).toEqual([...STRATEGIES.map(() => 'way 1'), 'ways 1']);
    const together = waysBack(FALLS, 'porter');
    expect(work.answers.at(-1)).toEqual({ kind: 'ways', id: 1, ways: together });
    expect(work.answers.slice(0, -1).map((a) => a.kind === 'way' && a.way)).toEqual(together.ways);
  });

  it('stops between two ways when they are dropped', async () => {
    const work = new Stepped();
    work.jobs.take(ways(1));
    await work.step();
    await work.step();
    expect(kinds(work)).toEqual(['way 1', 'way 1']);
    work.jobs.take({ kind: 'drop', id: 1 });
    for (let i = 0; i < 4; i++) await work.step();
    expect(kinds(work)).toEqual(['way 1', 'way 1']);
  });

  it('puts a study before ways that are under way, and goes on with them after it', async () => {
    const work = new Stepped();
    work.jobs.take(ways(1));
    await work.step();
    work.jobs.take({ kind: 'study', id: 2, scene: FALLS, options: {} });
    await work.step();
    await work.step();
    await work.step();
    expect(kinds(work)).toEqual(['way 1', 'study 2', 'way 1']);
    expect(work.answers[1]).toEqual({ kind: 'study', id: 2, study: study(FALLS) });
  });

  it('says what is wrong with a question and does the next', async () => {
    const work = new Stepped();
    work.jobs.take({ kind: 'study', id: 1, scene: FALLS, options: { rate: 0 } });
    work.jobs.take({ kind: 'ways', id: 2, scene: FALLS, figure: 'nobody', options: {} });
    work.jobs.take({ kind: 'study', id: 3, scene: FALLS, options: {} });
    for (let i = 0; i < 6; i++) await work.step();
    expect(kinds(work).sort()).toEqual(['fault 1', 'fault 2', 'study 3']);
    const [first] = work.answers;
    expect(first).toEqual({
      kind: 'fault',
      id: 1,
      message: 'rate is 0; give frames a second above 0.',
    });
  });
});

/** A worker that keeps what it was asked. */
class Fake implements WorkerLike {
  readonly asked: Ask[] = [];
  terminated = false;
  onmessage: WorkerLike['onmessage'] = null;
  onerror: WorkerLike['onerror'] = null;
  postMessage(ask: Ask): void {
    this.asked.push(ask);
  }
  terminate(): void {
    this.terminated = true;
  }
  answer(data: Answer): void {
    this.onmessage?.({ data });
  }
}

describe('questions of the page', () => {
  it('reach one worker, and each gets its own answer', async () => {
    const workers: Fake[] = [];
    const asker = new Asker(() => workers[workers.push(new Fake()) - 1]!);
    const found = study(FALLS);
    const [a, b] = [asker.study(FALLS, {}), asker.study(FALLS, { rate: 25 })];
    expect(workers).toHaveLength(1);
    const [first, second] = workers[0]!.asked.map(({ id }) => id);
    workers[0]!.answer({ kind: 'fault', id: second!, message: 'no' });
    workers[0]!.answer({ kind: 'study', id: first!, study: found });
    await expect(a).resolves.toBe(found);
    await expect(b).rejects.toThrow('no');
  });

  it('hand on each way, and tell the worker when they are given up', async () => {
    const worker = new Fake();
    const asker = new Asker(() => worker);
    const heard: string[] = [];
    const giveUp = new AbortController();
    const asked = asker.ways(FALLS, 'porter', {
      inset: 0.02,
      onWay: ({ strategy }) => heard.push(strategy),
      signal: giveUp.signal,
    });
    const [ask] = worker.asked;
    expect(ask).toMatchObject({ kind: 'ways', figure: 'porter', options: { inset: 0.02 } });
    const id = ask!.id;
    worker.answer({ kind: 'way', id, way: { strategy: 'hips', cannot: '' } });
    giveUp.abort();
    worker.answer({ kind: 'way', id, way: { strategy: 'trunk', cannot: '' } });
    await expect(asked).rejects.toMatchObject({ name: 'AbortError' });
    expect(heard).toEqual(['hips']);
    expect(worker.asked.at(-1)).toEqual({ kind: 'drop', id });
    await expect(asker.study(FALLS, {}, giveUp.signal)).rejects.toMatchObject({
      name: 'AbortError',
    });
    expect(worker.asked).toHaveLength(2);
  });

  it('all fail when the worker breaks, and the next opens a new one', async () => {
    const workers: Fake[] = [];
    const asker = new Asker(() => workers[workers.push(new Fake()) - 1]!);
    const asked = asker.study(FALLS, {});
    workers[0]!.onerror?.({ message: 'out of memory' });
    await expect(asked).rejects.toThrow(/out of memory/);
    expect(workers[0]!.terminated).toBe(true);
    const again = asker.study(FALLS, {});
    const found = study(FALLS);
    workers[1]!.answer({ kind: 'study', id: workers[1]!.asked[0]!.id, study: found });
    await expect(again).resolves.toBe(found);
  });
});
