import { chmodSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { asRecord, asText } from '../../core/document/decode.ts';

/** How the commands on this machine reach the server that has a data folder. */
export interface Running {
  /** Address on this machine's loopback, apart from the one that people use. */
  readonly url: string;
  /** Whoever can read the data folder may ask; nobody else knows this. */
  readonly token: string;
}

const fileIn = (data: string): string => join(data, 'running.json');

/** Writes down how this server is reached, for its own user only. */
export function announce(data: string, running: Running): void {
  const file = fileIn(data);
  writeFileSync(file, JSON.stringify(running), { mode: 0o600 });
  // The mode above counts only for a file that was not there.
  chmodSync(file, 0o600);
}

export const withdraw = (data: string): void => rmSync(fileIn(data), { force: true });

/** What the last server of a data folder wrote down; it may have ended without taking it back. */
export function announced(data: string): Running | null {
  try {
    const fields = asRecord(JSON.parse(readFileSync(fileIn(data), 'utf8')));
    const url = asText(fields?.url);
    const token = asText(fields?.token);
    return url && token ? { url, token } : null;
  } catch {
    return null;
  }
}
