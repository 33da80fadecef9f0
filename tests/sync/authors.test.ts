import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  addNote,
  addReply,
  draftEntries,
  type NewNote,
  type Note,
  noteMaps,
  readNotes,
  removeNote,
  sealDraft,
  setEntries,
  setNoteState,
} from '../../core/document/index.ts';
import { updateOf } from '../helpers/hostile.ts';
import { copyOf, expectRefused, meet } from '../helpers/meeting.ts';
import { docUntil, saved } from '../helpers/sync-client.ts';

const USER = { source: 'user' } as const;
const DRAFT = 'qy-010-1';
const JOINT = 'figure/porter/joint.chest';

const noteOf = (id: string): NewNote => ({
  id,
  shot: 'qy-010',
  draft: DRAFT,
  pin: { kind: 'shot' },
  frame: null,
  text: 'Weight is on the wrong foot.',
  state: 'open',
  weight: 'should',
});

const turn = (doc: Y.Doc, angle: number): void =>
  setEntries(doc, DRAFT, { [JOINT]: [0, 0, angle, 1] }, USER);
const turned = (doc: Y.Doc): unknown => draftEntries(doc, DRAFT).get(JOINT);
const noteIn = (doc: Y.Doc): Note | undefined => readNotes(doc).find(({ id }) => id === 'n1');

describe('a hostile client', () => {
  it('cannot go on under a client id that somebody else wrote under', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      turn(anna.doc, 0.1);
      await saved(anna);
      const forged = updateOf(copyOf(anna.doc, anna.doc.clientID), (doc) => turn(doc, 0.9));
      const hostile = await socket(await join('animator'));
      await expectRefused(hostile, forged, /somebody else’s name/, anna.doc);
      expect(turned(anna.doc)).toEqual([0, 0, 0.1, 1]);
    });
  });

  it('cannot take up the client id of a window that has shown itself and not written yet', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      const forged = updateOf(copyOf(anna.doc, anna.doc.clientID), (doc) => turn(doc, 0.9));
      const hostile = await socket(await join('animator'));
      await expectRefused(hostile, forged, /somebody else’s name/, anna.doc);
    });
  });

  it('cannot write on where the server wrote', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      const [server = 0] = anna.doc.store.clients.keys();
      expect(Y.getState(anna.doc.store, server)).toBeGreaterThan(0);
      const forged = updateOf(copyOf(anna.doc, server), (doc) => turn(doc, 0.9));
      const hostile = await socket(await join('lead'));
      await expectRefused(hostile, forged, /server’s name/, anna.doc);
    });
  });

  it('cannot leave clocks out', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const cookie = await join('animator');
      const anna = await window(cookie);
      const copy = copyOf(anna.doc);
      // Different joints, so that nothing but the clock ties the second to the first.
      const set = (joint: string) => (doc: Y.Doc) =>
        setEntries(doc, DRAFT, { [`figure/porter/joint.${joint}`]: [0, 0, 0.5, 1] }, USER);
      updateOf(copy, set('head'));
      const second = updateOf(copy, set('neck'));
      await expectRefused(await socket(cookie), second, /leaves out edits/, anna.doc);
    });
  });

  it('cannot build on what nobody has', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      const ghost = copyOf(anna.doc);
      turn(ghost, 0.2);
      const second = updateOf(copyOf(ghost), (doc) => turn(doc, 0.9));
      await expectRefused(await socket(await join('animator')), second, /builds on/, anna.doc);
    });
  });

  it('cannot delete what has not been written yet', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      const ghost = copyOf(anna.doc);
      turn(ghost, 0.2);
      const wish = updateOf(copyOf(ghost), (doc) => doc.getMap(`draft:${DRAFT}`).delete(JOINT));
      await expectRefused(await socket(await join('animator')), wish, /not been written/, anna.doc);
    });
  });

  it.each<[string, (doc: Y.Doc) => void]>([
    ['edit a note', (doc) => doc.getMap('notes').set('n1/text', 'All is well.')],
    ['edit a reply', (doc) => doc.getMap('replies').set('r1/text', 'I agree.')],
    ['delete a field of a note', (doc) => doc.getMap('notes').delete('n1/text')],
    ['delete a note', (doc) => removeNote(doc, 'n1', USER)],
    ['delete a reply', (doc) => doc.getMap('replies').delete('r1')],
  ])('cannot %s of somebody else', async (_, change) => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, noteOf('n1'), USER);
      addReply(anna.doc, { id: 'r1', note: 'n1', text: 'The left one.' }, USER);
      await saved(anna);
      const forged = updateOf(copyOf(anna.doc), change);
      const hostile = await socket(await join('animator'));
      await expectRefused(hostile, forged, /by its author alone/, anna.doc);
    });
  });

  it('cannot put words into a note as a lead either', async () => {
    await meet('notes', async ({ join, window, socket }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, noteOf('n1'), USER);
      await saved(anna);
      const forged = updateOf(copyOf(anna.doc), (doc) =>
        doc.getMap('notes').set('n1/text', 'Fine.'),
      );
      await expectRefused(await socket(await join('lead')), forged, /author alone/, anna.doc);
    });
  });

  it('cannot change a sealed draft or unseal it', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const lead = await window(await join('lead'));
      sealDraft(lead.doc, DRAFT, true, USER);
      await saved(lead);
      const cookie = await join('animator');
      const change = updateOf(copyOf(lead.doc), (doc) => turn(doc, 0.9));
      await expectRefused(await socket(cookie), change, /is sealed/, lead.doc);
      const open = updateOf(copyOf(lead.doc), (doc) => sealDraft(doc, DRAFT, false, USER));
      await expectRefused(await socket(cookie), open, /a lead alone/, lead.doc);
    });
  });

  it('cannot bring other shapes than entries of the known parts', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const anna = await window(await join('animator'));
      const cookie = await join('animator');
      const nested = updateOf(copyOf(anna.doc), (doc) =>
        doc.getMap(`draft:${DRAFT}`).set(JOINT, new Y.Map()),
      );
      await expectRefused(await socket(cookie), nested, /shape of a review/, anna.doc);
      const foreign = updateOf(copyOf(anna.doc), (doc) => doc.getMap('cellar').set('a', 1));
      await expectRefused(await socket(cookie), foreign, /no such part/, anna.doc);
    });
  });
});

