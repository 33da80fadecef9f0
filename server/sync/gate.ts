import * as Y from 'yjs';
import { type DocumentName, mayWrite, type Role } from '../../core/protocol/index.ts';

/**
 * What stands before a shared document: every update from a client passes here before it is applied.
 * One function per rule; a rule answers null when it has nothing against the update.
 */
export type Passage =
  /** To be applied. */
  | { readonly kind: 'pass' }
  /** Nothing in it is new; there is nothing to apply, and no right is needed for it. */
  | { readonly kind: 'known' }
  /** Not applied; the client is told why and stays connected. */
  | { readonly kind: 'refused'; readonly reason: string }
  /** Not applied; the connection is closed. */
  | { readonly kind: 'malformed'; readonly reason: string };

export interface GateContext {
  readonly doc: Y.Doc;
  readonly document: DocumentName;
  readonly role: Role;
}

type DecodedUpdate = ReturnType<typeof Y.decodeUpdate>;

/** Judges one update against the document that it is meant for. */
export function judge(update: Uint8Array, context: GateContext): Passage {
  const decoded = decode(update);
  if (decoded === null || !isCoherent(decoded)) {
    return { kind: 'malformed', reason: 'the update could not be read' };
  }
  // Before the role: a reader's client sends back what it has when it reconnects, delete set and all.
  if (addsNothing(decoded, context.doc)) return { kind: 'known' };
  return roleAllows(context) ?? { kind: 'pass' };
}

/** Reads an update without applying it; null for bytes that are none. */
function decode(update: Uint8Array): DecodedUpdate | null {
  try {
    return Y.decodeUpdate(update);
  } catch {
    return null;
  }
}

/**
 * Whether an update could have been made by Yjs at all. Bytes that decode but are not coherent make
 * applying them break off half-way, and the room would have to be read again for everybody in it.
 */
function isCoherent({ structs, ds }: DecodedUpdate): boolean {
  const deletesSomething = [...ds.clients.values()].flat().every(({ len }) => len > 0);
  return deletesSomething && structs.every((struct) => struct.length > 0 && refersBack(struct));
}

/** What an item stands beside or in was there before it, so within one client at a lower clock. */
function refersBack(struct: DecodedUpdate['structs'][number]): boolean {
  if (!(struct instanceof Y.Item)) return true;
  const parent: unknown = struct.parent;
  return [struct.origin, struct.rightOrigin, parent].every(
    (id) => !(id instanceof Y.ID) || id.client !== struct.id.client || id.clock < struct.id.clock,
  );
}

function roleAllows({ role, document }: GateContext): Passage | null {
  if (mayWrite(role, document)) return null;
  const reason =
    document === 'record'
      ? 'only the server writes the record'
      : `a ${role} may read ${document} here, not change them`;
  return { kind: 'refused', reason };
}

/** Whether every struct and every deletion of an update is in the document already. */
function addsNothing({ structs, ds }: DecodedUpdate, { store }: Y.Doc): boolean {
  const hasNews = structs.some(
    (struct) =>
      !(struct instanceof Y.Skip) &&
      struct.id.clock + struct.length > Y.getState(store, struct.id.client),
  );
  if (hasNews) return false;
  for (const [client, deletions] of ds.clients) {
    for (const { clock, len } of deletions) {
      if (!isDeleted(store, client, clock, len)) return false;
    }
  }
  return true;
}

function isDeleted(store: Y.Doc['store'], client: number, clock: number, len: number): boolean {
  if (len === 0) return true;
  if (clock + len > Y.getState(store, client)) return false;
  const structs = store.clients.get(client) ?? [];
  for (let index = Y.findIndexSS(structs, clock); index < structs.length; index++) {
    const struct = structs[index];
    if (struct === undefined || struct.id.clock >= clock + len) break;
    if (!struct.deleted) return false;
  }
  return true;
}
