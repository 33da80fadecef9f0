/** File of a peer's folder with the updates that somebody kept for it. */
export const KEPT_UPDATES = 'updates.json';

export const keptText = (updates: readonly Uint8Array[]): string =>
  JSON.stringify(updates.map((update) => Buffer.from(update).toString('base64')));

export const readKept = (text: string): Uint8Array[] =>
  (JSON.parse(text) as string[]).map((update) => Buffer.from(update, 'base64'));
