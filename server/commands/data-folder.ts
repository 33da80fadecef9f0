import { parseArgs } from 'node:util';
import type { Environment } from '../settings.ts';
import { BadInput } from './types.ts';

/** What a command on a data folder was given. */
export interface OnData {
  readonly data: string;
  readonly operand: string | null;
}

/**
 * Reads the words behind a command on a data folder: one operand and `--data FOLDER`, which is the
 * server's own folder when left out. Throws BadInput.
 */
export function readOnData(name: string, args: readonly string[], env: Environment): OnData {
  let read: { values: { data?: string | undefined }; positionals: string[] };
  try {
    read = parseArgs({
      args: [...args],
      options: { data: { type: 'string' } },
      allowPositionals: true,
    });
  } catch (cause) {
    throw new BadInput(cause instanceof Error ? cause.message : String(cause));
  }
  const { values, positionals } = read;
  if (positionals.length > 1) throw new BadInput(`${name}: "${positionals[1]}" is one too many`);
  return {
    data: values.data ?? (env.COUNTERLEAN_DATA || 'data'),
    operand: positionals[0] ?? null,
  };
}

/** Turns the errors of an operation on data into the one line that a command tells. */
export async function told<T>(name: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (cause) {
    if (cause instanceof BadInput || !(cause instanceof Error)) throw cause;
    throw new BadInput(`${name}: ${cause.message}`, { cause });
  }
}
