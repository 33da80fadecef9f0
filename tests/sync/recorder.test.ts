import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import type { BalanceReport } from '../../core/balance/types.ts';
import {
  addDraft,
  addMark,
  addNote,
  addReply,
  callsMap,
  copyDraft,
  draftEntries,
  type NewNote,
  noteMaps,
  putCall,
  putCast,
  putShot,
  readDraft,
  readHistory,
  readScene,
  readSeals,
  readStamps,
  removeNote,
  removeShot,
  sealDraft,
  setCastFields,
  setEntries,
  setNoteState,
} from '../../core/document/index.ts';
import type { MotionSummary } from '../../core/motion/index.ts';
import { SETTLE_MS, type WeighMoving } from '../../server/sync/recorder.ts';
import { recorderSetUp, reportOf, settled, timeAt } from '../helpers/recorder-set-up.ts';
import { bentScene } from '../helpers/small-review.ts';

const USER = { source: 'user' } as const;
const NOTE: NewNote = {
  id: 'n1',
  shot: 's',
  draft: 'd',
  pin: { kind: 'shot' },
  frame: null,
  text: 'Heavy pack, upright back.',
  state: 'open',
  weight: 'must',
};

describe('seals', () => {
  it('are kept with who set them, when, and what the draft read then', async () => {
    const { clock, record, open } = await recorderSetUp();
    const lead = await open('ida', 'scenes', 'lead');
    addDraft(lead.doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), USER);
    clock.advance(1000);
    const at = timeAt(clock);
    sealDraft(lead.doc, 'd', true, USER);
    const [figure] = bentScene(0).figures;
    expect(readSeals(record).get('d')).toMatchObject({
      by: 'ida',
      at,
      verdict: 'holds',
      margin: (figure?.body.mass ?? 0) / 1000,
    });
    // What was signed stays on record when the seal is taken away.
    sealDraft(lead.doc, 'd', false, USER);
    expect(readSeals(record).get('d')?.by).toBe('ida');
  });
});

describe('a retake', () => {
  it('may bring its new draft in the same change as the state of the shot', async () => {
    const { clock, record, log, open } = await recorderSetUp();
    const { doc } = await open('ida', 'scenes', 'lead');
    const shot = { id: 's', sequence: 'q', code: 'A', title: '' } as const;
    doc.transact(() => {
      putShot(doc, { ...shot, state: 'signed-off' }, USER);
      addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), USER);
      sealDraft(doc, 'd', true, USER);
    });
    doc.transact(() => {
      putShot(doc, { id: 's', state: 'retake' }, USER);
      const source = readDraft(doc, 'd');
      if (source !== null) copyDraft(doc, source, { id: 'again', title: '' }, USER);
    });
    clock.advance(SETTLE_MS);
    await settled();
    expect(log.problems).toEqual([]);
    expect(readHistory(record).get('again')?.verdict).toBe('holds');
  });
});

describe('stamps', () => {
  it('say who drew a mark', async () => {
    const { record, open } = await recorderSetUp();
    const ada = await open('ada', 'notes');
    const stroke = { kind: 'ink', points: [0, 1, 0, 1], ends: [], pen: false } as const;
    const mark = {
      id: 'm1',
      draft: 'd',
      frame: null,
      view: 'front',
      reference: null,
      towards: null,
    } as const;
    addMark(ada.doc, { ...mark, ...stroke }, USER);
    expect(readStamps(record).get('m1')?.by).toBe('ada');
  });

  it('say who wrote a note and when, from what the server knows', async () => {
    const { clock, record, open } = await recorderSetUp();
    const ada = await open('ada', 'notes');
    const at = timeAt(clock);
    addNote(ada.doc, NOTE, USER);
    expect(Object.fromEntries(readStamps(record))).toEqual({ n1: { by: 'ada', at } });
  });

  it('of replies and of a change of state go to whoever made them', async () => {
    const { clock, record, open } = await recorderSetUp();
    const ada = await open('ada', 'notes');
    addNote(ada.doc, NOTE, USER);
    clock.advance(60_000);
    const bo = await open('bo', 'notes', 'reviewer');
    addReply(bo.doc, { id: 'a1', note: 'n1', text: 'Leaned it.' }, USER);
    setNoteState(bo.doc, 'n1', 'answered', USER);
    const stamps = readStamps(record);
    expect(stamps.get('n1')?.by).toBe('ada');
    expect(stamps.get('a1')).toEqual({ by: 'bo', at: timeAt(clock) });
    expect(stamps.get('n1/state')).toEqual({ by: 'bo', at: timeAt(clock) });
  });

  it('of the making stay when others edit, or remove a note and bring it back', async () => {
    const { clock, record, open } = await recorderSetUp();
    const ada = await open('ada', 'notes');
    addNote(ada.doc, NOTE, USER);
    const made = readStamps(record).get('n1');
    clock.advance(60_000);
    const bo = await open('bo', 'notes');
    noteMaps(bo.doc)[0]!.set('n1/text', 'Changed.');
    const undo = new Y.UndoManager(bo.doc, { trackedOrigins: new Set([USER]), captureTimeout: 0 });
    removeNote(bo.doc, 'n1', USER);
    undo.undo();
    expect(noteMaps(bo.doc)[0]!.get('n1/text')).toBe('Changed.');
    expect(readStamps(record).get('n1')).toEqual(made);
  });
});

