import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addMark,
  addNote,
  addReply,
  askPerson,
  NOTE_STATES,
  readMarks,
  readNotes,
  removeMark,
  removeNote,
  setNoteState,
} from '../../core/document/index.ts';
import { network } from '../helpers/peer-network.ts';
import { random } from '../helpers/random.ts';

const USER = { source: 'user' } as const;
const DRAFT = 'd';

const byId = <T extends { readonly id: string }>(list: readonly T[]): T[] =>
  list.toSorted((a, b) => (a.id < b.id ? -1 : 1));

/** Notes with their replies, and marks, in an order that does not depend on the peer. */
const said = (doc: Y.Doc): unknown => ({
  notes: byId(readNotes(doc).map((note) => ({ ...note, replies: byId(note.replies) }))),
  marks: byId(readMarks(doc, DRAFT)),
});

describe('notes and marks over a network that breaks', () => {
  const groups = Array.from({ length: 10 }, (_, group) => 7000 + group * 20);
  it.each(groups)(
    'end equal at every peer and on disk, none lost that was confirmed (20 seeds from %i)',
    async (from) => {
      for (let seed = from; seed < from + 20; seed++) await shuffled(seed);
    },
  );
});

/** Peers write, answer, settle and draw while lines break, are delayed and the server is killed. */
async function shuffled(seed: number): Promise<void> {
  const draw = random(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(draw() * list.length)]!;
  const count = 2 + Math.floor(draw() * 3);
  const net = await network(count, { seed, document: 'notes', repeats: seed % 2 === 0 ? 0.05 : 0 });
  const peers = Array.from({ length: count }, (_, index) => index);
  let made = 0;
  const change = (peer: number) => (doc: Y.Doc) => {
    const notes = readNotes(doc);
    const marks = readMarks(doc, DRAFT);
    const own = <T extends { readonly id: string }>(list: readonly T[]): T | undefined =>
      list.filter(({ id }) => id.startsWith(`p${peer}-`))[0];
    const id = `p${peer}-${made++}`;
    const deed = draw();
    if (deed < 0.25 || notes.length === 0) {
      const pin = { kind: 'frames', from: made, to: made + 9 } as const;
      const note = { id, shot: 's', draft: DRAFT, pin, frame: null, weight: 'must' } as const;
      addNote(doc, { ...note, text: `note ${made}`, mentions: ['p1'] }, USER);
    } else if (deed < 0.45) {
      addReply(doc, { id, note: pick(notes).id, text: `reply ${made}` }, USER);
    } else if (deed < 0.6) {
      setNoteState(doc, pick(notes).id, pick(NOTE_STATES), USER, 'The story wins.');
    } else if (deed < 0.65) askPerson(doc, pick(notes).id, draw() < 0.5 ? null : 'p0', USER);
    else if (deed < 0.9) {
      const points = Array.from({ length: 4 * 12 }, () => Math.round(draw() * 1000) / 1000);
      const mark = {
        id,
        draft: DRAFT,
        frame: null,
        view: 'front',
        reference: null,
        towards: null,
      } as const;
      addMark(doc, { ...mark, kind: 'ink', points, ends: [], pen: draw() < 0.5 }, USER);
    } else if (deed < 0.96) {
      const mark = own(marks);
      if (mark !== undefined) removeMark(doc, mark.id, USER);
    } else {
      const note = own(notes);
      if (note !== undefined) removeNote(doc, note.id, USER);
    }
  };
  for (let step = 0; step < 60; step++) {
    const chance = draw();
    const peer = pick(peers);
    if (chance < 0.5) net.edit(peer, change(peer));
    else if (chance < 0.75) await net.deliver(1 + Math.floor(draw() * 8));
    else if (chance < 0.85) net.partition(peer);
    else if (chance < 0.95) await net.heal(peer);
    else if (chance < 0.97) await net.settle();
    else {
      const promised = peers.map((each) => net.savedClock(each));
      net.crash();
      const disk = await net.readBack();
      for (const each of peers) {
        const kept = Y.getState(disk.store, 1000 + each);
        expect(kept, `seed ${seed}: peer ${each}`).toBeGreaterThanOrEqual(promised[each]!);
      }
    }
  }
  for (const peer of peers) await net.heal(peer);
  await net.settle();
  const disk = said(await net.readBack());
  expect(readNotes(net.docs[0]!).length, `seed ${seed}`).toBeGreaterThan(0);
  for (const doc of net.docs) expect(said(doc), `seed ${seed}`).toEqual(disk);
}
