import { createEncoder, toUint8Array, writeVarString, writeVarUint } from 'lib0/encoding';
import * as Y from 'yjs';
import { awarenessFrame, updateFrame } from '../../server/sync/wire.ts';

/** A source of numbers in [0, 1). */
export type Draw = () => number;

/** What a hostile client knows of the review it attacks. */
export interface Target {
  /** The document as an honest reader has it. */
  readonly doc: Y.Doc;
  /** A client id that somebody else writes under, and the clock that comes next under it. */
  readonly victim: number;
  /** An entry that must not change: root map and key. */
  readonly root: string;
  readonly key: string;
}

/** A document's copy that writes under a client id. */
export function masked(doc: Y.Doc, client: number): Y.Doc {
  const copy = new Y.Doc();
  Y.applyUpdate(copy, Y.encodeStateAsUpdate(doc));
  // Afterwards: Yjs draws another id when it meets its own in an update.
  copy.clientID = client;
  return copy;
}

/** What a change of a document sends. */
export function updateOf(doc: Y.Doc, change: (doc: Y.Doc) => void): Uint8Array {
  const sent: Uint8Array[] = [];
  const keep = (update: Uint8Array): number => sent.push(update);
  doc.on('update', keep);
  doc.transact(() => change(doc));
  doc.off('update', keep);
  const [update] = sent;
  if (update === undefined) throw new Error('the change sends nothing');
  return update;
}

/** The answer of a client without work of its own to what the server asks first. */
export const NOTHING_TO_BRING = Uint8Array.of(0, 1, 2, 0, 0);

/** A random client id that nobody has. */
export const freshClient = (draw: Draw): number => 1 + Math.floor(draw() * 0xffff_fffe);

const bytesOf = (
  write: (put: (...numbers: number[]) => void, text: (t: string) => void) => void,
) => {
  const encoder = createEncoder();
  write(
    (...numbers) => {
      for (const number of numbers) writeVarUint(encoder, number);
    },
    (text) => writeVarString(encoder, text),
  );
  return toUint8Array(encoder);
};

/** A block of nothing that takes up clocks (struct kind 0 of the update format), and deletes nothing. */
export const rubbish = (client: number, clock: number, length: number): Uint8Array =>
  bytesOf((put) => put(1, 1, client, clock, 0, length, 0));

/** Deletes clocks of a client and brings nothing. */
export const deletion = (client: number, clock: number, length: number): Uint8Array =>
  bytesOf((put) => put(0, 1, client, 1, clock, length));

/** The same client twice in one update: what decodes it sees both, what applies it only the last. */
export function twoBlocks(client: number, clock: number, root: string): Uint8Array {
  return bytesOf((put, text) => {
    put(2);
    for (const step of [0, 1]) {
      // One item under a root's name and key: ContentAny (8) with a parent's name (32 for the key).
      put(1, client, clock + step, 8 | 32, 1);
      text(root);
      text(`k${step}`);
      put(1, 126);
    }
    put(0);
  });
}

/**
 * Ways to attack one entry of a document. Each gives an update that must be refused, whatever the
 * numbers drawn; none of them is what an honest window could send.
 */
