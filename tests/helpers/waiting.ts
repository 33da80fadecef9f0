/**
 * Longest wait of a test for something that must happen: half of what a test may take (vitest.config.ts),
 * so that it says what did not come before it is cut off, and longer than a busy machine with two
 * processors has been seen to need for the start of a browser.
 */
const DEADLINE_MS = 30_000;

/** Rejects with `what` if a promise takes too long, so that a failing test says what did not come. */
export async function within<T>(promise: Promise<T>, what: string): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`waited in vain: ${what}`)), DEADLINE_MS);
  });
  try {
    return await Promise.race([promise, late]);
  } finally {
    clearTimeout(timer);
  }
}

interface Emitter {
  on(event: string, listener: () => void): unknown;
  off(event: string, listener: () => void): unknown;
}

/** Resolves once `holds` is true, looked at now and after each of the emitter's events. */
export function until(
  emitter: Emitter,
  event: string,
  holds: () => boolean,
  what: string,
): Promise<void> {
  let listener: () => void = () => undefined;
  const met = new Promise<void>((resolve) => {
    listener = () => {
      if (holds()) resolve();
    };
    emitter.on(event, listener);
    listener();
  });
  return within(met, what).finally(() => emitter.off(event, listener));
}
