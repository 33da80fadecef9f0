import { TestRunner } from 'vitest';

/** Faults that the tests bring about; `npm test` counts them at its end (tests/run.mjs). */
export type Fault = 'kills' | 'network seeds' | 'malformed messages' | 'hostile updates';

declare module 'vitest' {
  interface TaskMeta {
    counted?: Partial<Record<Fault, number>>;
  }
}

/** Says how many faults the test that is running has come through, once it has. */
export function counted(fault: Fault, count: number): void {
  const test = TestRunner.getCurrentTest();
  if (test === undefined) throw new Error('faults are counted inside a test');
  test.meta.counted = { ...test.meta.counted, [fault]: count };
}
