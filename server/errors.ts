import type { ContentfulStatusCode } from 'hono/utils/http-status';

/** Kinds of refusal that a client can act on. */
export type ErrorCode =
  | 'bad-input'
  | 'not-signed-in'
  | 'forbidden'
  | 'not-found'
  | 'wrong-origin'
  | 'too-large'
  | 'unreadable'
  | 'too-many'
  | 'full';

const STATUS: Record<ErrorCode, ContentfulStatusCode> = {
  'bad-input': 400,
  'not-signed-in': 401,
  forbidden: 403,
  'not-found': 404,
  'wrong-origin': 403,
  'too-large': 413,
  unreadable: 422,
  'too-many': 429,
  full: 409,
};

/** An answer other than the one asked for: what is wrong, and what to do about it. */
export class AppError extends Error {
  readonly status: ContentfulStatusCode;

  /**
   * @param message what is wrong, one sentence
   * @param hint what the caller can do, one sentence
   */
  constructor(
    readonly code: ErrorCode,
    message: string,
    readonly hint: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
    this.status = STATUS[code];
  }
}

/** Something was done too often. */
export class TooMany extends AppError {
  /** @param seconds after which it may be done again */
  constructor(readonly seconds: number) {
    const when = seconds === 1 ? 'a second' : `${seconds} seconds`;
    super('too-many', 'That is more than the server takes at once.', `Try again in ${when}.`);
  }
}

/** What was asked for is not there. @param what it is, e.g. "call" */
export const absent = (
  what: string,
  hint = 'It may have been removed: read the list again.',
): AppError => new AppError('not-found', `There is no such ${what}.`, hint);
