import * as Y from 'yjs';

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
