import { Connection } from './connection.ts';
import { Writer } from './writer.ts';

/** The person whose change a transaction is, over a socket or by HTTP; null: the server's own. */
export const personOf = (origin: unknown): string | null =>
  origin instanceof Connection || origin instanceof Writer ? origin.person : null;
