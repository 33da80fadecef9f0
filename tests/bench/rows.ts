/** One measured line of the bench table. */
export interface BenchRow {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** This value over the peer's in the same run; below 1 is better for times. */
  readonly ratio?: number;
  readonly peer?: string;
}

export interface Spread {
  readonly median: number;
  readonly p95: number;
}

/**
 * Times functions in microseconds a call, side by side: in every round each runs one batch, so that
 * whatever else the machine does weighs on all of them alike. Batches last about as long for all of
 * them (`batchMs`): a long one would be cut short by other programs more often than a short one.
 * Warms up until `warmUpMs` have passed, because on a busy machine the compiler gets its turn late.
 * @param calls each gets a running number, so that input can change from call to call
 */
export function timed(
  calls: readonly ((i: number) => unknown)[],
  { rounds = 1000, batchMs = 0.3, warmUpMs = 1500 } = {},
): Spread[] {
  let i = 0;
  const once = (call: (i: number) => unknown, batch: number): number => {
    const start = performance.now();
    for (let n = 0; n < batch; n++) call(i++);
    return ((performance.now() - start) * 1000) / batch;
  };
  const quickest = calls.map(() => Number.POSITIVE_INFINITY);
  for (const warm = performance.now() + warmUpMs; performance.now() < warm; )
    calls.forEach((call, k) => {
      quickest[k] = Math.min(quickest[k]!, once(call, 20));
    });
  const batches = quickest.map((us) => Math.max(1, Math.round((batchMs * 1000) / us)));
  const times = calls.map((): number[] => []);
  for (let round = 0; round < rounds; round++)
    calls.forEach((call, k) => {
      times[k]!.push(once(call, batches[k]!));
    });
  return times.map(spread);
}

/** Median and 95th percentile of some numbers. */
export function spread(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number) =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
  return { median: at(0.5), p95: at(0.95) };
}
