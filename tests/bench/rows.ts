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
 * Times a function in microseconds a call: batches of calls (one call is too short for the clock),
 * of which the median and the 95th percentile are given. The first tenth warms up and is not counted.
 * @param call gets a running number, so that input can change from call to call
 */
export function timed(
  call: (i: number) => unknown,
  { batches = 200, size = 200 }: { batches?: number; size?: number } = {},
): Spread {
  const times: number[] = [];
  let i = 0;
  for (let batch = 0; batch < batches * 1.1; batch++) {
    const start = performance.now();
    for (let n = 0; n < size; n++) call(i++);
    times.push(((performance.now() - start) * 1000) / size);
  }
  return spread(times.slice(-batches));
}

/** Median and 95th percentile of some numbers. */
export function spread(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number) =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
  return { median: at(0.5), p95: at(0.95) };
}