describe('an honest client', () => {
  it('works in two windows of one person', async () => {
    await meet('notes', async ({ join, window }) => {
      const cookie = await join('reviewer');
      const one = await window(cookie);
      const two = await window(cookie);
      addNote(one.doc, noteOf('n1'), USER);
      await docUntil(two.doc, () => noteIn(two.doc) !== undefined, 'the note in the other window');
      two.doc.getMap('notes').set('n1/text', 'On the left foot.');
      const edited = (): boolean => noteIn(one.doc)?.text === 'On the left foot.';
      await docUntil(one.doc, edited, 'the edit in the first window');
    });
  });

  it('undoes and redoes their own work, others’ edits between', async () => {
    await meet('scenes', async ({ join, window }) => {
      const anna = await window(await join('animator'));
      const bert = await window(await join('animator'));
      const undo = new Y.UndoManager(anna.doc.getMap(`draft:${DRAFT}`), {
        trackedOrigins: new Set([USER]),
        captureTimeout: 0,
      });
      turn(anna.doc, 0.1);
      turn(anna.doc, 0.2);
      await docUntil(bert.doc, () => String(turned(bert.doc)) === '0,0,0.2,1', 'the turn');
      setEntries(bert.doc, DRAFT, { 'figure/porter/joint.head': [0, 0, 0.3, 1] }, USER);
      await saved(bert);
      undo.undo();
      await docUntil(bert.doc, () => String(turned(bert.doc)) === '0,0,0.1,1', 'the undo');
      undo.redo();
      await docUntil(bert.doc, () => String(turned(bert.doc)) === '0,0,0.2,1', 'the redo');
      expect(draftEntries(bert.doc, DRAFT).get('figure/porter/joint.head')).toEqual([0, 0, 0.3, 1]);
    });
  });

  it('merges hours of work without a connection', async () => {
    await meet('scenes', async ({ join, window }) => {
      const cookie = await join('animator');
      const anna = await window(cookie);
      const bert = await window(await join('animator'));
      turn(anna.doc, 0.1);
      await saved(anna);
      anna.disconnect();
      for (let step = 0; step < 300; step++) turn(anna.doc, step);
      turn(bert.doc, 0.4);
      await saved(bert);
      // The page was opened afresh meanwhile: its old work comes under the old id and a new one.
      const reopened = copyOf(anna.doc);
      setEntries(reopened, DRAFT, { 'figure/porter/joint.head': [0, 0, 0.3, 1] }, USER);
      const again = await window(cookie, reopened);
      const arrived = (): boolean =>
        draftEntries(bert.doc, DRAFT).has('figure/porter/joint.head') &&
        String(turned(bert.doc)) === String(turned(again.doc));
      if (!arrived()) await docUntil(bert.doc, arrived, 'the work of the offline hours');
    });
  });

  it('may deliver twice', async () => {
    await meet('scenes', async ({ join, window, socket }) => {
      const cookie = await join('animator');
      const anna = await window(cookie);
      const copy = copyOf(anna.doc);
      const updates = [0.1, 0.2].map((angle) => updateOf(copy, (doc) => turn(doc, angle)));
      const raw = await socket(cookie);
      for (const update of [...updates, ...updates, Y.mergeUpdates(updates)])
        raw.sendUpdate(update);
      await raw.barrier(1);
      expect(raw.frames.filter(({ text }) => text !== '')).toEqual([]);
      const arrived = (): boolean => String(turned(anna.doc)) === '0,0,0.2,1';
      if (!arrived()) await docUntil(anna.doc, arrived, 'the turn');
    });
  });

  it('may set the state of anybody’s note, and reply to it', async () => {
    await meet('notes', async ({ join, window }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, noteOf('n1'), USER);
      await saved(anna);
      const bert = await window(await join('animator'));
      setNoteState(bert.doc, 'n1', 'answered', USER);
      addReply(bert.doc, { id: 'r1', note: 'n1', text: 'Moved.' }, USER);
      const arrived = (): boolean =>
        noteIn(anna.doc)?.state === 'answered' && noteIn(anna.doc)?.replies.length === 1;
      await docUntil(anna.doc, arrived, 'the answer');
    });
  });

  it('removes a note as a lead, replies and all, and takes that back', async () => {
    await meet('notes', async ({ join, window }) => {
      const anna = await window(await join('reviewer'));
      addNote(anna.doc, noteOf('n1'), USER);
      addReply(anna.doc, { id: 'r1', note: 'n1', text: 'The left one.' }, USER);
      await saved(anna);
      const lead = await window(await join('lead'));
      const undo = new Y.UndoManager([...noteMaps(lead.doc)], { trackedOrigins: new Set([USER]) });
      removeNote(lead.doc, 'n1', USER, { withReplies: true });
      await docUntil(anna.doc, () => noteIn(anna.doc) === undefined, 'the removal');
      undo.undo();
      await docUntil(anna.doc, () => noteIn(anna.doc)?.replies.length === 1, 'the note again');
    });
  });

  it('works on a draft again after a lead has unsealed it', async () => {
    await meet('scenes', async ({ join, window }) => {
      const lead = await window(await join('lead'));
      sealDraft(lead.doc, DRAFT, true, USER);
      sealDraft(lead.doc, DRAFT, false, USER);
      await saved(lead);
      const anna = await window(await join('animator'));
      turn(anna.doc, 0.6);
      await docUntil(lead.doc, () => String(turned(lead.doc)) === '0,0,0.6,1', 'the turn');
    });
  });
});
