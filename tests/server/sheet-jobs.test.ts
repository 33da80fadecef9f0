import { EventEmitter } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import type { SheetSource } from '../../server/sheet/make-sheet.ts';
import { KEEP_MS, LIMIT_MS, MAX_KEPT, SheetJobs } from '../../server/sheet/sheet-jobs.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { settled } from '../helpers/recorder-set-up.ts';

const SOURCE = { shots: null, paper: 'a4', at: 0 } as unknown as SheetSource;
const source = async (): Promise<SheetSource> => SOURCE;

/** Stands for a thread: the test says what it tells and when it ends. */
class Thread extends EventEmitter {
  terminated = false;

  make(bytes = new Uint8Array([1])): void {
    this.emit('message', { kind: 'made', bytes });
    this.emit('exit', 0);
  }

  async terminate(): Promise<number> {
    this.terminated = true;
    this.emit('exit', 1);
    return 1;
  }
}

function line() {
  const [clock, log] = [new ManualClock(), new KeptLog()];
  const threads: Thread[] = [];
  const thread = (): Worker => {
    const made = new Thread();
    threads.push(made);
    return made as unknown as Worker;
  };
  return { clock, log, threads, thread, jobs: new SheetJobs({ clock, log, thread }) };
}

describe('sheets that are being made', () => {
  it('are made one at a time, each from the review as it is when its turn comes', async () => {
    const { threads, jobs } = line();
    const gathered: string[] = [];
    const asked = ['first', 'second'].map((name) =>
      jobs.start('r', 'ada', async () => {
        gathered.push(name);
        return SOURCE;
      }),
    );
    await settled();
    expect(gathered).toEqual(['first']);
    threads[0]?.make();
    await settled();
    expect(gathered).toEqual(['first', 'second']);
    expect(asked.map(({ state }) => state)).toEqual(['made', 'working']);
  });

  it('are given up when they take too long, and the next one is made', async () => {
    const { clock, log, threads, jobs } = line();
    const [first, second] = [jobs.start('r', 'ada', source), jobs.start('r', 'ada', source)];
    await settled();
    clock.advance(LIMIT_MS);
    await settled();
    expect(threads[0]?.terminated).toBe(true);
    expect(log.problems.join()).toMatch(/longer than 10 min/);
    threads[1]?.make();
    await settled();
    expect([first.state, second.state]).toEqual(['failed', 'made']);
  });

  it('fail where there is no thread or nothing to make them from, and the next one is made', async () => {
    const { clock, log, threads, thread } = line();
    let fails = true;
    const jobs = new SheetJobs({
      ...{ clock, log },
      thread: () => {
        if (!fails) return thread();
        fails = false;
        throw new Error('no memory for a thread');
      },
    });
    const first = jobs.start('r', 'ada', source);
    const second = jobs.start('r', 'ada', () => Promise.reject(new Error('no such review')));
    const third = jobs.start('r', 'ada', source);
    await settled();
    threads[0]?.make();
    await settled();
    expect([first, second, third].map(({ state }) => state)).toEqual(['failed', 'failed', 'made']);
    expect(log.problems.join()).toMatch(/no memory for a thread.*no such review/);
  });

  it('are kept for a while, a few of each person', async () => {
    const { clock, threads, jobs } = line();
    const ids: string[] = [];
    for (let made = 0; made <= MAX_KEPT; made++) {
      ids.push(jobs.start('r', 'ada', source).id);
      await settled();
      threads[made]?.make();
      await settled();
    }
    const there = (): boolean[] => ids.map((id) => jobs.get('r', id) !== null);
    expect(there()).toEqual([false, ...ids.slice(1).map(() => true)]);
    clock.advance(KEEP_MS);
    expect(there()).toEqual(ids.map(() => false));
  });

  it('are not made when they were given up while they were gathered', async () => {
    const { threads, jobs } = line();
    const { id } = jobs.start('r', 'ada', source);
    expect(jobs.cancel('r', id)).toBe(true);
    await settled();
    expect(threads).toEqual([]);
  });
});
