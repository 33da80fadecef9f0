import * as Y from 'yjs';
import {
  addDraft,
  addNote,
  addReply,
  putDecision,
  putSequence,
  putShot,
  putVisit,
  type Recorded,
  type ReviewDocs,
  recordMap,
  setNoteState,
  setReviewTitle,
  startScene,
} from '../../core/document/index.ts';

const USER = { source: 'user' } as const;

/** A review in which everything has happened that a record tells, with as many shots as asked for. */
export function toldReview(count = 2): ReviewDocs {
  const docs = { scenes: new Y.Doc(), notes: new Y.Doc(), record: new Y.Doc() };
  const { scenes, notes, record } = docs;
  setReviewTitle(scenes, 'Łódź by night', USER);
  putSequence(scenes, { id: 'q', title: 'The quay', order: 'a0' }, USER);
  recordMap(record, 'people').set('ada', { name: 'Ada Fenn', ink: 3, role: 'lead' });
  recordMap(record, 'people').set('bo', { name: 'Bo Marl', ink: 7, role: 'reviewer' });
  putVisit(record, 'ada', '2031-05-12T09:00:00.000Z');
  for (let index = 1; index <= count; index++) {
    const id = `s${index}`;
    const code = `QY-${String(index).padStart(4, '0')}`;
    const order = `a${String(index).padStart(5, '0')}V`;
    const fields = { code, title: `Shot number ${index}`, state: 'for-review' } as const;
    const terms = { assigned: 'ada', due: '2031-06-01', rate: 24, frames: [1, 48] } as const;
    putShot(scenes, { id, sequence: 'q', order, ...fields, ...terms }, USER);
    const draft = { id: `${id}-1`, shot: id, from: null, title: 'first pass' };
    addDraft(scenes, draft, startScene('porter'), USER);
  }
  const pin = { kind: 'joint', figure: 'porter', segment: 'handL' } as const;
  const about = { shot: 's1', draft: 's1-1', pin, frame: 12, weight: 'must' } as const;
  addNote(notes, { id: 'n1', ...about, text: 'Hips back, =hand first.' }, USER);
  addReply(notes, { id: 'r1', note: 'n1', text: 'Back they go.', mentions: [] }, USER);
  setNoteState(notes, 'n1', 'answered', USER);
  const stamps = recordMap(record, 'stamps');
  stamps.set('n1', { by: 'ada', at: '2031-05-12T09:10:00.000Z' });
  stamps.set('r1', { by: 'bo', at: '2031-05-12T09:20:00.000Z' });
  stamps.set('n1/state', { by: 'bo', at: '2031-05-12T09:21:00.000Z' });
  const reading: Recorded = {
    ...{ verdict: 'teeters' as const, margin: 0.012, ratio: 0.1, centre: [0, 1, 0] as const },
    ...{ area: 0.04, contacts: 2, at: '2031-05-12T09:05:00.000Z' },
  };
  recordMap(record, 'history').set('s1-1', reading);
  putDecision(record, {
    ...{ id: 'd1', shot: 's1', draft: 's1-1', by: 'ada' },
    ...{ from: 'in-work' as const, to: 'for-review' as const },
    ...{ at: '2031-05-12T09:30:00.000Z', reading },
  });
  return docs;
}
