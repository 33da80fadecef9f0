import { IndexeddbPersistence } from 'y-indexeddb';
import * as Y from 'yjs';

/**
 * Work that must not be merged any more stays in stores of its own in this browser: what the server
 * refused, and what was done before its data was put back to an earlier state.
 */

/** Name of a document's store; the last part names the history that it goes on with. */
export const storeName = (
  review: string,
  person: string,
  document: 'scenes' | 'notes',
  history: string,
): string => `counterlean/${review}/${person}/${document}/${history}`;

const REFUSED = 'refused-';

/** One copy that is kept apart. */
export interface KeptCopy {
  readonly store: string;
  readonly document: 'scenes' | 'notes';
  /** When the server refused it, ms since 1970; null: it is from before a restore. */
  readonly refusedAt: number | null;
}

/** Keeps a document's state as it is now. Resolves when this browser has written it. */
export async function keepApart(
  review: string,
  person: string,
  document: 'scenes' | 'notes',
  doc: Y.Doc,
): Promise<void> {
  const copy = new Y.Doc();
  Y.applyUpdate(copy, Y.encodeStateAsUpdate(doc));
  const store = storeName(review, person, document, REFUSED + Date.now());
  const persistence = new IndexeddbPersistence(store, copy);
  await persistence.whenSynced;
  await persistence.destroy();
  copy.destroy();
}

/** The copies of a person that do not belong to the history that goes on now, the newest first. */
export async function keptCopies(
  review: string,
  person: string,
  generation: string,
): Promise<KeptCopy[]> {
  // Not every browser can list its stores; then nothing is offered, and nothing is lost either.
  const stores = (await indexedDB.databases?.()) ?? [];
  return stores
    .flatMap(({ name = '' }): KeptCopy[] => {
      const document = (['scenes', 'notes'] as const).find((each) =>
        name.startsWith(storeName(review, person, each, '')),
      );
      if (document === undefined) return [];
      const history = name.slice(storeName(review, person, document, '').length);
      if (history === generation || history === '') return [];
      const isRefused = history.startsWith(REFUSED);
      return [
        {
          store: name,
          document,
          refusedAt: isRefused ? Number(history.slice(REFUSED.length)) : null,
        },
      ];
    })
    .sort((a, b) => (b.refusedAt ?? 0) - (a.refusedAt ?? 0));
}

/** Reads a copy; it is not connected to anything. */
export async function openKept({ store }: KeptCopy): Promise<Y.Doc> {
  const doc = new Y.Doc();
  const persistence = new IndexeddbPersistence(store, doc);
  await persistence.whenSynced;
  await persistence.destroy();
  return doc;
}

/** Forgets a copy for good. */
export function forgetKept({ store }: KeptCopy): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase(store);
    request.onsuccess = () => resolve();
    request.onerror = () => reject(new Error('This browser could not forget the copy.'));
  });
}
