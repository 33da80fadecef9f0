/** Puts work off; what it gives calls the work off again. */
export type Later = (work: () => void) => () => void;

/** Work is done once this many milliseconds have gone. */
export const after =
  (milliseconds: number): Later =>
  (work) => {
    const timer = setTimeout(work, milliseconds);
    return () => clearTimeout(timer);
  };