describe('balance history', () => {
  const put = (doc: Y.Doc, mass: number): void =>
    setEntries(
      doc,
      'd',
      {
        'figure/f': 1,
        'figure/f/table': 'deleva-male',
        'figure/f/stature': 1.7,
        'figure/f/mass': mass,
        'figure/f/position': [0, 1, 0],
        'figure/f/rotation': [0, 0, 0, 1],
      },
      USER,
    );

  it('records a draft once nobody has changed it for a while', async () => {
    const { clock, record, open } = await recorderSetUp();
    const ada = await open('ada', 'scenes');
    put(ada.doc, 60);
    clock.advance(SETTLE_MS - 1);
    put(ada.doc, 80);
    clock.advance(SETTLE_MS - 1);
    expect(readHistory(record).size).toBe(0);
    clock.advance(1);
    expect(readHistory(record).get('d')).toEqual({
      verdict: 'holds',
      margin: 0.08,
      ratio: 0.5,
      centre: null,
      area: 0,
      contacts: 0,
      at: timeAt(clock),
    });
  });

  it('follows the cast: a changed body is weighed again in every draft that has it', async () => {
    const { clock, record, open } = await recorderSetUp();
    const ada = await open('ada', 'scenes');
    putCast(
      ada.doc,
      { id: 'b', name: 'B', body: { table: 'deleva-male', stature: 1.7, mass: 60 } },
      USER,
    );
    addDraft(
      ada.doc,
      { id: 'd', shot: 's', from: null, title: '' },
      { figures: [], loads: [], surfaces: [], grips: [] },
      USER,
    );
    const entries = {
      'figure/f': 1,
      'figure/f/cast': 'b',
      'figure/f/position': [0, 1, 0],
      'figure/f/rotation': [0, 0, 0, 1],
    };
    setEntries(ada.doc, 'd', entries, USER);
    clock.advance(SETTLE_MS);
    expect(readHistory(record).get('d')?.margin).toBe(0.06);
    setCastFields(ada.doc, 'b', { mass: 90 }, USER);
    clock.advance(SETTLE_MS);
    expect(readHistory(record).get('d')?.margin).toBe(0.09);
  });

  it('is recorded though everybody has left, and then the room goes', async () => {
    const { clock, record, rooms, open } = await recorderSetUp();
    const ada = await open('ada', 'scenes');
    put(ada.doc, 60);
    ada.close();
    clock.advance(10);
    await settled();
    expect(rooms.open).toEqual(['r/record', 'r/scenes']);
    clock.advance(SETTLE_MS);
    expect(readHistory(record).get('d')?.margin).toBe(0.06);
    clock.advance(10);
    await settled();
    expect(rooms.open).toEqual(['r/record']);
  });

  it('is recorded at once when the server goes down', async () => {
    const { recorder, record, open } = await recorderSetUp();
    const ada = await open('ada', 'scenes');
    put(ada.doc, 60);
    recorder.settleAll();
    expect(readHistory(record).get('d')?.margin).toBe(0.06);
  });

  it('of a draft that moves gains its worst frame, unless it changed while it was weighed', async () => {
    const weighed: ((moving: MotionSummary) => void)[] = [];
    const stale: (() => boolean)[] = [];
    const weighMoving: WeighMoving = (_doc, _review, _draft, isStale) => {
      stale.push(isStale);
      return new Promise((resolve) => weighed.push(resolve));
    };
    const { clock, record, recorder, open } = await recorderSetUp({ weighMoving });
    const ada = await open('ada', 'scenes');
    const reading = () => readHistory(record).get('d');
    put(ada.doc, 60);
    clock.advance(SETTLE_MS);
    expect(reading()).toMatchObject({ margin: 0.06 });
    expect(reading()).not.toHaveProperty('moving');
    put(ada.doc, 80);
    clock.advance(SETTLE_MS);
    expect(stale.map((isStale) => isStale())).toEqual([true, false]);
    weighed[0]?.({ verdict: 'falls', frame: 3, frames: 1 });
    await settled();
    expect(reading()).toMatchObject({ margin: 0.08 });
    expect(reading()).not.toHaveProperty('moving');
    weighed[1]?.({ verdict: 'carried', frame: 7, frames: 12 });
    await recorder.settleAll();
    expect(reading()).toMatchObject({
      ...{ margin: 0.08, verdict: 'holds', moving: { verdict: 'carried', frame: 7, frames: 12 } },
    });
  });

  it('tells no worst frame once a call is open on the shot', async () => {
    let tell: (moving: MotionSummary) => void = () => undefined;
    const weighMoving = () => new Promise<MotionSummary>((resolve) => (tell = resolve));
    const { clock, record, recorder, open } = await recorderSetUp({ weighMoving });
    const ada = await open('ada', 'scenes');
    addDraft(ada.doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), USER);
    clock.advance(SETTLE_MS);
    const terms = { id: 'c', shot: 's', draft: 'd', frame: null, by: 'ada', at: timeAt(clock) };
    putCall(record, { ...terms, guests: true, count: 0, state: 'open' });
    tell({ verdict: 'falls', frame: 3, frames: 1 });
    await recorder.settleAll();
    expect(JSON.stringify([...readHistory(record)])).not.toContain('falls');
  });

  it.each([
    ['in later frames alone', 'figure/porter/name', 'Porter again', 0.07],
    ['in all frames', 'figure/porter/mass', 60, 0.06],
  ])(
    'of a draft that changed %s while it was hidden is weighed once, when the call ends',
    async (...changed) => {
      const [, field, value, margin] = changed;
      let worst: MotionSummary = { verdict: 'carried', frame: 7, frames: 12 };
      let weighed = 0;
      const weigh = (doc: Y.Doc, _review: string, draft: string): BalanceReport => {
        weighed += 1;
        return reportOf(readScene(doc, draft));
      };
      const weighMoving = () => Promise.resolve(worst);
      const { clock, rooms, record, recorder, open } = await recorderSetUp({ weigh, weighMoving });
      const ada = await open('ada', 'scenes');
      addDraft(ada.doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), USER);
      clock.advance(SETTLE_MS);
      await recorder.settleAll();
      const before = readHistory(record).get('d');
      expect(before).toMatchObject({ moving: worst });
      // Of the drafts of its shot only the called one stays as it is.
      const terms = {
        id: 'c',
        shot: 's',
        draft: 'called',
        frame: null,
        by: 'ada',
        at: timeAt(clock),
      };
      putCall(record, { ...terms, guests: true, count: 0, state: 'open' });
      worst = { verdict: 'falls', frame: 9, frames: 3 };
      setEntries(ada.doc, 'd', { [field]: value }, USER);
      clock.advance(SETTLE_MS);
      await recorder.settleAll();
      expect(readHistory(record).get('d')).toEqual(before);
      callsMap(record).delete('c');
      weighed = 0;
      const [scenes, records] = await Promise.all(
        (['scenes', 'record'] as const).map((document) => rooms.acquire({ review: 'r', document })),
      );
      recorder.weighAgain(scenes!, records!, 'd');
      await recorder.settleAll();
      expect(weighed).toBe(1);
      expect(readHistory(record).get('d')).toMatchObject({ margin, moving: worst });
    },
  );

  it('is not recorded of a clip that was still read when a call was opened on its shot', async () => {
    let read: (report: BalanceReport) => void = () => undefined;
    const weigh = () => new Promise<BalanceReport>((resolve) => (read = resolve));
    const { clock, record, open } = await recorderSetUp({ weigh });
    const ada = await open('ada', 'scenes');
    addDraft(ada.doc, { id: 'd', shot: 's', from: null, title: '' }, bentScene(0), USER);
    clock.advance(SETTLE_MS);
    const terms = { id: 'c', shot: 's', draft: 'd', frame: null, by: 'ada', at: timeAt(clock) };
    putCall(record, { ...terms, guests: true, count: 0, state: 'open' });
    read(reportOf(readScene(ada.doc, 'd')));
    await settled();
    expect(readHistory(record).size).toBe(0);
  });

  it('says that it cannot tell when a scene cannot be weighed, and forgets removed drafts', async () => {
    const { clock, record, log, open } = await recorderSetUp();
    const ada = await open('ada', 'scenes');
    setEntries(ada.doc, 'd', { 'load/l': 1 }, USER);
    clock.advance(SETTLE_MS);
    expect(readHistory(record).get('d')?.verdict).toBe('unknown');
    expect(log.problems.join()).toMatch(/nobody stands here/);
    draftEntries(ada.doc, 'd').clear();
    removeShot(ada.doc, 's', USER);
    clock.advance(SETTLE_MS);
    expect(readHistory(record).size).toBe(0);
  });
});
