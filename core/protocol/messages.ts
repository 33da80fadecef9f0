/**
 * What goes over a sync socket besides the y-protocols messages (0 sync, 1 awareness, 2 auth,
 * 3 query awareness). Stock clients ignore these types.
 */

/**
 * Client -> server: varuint number n. Server -> client: the same n, once everything that this
 * connection sent before it is committed to disk. The page shows "saved" from it.
 */
export const MESSAGE_SAVED = 100;

/** Server -> client: varstring reason. The last update was refused and has not been applied. */
export const MESSAGE_REFUSED = 101;

/**
 * Server -> client: varstring reason. The server cannot take changes just now (its disk is full). What
 * was sent has not been applied and is not lost: the client keeps it, and once there is room the
 * server closes with `comeBack` and takes it then.
 */
export const MESSAGE_HELD = 102;

/**
 * Client -> server, first thing on a new line: the updates that went over the line before in its last
 * seconds, in their order, each a varuint of RECENT and a byte array: an update of its own, or a sync
 * message exactly as this server sent it. An update goes out once it is in the log and before the disk
 * has it, so a power cut may take it from the server alone; the server knows its own messages by a tag
 * at their end, and takes in what it misses.
 */
export const MESSAGE_RECENT = 103;

export const RECENT = { own: 0, sentOn: 1 } as const;

/** Socket close codes (4000-4999 are an application's own, RFC 6455 section 7.4.2). */
export const CLOSE = {
  /** No cookie, or one that is not valid any more: join again. */
  notSignedIn: 4401,
  /** The role does not allow this document, or the review is not there. */
  forbidden: 4403,
  /** A message was too large or could not be read. */
  badMessage: 4400,
  /**
   * The server's data was put back to an earlier state since this client last was here: what it has
   * must not be merged. It keeps its copy apart and opens the review afresh.
   */
  restored: 4409,
  /** The server is going down or this socket fell too far behind: wait and come back. */
  comeBack: 4503,
} as const;