export const ATTACKS: Record<string, (target: Target, draw: Draw) => Uint8Array> = {
  'writes under somebody else’s client id': ({ doc, victim, root, key }, draw) =>
    updateOf(masked(doc, victim), (copy) => copy.getMap(root).set(key, draw())),
  'overwrites a protected entry': ({ doc, root, key }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => copy.getMap(root).set(key, draw())),
  'deletes a protected entry': ({ doc, root, key }) =>
    updateOf(masked(doc, 1), (copy) => copy.getMap(root).delete(key)),
  // Without the past: the item stands first in its line instead of behind what is there.
  'writes a protected entry as if nothing were there': ({ root, key }, draw) => {
    const blank = new Y.Doc();
    blank.clientID = freshClient(draw);
    return updateOf(blank, (copy) => copy.getMap(root).set(key, draw()));
  },
  'writes and overwrites it before sending': ({ doc, root, key }, draw) => {
    const copy = masked(doc, freshClient(draw));
    const before = Y.encodeStateVector(copy);
    copy.getMap(root).set(key, draw());
    copy.getMap(root).delete(key);
    return Y.encodeStateAsUpdate(copy, before);
  },
  'hides it among honest entries': ({ doc, root, key }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => {
      for (let index = 0; index < 5; index++) copy.getMap(root).set(`own${index}`, draw());
      copy.getMap(root).set(key, draw());
      copy.getMap(root).set('own9', draw());
    }),
  'squats on clocks to come of somebody else': ({ doc, victim }, draw) =>
    rubbish(victim, Y.getState(doc.store, victim), 1 + Math.floor(draw() * 1e6)),
  'squats on clocks far ahead': ({ doc, victim }, draw) =>
    rubbish(victim, Y.getState(doc.store, victim) + 1 + Math.floor(draw() * 1e6), 10),
  'leaves clocks of its own out': (_, draw) =>
    rubbish(freshClient(draw), 1 + Math.floor(draw() * 1e6), 1 + Math.floor(draw() * 9)),
  'deletes clocks to come of somebody else': ({ doc, victim }, draw) =>
    deletion(victim, Y.getState(doc.store, victim), 1 + Math.floor(draw() * 1e6)),
  'deletes clocks to come of nobody': (_, draw) =>
    deletion(freshClient(draw), Math.floor(draw() * 1e6), 1 + Math.floor(draw() * 1e6)),
  'stands beside an item that nobody has': ({ doc, root, key }, draw) => {
    const ghost = masked(doc, freshClient(draw));
    ghost.getMap(root).set('ghost', 1);
    return updateOf(masked(ghost, freshClient(draw)), (copy) => {
      copy.getMap(root).set('ghost', 2);
      copy.getMap(root).set(key, draw());
    });
  },
  'brings a shared type instead of a value': ({ doc, root }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => {
      copy.getMap(root).set('own', draw() < 0.5 ? new Y.Map() : new Y.Text('x'));
    }),
  'brings a document inside the document': ({ doc, root }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => copy.getMap(root).set('own', new Y.Doc())),
  'writes to a part that there is not': ({ doc }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => {
      copy.getMap(`cellar${draw()}`).set('a', 1);
    }),
  'writes a list where there are entries': ({ root }, draw) => {
    const blank = new Y.Doc();
    blank.clientID = freshClient(draw);
    return updateOf(blank, (copy) => copy.getArray(root).insert(0, [draw()]));
  },
  'names an entry with a book': ({ doc, root }, draw) =>
    updateOf(masked(doc, freshClient(draw)), (copy) => {
      copy.getMap(root).set('x'.repeat(300 + Math.floor(draw() * 9000)), 1);
    }),
};

/** Updates that are no updates: they close the socket. */
export const BROKEN_UPDATES: Record<string, (target: Target, draw: Draw) => Uint8Array> = {
  'has one client in two blocks': ({ root }, draw) => twoBlocks(freshClient(draw), 0, root),
  'nests a value deeper than anybody does': ({ doc, root }, draw) => {
    let value: unknown = 1;
    for (let depth = 0; depth < 20 + draw() * 2000; depth++) value = [value];
    return updateOf(masked(doc, freshClient(draw)), (copy) => copy.getMap(root).set('own', value));
  },
  'has a client id beyond 32 bits': (_, draw) => rubbish(2 ** 32 + Math.floor(draw() * 1000), 0, 1),
  'deletes nothing at great length': (_, draw) => deletion(freshClient(draw), 0, 0),
};

/** One to four bytes changed, the end cut off, or a piece repeated. */
export function mutate(sound: Uint8Array, draw: Draw): Uint8Array {
  const bytes = Uint8Array.from(sound);
  const changes = 1 + Math.floor(draw() * 4);
  for (let change = 0; change < changes; change++) {
    bytes[Math.floor(draw() * bytes.length)] = Math.floor(draw() * 256);
  }
  const cut = Math.floor(draw() * bytes.length);
  const way = draw();
  if (way < 0.25) return bytes.subarray(0, cut);
  if (way < 0.35) return Uint8Array.from([...bytes.subarray(0, cut), ...bytes]);
  return bytes;
}

/** A message that no honest client sends: random bytes, or a sound message that was damaged. */
export function brokenMessage(sound: readonly Uint8Array[], draw: Draw): Uint8Array {
  if (draw() < 0.2) {
    return Uint8Array.from({ length: Math.floor(draw() * 60) }, () => Math.floor(draw() * 256));
  }
  return mutate(sound[Math.floor(draw() * sound.length)] as Uint8Array, draw);
}

/** Sound messages to be damaged: an edit, a deletion, a presence, a question. */
export function soundMessages(doc: Y.Doc): Uint8Array[] {
  const copy = masked(doc, 77);
  const edit = updateOf(copy, (own) => own.getMap('draft:own').set('figure/f', [1, 'two', null]));
  const removal = updateOf(copy, (own) => own.getMap('draft:own').delete('figure/f'));
  return [
    updateFrame(edit),
    updateFrame(removal),
    awarenessFrame([{ client: 77, clock: 1, json: '{"cursor":1}' }]),
    Uint8Array.of(0, 0, 1, 0),
  ];
}
