import * as Y from 'yjs';
import type { StoredUpdate } from '../storage/update-store.ts';

type Emit = Y.Doc['emit'];

/**
 * A document as the server holds it. Yjs announces nine events with every transaction, and lib0 makes a
 * map and a list for each though nobody listens; here an event without a listener costs nothing.
 */
export class RoomDoc extends Y.Doc {
  override emit(...[name, args]: Parameters<Emit>): ReturnType<Emit> {
    return this._observers.has(name) ? super.emit(name, args) : undefined;
  }
}

/** Makes a change and gives the update that Yjs makes of it, encoded only while this looks; null: none. */
export function updateOf(doc: Y.Doc, change: () => void): Uint8Array | null {
  let update: Uint8Array | null = null;
  const keep = (bytes: Uint8Array): void => {
    update = bytes;
  };
  doc.on('update', keep);
  try {
    change();
  } finally {
    doc.off('update', keep);
  }
  return update;
}

/** Whether a document holds edits that wait for others. */
export const hasPending = ({ store }: Y.Doc): boolean =>
  store.pendingStructs !== null || store.pendingDs !== null;

/**
 * Applies updates of a log.
 * @returns the one that cannot be applied, and why; the document is then good for nothing
 */
export function applyAll(
  doc: Y.Doc,
  updates: readonly StoredUpdate[],
  origin: unknown,
): { update: StoredUpdate; reason: string } | null {
  let broken: { update: StoredUpdate; reason: string } | null = null;
  // In one transaction: of thousands the clearing up after each would take longer than they do.
  doc.transact(() => {
    for (const update of updates) {
      try {
        Y.applyUpdate(doc, update.bytes, origin);
      } catch (cause) {
        broken = { update, reason: `it cannot be applied (${String(cause)})` };
        return;
      }
    }
  }, origin);
  return broken;
}
