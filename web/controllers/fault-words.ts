/** What went wrong, in words for the person. */
export const faultWords = (cause: unknown): string =>
  cause instanceof Error ? cause.message : String(cause);
