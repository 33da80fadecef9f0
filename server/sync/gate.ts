import * as Y from 'yjs';
import { type DocumentName, mayWrite, type Role } from '../../core/protocol/index.ts';
import type { Authors } from './authors.ts';
import { type RemovedWords, refusesNotes } from './note-rules.ts';
import { readUpdate, type SentUpdate } from './read-update.ts';
import { refusesScenes } from './scene-rules.ts';
import { effectOf, type Touch } from './touched.ts';

/**
 * What stands before a shared document: every update from a client passes here before it is applied
 * or sent on. One function per rule; a rule answers null when it has nothing against the update.
 */
export type Passage =
  | Admitted
  /** Nothing in it is new; there is nothing to apply, and no right is needed for it. */
  | { readonly kind: 'known' }
  /** Not applied; the client is told why and stays connected. */
  | { readonly kind: 'refused'; readonly reason: string }
  /** Not applied; refused too, unless what it lacks is still to come from the same connection. */
  | { readonly kind: 'lacking'; readonly reason: string }
  /** Not applied; the connection is closed. */
  | { readonly kind: 'malformed'; readonly reason: string };

/** To be applied. */
export interface Admitted {
  readonly kind: 'pass';
  /** Client ids that it binds to the person. */
  readonly newClients: readonly number[];
  /** Whether the document knows none of its structs yet. */
  readonly isAllNew: boolean;
}

export interface GateContext {
  readonly doc: Y.Doc;
  readonly document: DocumentName;
  readonly role: Role;
  readonly person: string;
  readonly authors: Authors;
  /** The person whose window has shown itself under a client id; null if none has. */
  readonly shownBy: (client: number) => string | null;
  /** Who wrote the note or reply of this id; null if there was never one. */
  readonly ownerOf: (row: string) => string | null;
  readonly removed: RemovedWords;
  /** Whether a call is open on a draft: it stays as it is until the call is shown. */
  readonly calledDrafts: () => ReadonlySet<string>;
  /** Whether the readings of a shot are hidden for a call. */
  readonly isHidden: (shot: string) => boolean;
}

/** Judges one update against the document that it is meant for. */
export function judge(bytes: Uint8Array, context: GateContext): Passage {
  const update = readUpdate(bytes);
  if (update === null) return { kind: 'malformed', reason: 'the update could not be read' };
  // Before the role: a reader's client sends back what it has when it reconnects, delete set and all.
  if (addsNothing(update, context.doc)) return { kind: 'known' };
  const byRole = roleRefuses(context);
  if (byRole !== null) return refused(byRole);
  const effect = effectOf(update, context.doc);
  if ('reason' in effect) {
    return { kind: effect.lacks ? 'lacking' : 'refused', reason: effect.reason };
  }
  const { writers, touches, isAllNew } = effect;
  const bySignature = signatureRefuses(writers, context);
  if (bySignature !== null) return refused(bySignature);
  const byRules = rulesRefuse(touches, context);
  if (byRules !== null) return refused(byRules);
  const { authors } = context;
  const newClients = writers.filter((client) => authors.of(client) === null);
  if (authors.isCrowded(context.person, newClients.length)) {
    return refused('this person has opened too many windows; close some and come back');
  }
  return { kind: 'pass', newClients, isAllNew };
}

/**
 * Judges what the server itself sent on before it lost it. Whose it is and whether they might was judged
 * then; what stands now, like a seal set since, is judged again, as for a lead.
 */
export function judgeSentOn(bytes: Uint8Array, context: GateContext): Passage {
  const update = readUpdate(bytes);
  if (update === null) return { kind: 'malformed', reason: 'the update could not be read' };
  if (addsNothing(update, context.doc)) return { kind: 'known' };
  const effect = effectOf(update, context.doc);
  if ('reason' in effect) {
    return { kind: effect.lacks ? 'lacking' : 'refused', reason: effect.reason };
  }
  const byRules = rulesRefuse(effect.touches, { ...context, ownerOf: () => null });
  if (byRules !== null) return refused(byRules);
  return { kind: 'pass', newClients: [], isAllNew: effect.isAllNew };
}

function rulesRefuse(touches: readonly Touch[], context: GateContext): string | null {
  switch (context.document) {
    case 'notes':
      return refusesNotes(touches, context);
    case 'scenes':
      return refusesScenes(touches, context);
    case 'record':
      // The server's own, and nobody else's: the role has settled that.
      return null;
  }
}

const refused = (reason: string): Passage => ({ kind: 'refused', reason });

function roleRefuses({ role, document }: GateContext): string | null {
  if (mayWrite(role, document)) return null;
  return document === 'record'
    ? 'only the server writes the record'
    : `a ${role} may read ${document} here, not change them`;
}

/** The name under a struct is its client id: it must be the sender's. */
function signatureRefuses(
  writers: readonly number[],
  { authors, doc, person, shownBy }: GateContext,
): string | null {
  for (const client of writers) {
    if (client === doc.clientID) return 'it is signed with the server’s name';
    const state = Y.getState(doc.store, client);
    const reason = authors.refuses({ client, person }, state, shownBy(client));
    if (reason !== null) return reason;
  }
  return null;
}

/** Whether every struct and every deletion of an update is in the document already. */
function addsNothing({ structs, deletions }: SentUpdate, { store }: Y.Doc): boolean {
  for (const [client, line] of structs) {
    const last = line.findLast((struct) => !(struct instanceof Y.Skip));
    if (last !== undefined && last.id.clock + last.length > Y.getState(store, client)) return false;
  }
  for (const [client, ranges] of deletions) {
    for (const { clock, len } of ranges) {
      if (!isDeleted(store, client, clock, len)) return false;
    }
  }
  return true;
}

function isDeleted(store: Y.Doc['store'], client: number, clock: number, len: number): boolean {
  if (clock + len > Y.getState(store, client)) return false;
  const structs = store.clients.get(client) ?? [];
  for (let index = Y.findIndexSS(structs, clock); index < structs.length; index++) {
    const struct = structs[index];
    if (struct === undefined || struct.id.clock >= clock + len) break;
    if (!struct.deleted) return false;
  }
  return true;
}
